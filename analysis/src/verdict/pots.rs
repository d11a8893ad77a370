//! How much more pots of one arm differ than their pieces by themselves would.

use super::{Design, PRIOR_DF, PRIOR_ICC};
use crate::Count;
use crate::Pair;
use crate::exact::mantel_haenszel;

/// Spread of pots.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Dispersion {
    /// As estimated from these pots: 1 where they differ as much as chance has it.
    pub phi_hat: f64,
    /// Degrees of freedom of the estimate.
    pub df: u32,
    /// Mean pieces a pot.
    pub mean_pot: f64,
    /// Moderated: the estimate and the prior value, by their degrees of freedom, and never below 1.
    pub phi: f64,
}

impl Dispersion {
    fn new(phi_hat: f64, df: u32, mean_pot: f64) -> Self {
        let own = f64::from(df);
        let phi = (own * phi_hat + PRIOR_DF * prior_spread(mean_pot)) / (own + PRIOR_DF);
        Self { phi_hat, df, mean_pot, phi: phi.max(1.0) }
    }

    /// Degrees of freedom of the moderated t.
    pub(super) fn t_df(self) -> f64 {
        f64::from(self.df) + PRIOR_DF
    }
}

/// What the spread is taken to be without pots to estimate it from: 1 + (m - 1) × 0.10 for pots of m pieces.
pub(super) fn prior_spread(pieces: f64) -> f64 {
    1.0 + (pieces - 1.0) * PRIOR_ICC
}

/// Spread of the pots under a design; `None` where no cell has two pots, or there are not two blocks.
pub(super) fn dispersion(design: Design, strata: &[Pair], cells: &[Vec<Count>]) -> Option<Dispersion> {
    match design {
        Design::Factorial if cells.is_empty() => over_blocks(strata),
        Design::Pots | Design::Factorial => within_cells(cells),
        Design::Blocks => over_blocks(strata),
        Design::Single | Design::Pieces => None,
    }
}

/// Pearson's X² within cells over its degrees of freedom; cells with nothing, or everything, add nothing to X².
fn within_cells(cells: &[Vec<Count>]) -> Option<Dispersion> {
    let df: usize = cells.iter().map(|pots| pots.len().saturating_sub(1)).sum();
    let pots: Vec<Count> = cells.iter().flatten().copied().collect();
    let pieces: u32 = pots.iter().map(|pot| pot.started).sum();
    let pearson: f64 = cells.iter().map(|cell| pearson(cell)).sum();
    (df > 0).then(|| Dispersion::new(pearson / df as f64, df as u32, f64::from(pieces) / pots.len() as f64))
}

fn pearson(pots: &[Count]) -> f64 {
    let (r, n) = pots.iter().fold((0, 0), |(r, n), pot| (r + pot.succeeded, n + pot.started));
    if r == 0 || r == n {
        return 0.0;
    }
    let rate = f64::from(r) / f64::from(n);
    let term = |pot: &Count| {
        let expected = f64::from(pot.started) * rate;
        (f64::from(pot.succeeded) - expected).powi(2) / (expected * (1.0 - rate))
    };
    pots.iter().map(term).sum()
}

/// How much the difference itself varies from block to block, against what the exact test takes it to vary.
fn over_blocks(strata: &[Pair]) -> Option<Dispersion> {
    let blocks = strata.len() as f64;
    let rate = |count: Count| f64::from(count.succeeded) / f64::from(count.started);
    let gaps: Vec<(f64, f64)> = strata
        .iter()
        .map(|pair| {
            let (n, m) = (f64::from(pair.first.started), f64::from(pair.second.started));
            (n * m / (n + m), rate(pair.first) - rate(pair.second))
        })
        .collect();
    let weight: f64 = gaps.iter().map(|(w, _)| w).sum();
    let mean = gaps.iter().map(|(w, d)| w * d).sum::<f64>() / weight;
    let between: f64 = gaps.iter().map(|(w, d)| (w * (d - mean)).powi(2)).sum();
    let phi_hat = blocks / (blocks - 1.0) * between / mantel_haenszel(strata).variance;
    let pieces: u32 = strata.iter().map(|pair| pair.first.started + pair.second.started).sum();
    (strata.len() > 1)
        .then(|| Dispersion::new(phi_hat, strata.len() as u32 - 1, f64::from(pieces) / (2.0 * blocks)))
}
