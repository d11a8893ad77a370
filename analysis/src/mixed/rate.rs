//! The binomial-normal rate by maximum likelihood, as exactly as the lattice allows.

use super::MixedError;
use crate::binomial::{Binomial, ln_choose};
use crate::marginal::Units;
use crate::optimise::{hessian, minimise};
use crate::{Count, Grower, logit};

/// Maximum-likelihood estimates of the two-level model.
#[derive(Clone, Copy, Debug)]
pub struct RateMaximum {
    /// Log odds of a typical grower.
    pub mu: f64,
    /// Standard error of mu.
    pub mu_se: f64,
    /// Spread between growers.
    pub tau: f64,
    /// Log likelihood.
    pub log_likelihood: f64,
    /// Log likelihood without spread.
    pub log_likelihood_common: f64,
}

/// Maximum likelihood with one count a grower.
///
/// # Errors
/// [`MixedError::NoMaximum`] when nothing or everything succeeded: the likelihood then rises without limit in mu.
///
/// ```
/// use propagule_analysis::Count;
/// use propagule_analysis::mixed::{self, MixedError};
///
/// let arm = |succeeded| Count { started: 20, succeeded };
/// let fit = mixed::maximum_likelihood(&[arm(2), arm(9), arm(4), arm(15)])?;
/// assert!(fit.tau > 0.5);
/// // Nothing rooted: the likelihood rises without limit.
/// assert_eq!(mixed::maximum_likelihood(&[arm(0), arm(0)]).err(), Some(MixedError::NoMaximum));
/// # Ok::<(), MixedError>(())
/// ```
pub fn maximum_likelihood(counts: &[Count]) -> Result<RateMaximum, MixedError> {
    let used: Vec<Count> = counts.iter().copied().filter(|c| c.started > 0).collect();
    let (n, r) =
        used.iter().fold((0.0, 0.0), |(n, r), c| (n + f64::from(c.started), r + f64::from(c.succeeded)));
    if used.is_empty() {
        return Err(MixedError::Empty);
    }
    if r <= 0.0 || r >= n {
        return Err(MixedError::NoMaximum);
    }
    let (distinct, powers, coefficient) = merged(&used);
    let mut units = Units::new(distinct, powers);
    let common = coefficient + r * (r / n).ln() + (n - r) * (1.0 - r / n).ln();
    let mut deviance = |x: &[f64]| -coefficient - units.log_likelihood(x[0], x[1].abs().max(1e-5));
    let centre = logit::logit(r / n);
    let best = [0.1, 0.7, 2.0].map(|tau| minimise(&mut deviance, &[centre, tau]));
    let best = best.into_iter().min_by(|a, b| a.value.total_cmp(&b.value)).expect("three starts");
    if -best.value <= common + 1e-7 {
        let p = r / n;
        return Ok(RateMaximum {
            mu: centre,
            mu_se: (n * p * (1.0 - p)).sqrt().recip(),
            tau: 0.0,
            log_likelihood: common,
            log_likelihood_common: common,
        });
    }
    let covariance = hessian(&mut deviance, &best.point).inverse();
    Ok(RateMaximum {
        mu: best.point[0],
        mu_se: covariance.map_or(f64::NAN, |c| c[(0, 0)].sqrt()),
        tau: best.point[1].abs(),
        log_likelihood: -best.value,
        log_likelihood_common: common,
    })
}

fn merged(counts: &[Count]) -> (Vec<Binomial>, Vec<f64>, f64) {
    let mut sorted = counts.to_vec();
    sorted.sort_unstable();
    let coefficient = sorted.iter().map(|c| ln_choose(f64::from(c.started), f64::from(c.succeeded))).sum();
    let (densities, powers) = sorted
        .chunk_by(|a, b| a == b)
        .map(|group| {
            let (started, succeeded) = (f64::from(group[0].started), f64::from(group[0].succeeded));
            (Binomial { started, succeeded }, group.len() as f64)
        })
        .unzip();
    (densities, powers, coefficient)
}

/// Maximum-likelihood estimates of the three-level model.
#[derive(Clone, Copy, Debug)]
pub struct NestedMaximum {
    /// Log odds of a typical grower's typical trial.
    pub mu: f64,
    /// Spread between growers.
    pub sd_grower: f64,
    /// Spread between trials of a grower.
    pub sd_trial: f64,
    /// Log likelihood, one binomial coefficient a trial.
    pub log_likelihood: f64,
}

/// Maximum likelihood in the three-level model; weights are powers as in the default model.
///
/// # Errors
/// [`MixedError`] when there is nothing to fit or no estimate exists.
pub fn maximum_likelihood_nested(growers: &[Grower]) -> Result<NestedMaximum, MixedError> {
    let counts = || growers.iter().flat_map(|g| &g.trials);
    let (n, r) =
        counts().fold((0u64, 0u64), |(n, r), c| (n + u64::from(c.started), r + u64::from(c.succeeded)));
    if n == 0 {
        return Err(MixedError::Empty);
    }
    if r == 0 || r == n {
        return Err(MixedError::NoMaximum);
    }
    let likelihood = crate::rate::NestedLikelihood::new(growers).map_err(|_| MixedError::Empty)?;
    let mut deviance = |x: &[f64]| -likelihood.log_value(x[0], x[1].abs().max(1e-4), x[2].abs().max(1e-4));
    let start = [logit::logit(r as f64 / n as f64), 0.8, 0.4];
    let best = minimise(&mut deviance, &start);
    let [mu, sd_grower, sd_trial] = [best.point[0], best.point[1].abs(), best.point[2].abs()];
    Ok(NestedMaximum { mu, sd_grower, sd_trial, log_likelihood: -best.value })
}
