//! From growers to likelihood units: checks, and a fixed order.

use crate::binomial::{Binomial, ln_choose};
use crate::marginal::Units;
use crate::{Count, CountError, FitError, Grower};

/// Most pieces that one grower may report.
const MOST_PIECES: u64 = 1_000_000;

/// A grower with information: trials in which something was started, and a power above zero.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Cluster {
    pub(crate) trials: Vec<Count>,
    pub(crate) power: f64,
}

/// Checks the input and leaves out what carries no information; sorted, so that the order given does not matter.
pub(crate) fn check(growers: &[Grower]) -> Result<Vec<Cluster>, FitError> {
    let mut clusters = Vec::with_capacity(growers.len());
    for (grower, given) in growers.iter().enumerate() {
        if !(0.0..=1.0).contains(&given.weight) {
            return Err(FitError::Weight { grower, weight: given.weight });
        }
        if let Some(bad) = given.trials.iter().find(|c| !c.is_possible()) {
            let source = CountError { started: bad.started, succeeded: bad.succeeded };
            return Err(FitError::Count { grower, source });
        }
        let started: u64 = given.trials.iter().map(|c| u64::from(c.started)).sum();
        if started > MOST_PIECES {
            return Err(FitError::TooManyPieces { grower, started, limit: MOST_PIECES });
        }
        if started > 0 && given.weight > 0.0 {
            let mut trials: Vec<Count> = given.trials.iter().copied().filter(|c| c.started > 0).collect();
            trials.sort_unstable();
            clusters.push(Cluster { trials, power: given.weight });
        }
    }
    clusters.sort_by(|a, b| a.trials.cmp(&b.trials).then(a.power.total_cmp(&b.power)));
    Ok(clusters)
}

/// One binomial unit for every distinct total, with the powers of all growers who had it, and the weighted log of
/// all binomial coefficients.
pub(crate) fn pooled_units(clusters: &[Cluster]) -> (Units<Binomial>, f64) {
    let mut totals: Vec<(u64, u64, f64)> = Vec::with_capacity(clusters.len());
    let mut log_coefficient = 0.0;
    for cluster in clusters {
        let (mut started, mut succeeded) = (0, 0);
        for trial in &cluster.trials {
            started += u64::from(trial.started);
            succeeded += u64::from(trial.succeeded);
            log_coefficient += cluster.power * log_coefficient_of(*trial);
        }
        totals.push((started, succeeded, cluster.power));
    }
    totals.sort_by(|a, b| (a.0, a.1).cmp(&(b.0, b.1)).then(a.2.total_cmp(&b.2)));
    let (mut densities, mut powers): (Vec<Binomial>, Vec<f64>) = (Vec::new(), Vec::new());
    for (started, succeeded, power) in totals {
        let unit = Binomial { started: started as f64, succeeded: succeeded as f64 };
        match (densities.last(), powers.last_mut()) {
            (Some(last), Some(sum)) if *last == unit => *sum += power,
            _ => {
                densities.push(unit);
                powers.push(power);
            }
        }
    }
    (Units::new(densities, powers), log_coefficient)
}

/// Log of the binomial coefficient of one count.
pub(crate) fn log_coefficient_of(count: Count) -> f64 {
    ln_choose(f64::from(count.started), f64::from(count.succeeded))
}
