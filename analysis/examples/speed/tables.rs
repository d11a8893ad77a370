//! Made-up tables, the same on every machine.

use std::error::Error;
use std::fmt::Write;
use std::path::Path;

use propagule_analysis::network::{NetworkTrial, TrialArm};
use propagule_analysis::{Count, Grower};

use crate::random::Random;

/// Numbers of arms that are timed.
pub(crate) const SIZES: [usize; 4] = [30, 300, 3_000, 30_000];
/// Methods of the network.
pub(crate) const METHODS: usize = 8;
const NETWORK_TRIALS: usize = 200;
const SEED: u64 = 5;

/// One arm of one trial of one grower.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CountedArm {
    grower: u32,
    trial: u32,
    pub(crate) count: Count,
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

fn count(random: &mut Random, log_odds: f64) -> Count {
    let started = random.whole(5, 50);
    Count { started, succeeded: random.binomial(started, logistic(log_odds)) }
}

/// Growers with one to three trials of one to three arms, spreads of 1 and 0.5, and many arms without success.
pub(crate) fn arms() -> Vec<CountedArm> {
    let most = SIZES[SIZES.len() - 1];
    let mut random = Random::new(SEED, 0);
    let mut rows = Vec::new();
    for grower in 0.. {
        let level = random.normal() - 2.5;
        for trial in 0..random.whole(1, 3) {
            let rate = level + 0.5 * random.normal();
            for _ in 0..random.whole(1, 3) {
                rows.push(CountedArm { grower, trial, count: count(&mut random, rate) });
            }
        }
        if rows.len() >= most {
            break;
        }
    }
    rows.truncate(most);
    rows
}

/// The same arms as trials within growers, arms of one trial added.
pub(crate) fn nested(rows: &[CountedArm]) -> Vec<Grower> {
    let trial = |arms: &[CountedArm]| Count {
        started: arms.iter().map(|row| row.count.started).sum(),
        succeeded: arms.iter().map(|row| row.count.succeeded).sum(),
    };
    let grower =
        |rows: &[CountedArm]| Grower::new(rows.chunk_by(|a, b| a.trial == b.trial).map(trial).collect(), 1.0);
    rows.chunk_by(|a, b| a.grower == b.grower).map(grower).collect()
}

/// Trials of two or three of the methods.
pub(crate) fn network() -> Vec<NetworkTrial> {
    let mut random = Random::new(SEED, 1);
    let trial = |_| {
        let level = random.normal() - 1.0;
        let first = random.whole(0, METHODS as u32 - 1) as usize;
        let arm = |k: u32| {
            let method = (first + k as usize * 3) % METHODS;
            let log_odds = level + 0.2 * method as f64 + 0.3 * random.normal();
            TrialArm { method, count: count(&mut random, log_odds) }
        };
        NetworkTrial { arms: (0..2 + (first as u32 % 2)).map(arm).collect() }
    };
    (0..NETWORK_TRIALS).map(trial).collect()
}

/// Columns grower, trial, started, succeeded.
pub(crate) fn write_arms(rows: &[CountedArm], path: &Path) -> Result<(), Box<dyn Error>> {
    let mut text = "grower,trial,started,succeeded\n".to_owned();
    for CountedArm { grower, trial, count } in rows {
        writeln!(text, "g{grower},t{trial},{},{}", count.started, count.succeeded)?;
    }
    Ok(std::fs::write(path, text)?)
}

/// Columns trial, method (from 1), started, succeeded.
pub(crate) fn write_network(trials: &[NetworkTrial], path: &Path) -> Result<(), Box<dyn Error>> {
    let mut text = "trial,method,started,succeeded\n".to_owned();
    for (k, trial) in trials.iter().enumerate() {
        for TrialArm { method, count } in &trial.arms {
            writeln!(text, "{},{},{},{}", k + 1, method + 1, count.started, count.succeeded)?;
        }
    }
    Ok(std::fs::write(path, text)?)
}
