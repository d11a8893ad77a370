//! What is simulated: the fixed grid, truths drawn from the prior, and growers who withhold poor results.

use std::sync::atomic::{AtomicU64, Ordering};
use std::thread;

use propagule_analysis::FitError;
use propagule_analysis::rate::{self, Options};

use crate::random::Random;
use crate::tally::Tally;
use crate::truth::Truth;

const GROWERS: [usize; 3] = [2, 8, 40];
const RATES: [f64; 5] = [0.01, 0.05, 0.25, 0.6, 0.9];
const SPREADS: [f64; 4] = [0.0, 0.5, 1.0, 2.0];
/// Share of growers who withhold poor results where any do.
pub(crate) const WITHHOLDING: f64 = 0.15;

/// Where a cell's truths come from.
#[derive(Clone, Copy, Debug)]
pub(crate) enum Source {
    /// One typical rate and total spread.
    Fixed { rate: f64, spread: f64 },
    /// A new draw from the default prior for every data set.
    Prior,
}

/// Data sets of one kind.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Cell {
    pub(crate) source: Source,
    pub(crate) growers: usize,
    pub(crate) withholding: f64,
    pub(crate) seed: u64,
}

/// The fixed grid.
pub(crate) fn grid(seed: u64) -> Vec<Cell> {
    number(fixed(&GROWERS, &SPREADS, 0.0), seed)
}

/// The cells with withheld results, where growers differ enough to have poor ones.
pub(crate) fn withheld(seed: u64) -> Vec<Cell> {
    number(fixed(&[8, 40], &[1.0], WITHHOLDING), seed + 1_000)
}

/// Truths from the prior, by number of growers.
pub(crate) fn from_prior(seed: u64) -> Vec<Cell> {
    let cell = |growers| Cell { source: Source::Prior, growers, withholding: 0.0, seed: 0 };
    number([2, 4, 8, 20, 40].map(cell).to_vec(), seed + 2_000)
}

fn fixed(growers: &[usize], spreads: &[f64], withholding: f64) -> Vec<Cell> {
    let mut cells = Vec::new();
    for &growers in growers {
        for rate in RATES {
            for &spread in spreads {
                cells.push(Cell { source: Source::Fixed { rate, spread }, growers, withholding, seed: 0 });
            }
        }
    }
    cells
}

/// Gives every cell its own seed.
fn number(mut cells: Vec<Cell>, first: u64) -> Vec<Cell> {
    for (cell, seed) in cells.iter_mut().zip(first..) {
        cell.seed = seed;
    }
    cells
}

impl Cell {
    /// Fits `sets` data sets on two threads; the result does not depend on which thread takes which.
    pub(crate) fn run(&self, sets: u64, options: &Options) -> Result<Tally, FitError> {
        const BLOCK: u64 = 25;
        let next = AtomicU64::new(0);
        let work = || -> Result<Vec<(u64, Tally)>, FitError> {
            let mut done = Vec::new();
            loop {
                let block = next.fetch_add(1, Ordering::Relaxed);
                let range = block * BLOCK..sets.min((block + 1) * BLOCK);
                if range.is_empty() {
                    return Ok(done);
                }
                done.push((block, self.fit_all(range, options)?));
            }
        };
        let mut blocks = thread::scope(|scope| {
            let threads = [scope.spawn(work), scope.spawn(work)];
            let joined = threads.map(|thread| thread.join().expect("a fit does not panic"));
            joined.into_iter().collect::<Result<Vec<_>, _>>()
        })?
        .concat();
        blocks.sort_by_key(|block| block.0);
        let mut tally = Tally::default();
        for (_, part) in blocks {
            tally.join(part);
        }
        Ok(tally)
    }

    fn fit_all(&self, sets: std::ops::Range<u64>, options: &Options) -> Result<Tally, FitError> {
        let mut tally = Tally::default();
        for set in sets {
            let mut random = Random::new(self.seed, set);
            let truth = match self.source {
                Source::Fixed { rate, spread } => Truth::fixed(rate, spread),
                Source::Prior => Truth::from_prior(&mut random),
            };
            let growers = truth.data(self.growers, self.withholding, &mut random);
            tally.add(&truth, rate::fit(&growers, options)?.summary());
        }
        Ok(tally)
    }
}
