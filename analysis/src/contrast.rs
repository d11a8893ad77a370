//! Which of two methods is better, from trials that hold both.
//!
//! Given both margins, the successes of the first arm are noncentral hypergeometric: the trial's own level drops out,
//! and a trial with nothing (or everything) in both arms says nothing about the odds ratio. The log odds ratio of a
//! trial is N(d, tau²), d ~ N(0, 2.82²), tau ~ half-Normal(0.5) (Günhan, Röver & Friede 2020, Res Synth Methods 11:74).

mod hypergeometric;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::exact::Conditional;
use crate::marginal::Units;
use crate::mixture::Mixture;
use crate::optimise::minimise;
use crate::posterior::{
    CentrePrior, Fineness, Grid, HalfNormal, centre_moments, centre_quantile, integrate, lattice_cdf,
};
use crate::rate::check_scale;
use crate::{CountError, FitError, Pair};
use hypergeometric::Hypergeometric;

/// One trial's pair of methods as its layout has it.
#[derive(Clone, Debug, PartialEq)]
pub struct TrialPair {
    /// Both treatments, stratum by stratum: blocks, shared pots, levels of another factor. One odds ratio holds in all of them.
    pub strata: Vec<Pair>,
    /// How much more pots differ than propagules would, at least 1: the likelihood is raised to the power of 1 / `phi`.
    pub phi: f64,
    /// Power on the trial's marginal likelihood, 0..=1. Zero is the same as absence.
    pub weight: f64,
}

impl TrialPair {
    /// Whether any stratum says something of the odds ratio: neither none nor all in both treatments.
    pub fn is_informative(&self) -> bool {
        !Conditional::new(&self.strata).says_nothing()
    }
}

/// Prior scales of the side-by-side comparison.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// Standard deviation of the normal prior of the log odds ratio.
    pub log_or_sd: f64,
    /// Scale of the half-normal prior of its spread between trials.
    pub trial_sd: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self { log_or_sd: 2.82, trial_sd: 0.5 }
    }
}

/// Posterior of the log odds ratio of the first method against the second; `_q` = 2.5, 50 and 97.5 % points.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ContrastFit {
    /// Trials that say anything: neither nothing nor everything succeeded in both treatments together.
    pub k_informative: usize,
    /// Mean of the average log odds ratio; above zero the first method is better.
    pub log_or_mean: f64,
    /// Its standard deviation.
    pub log_or_sd: f64,
    /// Its quantiles.
    pub log_or_q: [f64; 3],
    /// Mean spread of the log odds ratio between trials.
    pub tau_mean: f64,
    /// P(first better on average).
    pub prob_first_better: f64,
    /// P(first better in a new grower's trial).
    pub prob_first_better_next_trial: f64,
    /// Quantiles of the log odds ratio in a new grower's trial.
    pub next_trial_log_or_q: [f64; 3],
}

/// Fits the exact conditional model; without informative trials the answer is the prior, with `k_informative` 0.
///
/// # Errors
/// [`FitError`] for an impossible count, a treatment of more than 100,000 propagules, or a prior scale out of range.
///
/// ```
/// use propagule_analysis::{Count, Pair, contrast};
///
/// let pair = |a, b| Pair { first: Count { started: 20, succeeded: a }, second: Count { started: 20, succeeded: b } };
/// // The last trial says nothing of the difference.
/// let fit = contrast::conditional(&[pair(9, 3), pair(6, 2), pair(0, 0)], &contrast::Options::default())?;
/// assert_eq!(fit.k_informative, 2);
/// assert!(fit.prob_first_better > 0.95);
/// # Ok::<(), propagule_analysis::FitError>(())
/// ```
pub fn conditional(trials: &[Pair], options: &Options) -> Result<ContrastFit, FitError> {
    let whole = |pair: &Pair| TrialPair { strata: vec![*pair], phi: 1.0, weight: 1.0 };
    stratified(&trials.iter().map(whole).collect::<Vec<_>>(), options)
}

/// Fits the exact conditional model to trials whose pairs stand in strata and whose pots may differ: each trial's likelihood
/// is the product over its strata, to the power of 1 / `phi`.
///
/// # Errors
/// [`FitError`] as for [`conditional`], and for a weight or a `phi` out of range.
///
/// ```
/// use propagule_analysis::contrast::{self, TrialPair};
/// use propagule_analysis::{Count, Pair};
///
/// let pair = Pair { first: Count { started: 12, succeeded: 9 }, second: Count { started: 12, succeeded: 4 } };
/// let better = |phi| {
///     let trial = TrialPair { strata: vec![pair], phi, weight: 1.0 };
///     contrast::stratified(&[trial], &contrast::Options::default()).map(|fit| fit.prob_first_better)
/// };
/// // One pot each is worth less than as many independent propagules.
/// assert!(better(2.1)? < better(1.0)?);
/// # Ok::<(), propagule_analysis::FitError>(())
/// ```
pub fn stratified(trials: &[TrialPair], options: &Options) -> Result<ContrastFit, FitError> {
    check_scale("log_or_sd", options.log_or_sd)?;
    check_scale("trial_sd", options.trial_sd)?;
    let mut informative: Vec<(Vec<Pair>, f64, f64)> = Vec::with_capacity(trials.len());
    for (grower, trial) in trials.iter().enumerate() {
        check(grower, trial)?;
        if trial.weight > 0.0 && trial.is_informative() {
            let mut strata = trial.strata.clone();
            strata.sort_unstable();
            informative.push((strata, trial.phi, trial.weight));
        }
    }
    informative.sort_by(|a, b| a.0.cmp(&b.0).then(a.1.total_cmp(&b.1)).then(a.2.total_cmp(&b.2)));
    let (mut densities, mut powers): (Vec<Hypergeometric>, Vec<f64>) = (Vec::new(), Vec::new());
    for (index, (strata, phi, weight)) in informative.iter().enumerate() {
        let is_same =
            |(before, spread, _): &(Vec<Pair>, f64, f64)| before == strata && spread.total_cmp(phi).is_eq();
        match powers.last_mut() {
            Some(power) if is_same(&informative[index - 1]) => *power += weight,
            _ => {
                densities.push(Hypergeometric::new(strata, phi.recip()));
                powers.push(*weight);
            }
        }
    }
    let mut units = Units::new(densities, powers);
    let fineness = Fineness::for_units(units.total_power());
    let centre = CentrePrior::Normal(options.log_or_sd);
    let grid = integrate(&mut units, centre, HalfNormal(options.trial_sd), fineness);
    Ok(summarise(informative.len(), &grid))
}

/// Refuses weights, spreads and counts that cannot be.
fn check(grower: usize, trial: &TrialPair) -> Result<(), FitError> {
    if !(0.0..=1.0).contains(&trial.weight) {
        return Err(FitError::Weight { grower, weight: trial.weight });
    }
    if !(1.0..=MOST_SPREAD).contains(&trial.phi) {
        let (name, value) = ("phi", trial.phi);
        return Err(FitError::Scale { name, value, low: 1.0, high: MOST_SPREAD });
    }
    trial.strata.iter().try_for_each(|pair| is_informative(grower, pair).map(drop))
}

/// Largest spread of pots: that of pots as large as a treatment may be.
const MOST_SPREAD: f64 = 100_000.0;

/// Maximum-likelihood estimates of the exact conditional model.
#[derive(Clone, Copy, Debug)]
pub struct ContrastMaximum {
    /// Trials that say anything.
    pub k_informative: usize,
    /// Average log odds ratio; infinite when one method never failed to lose.
    pub log_or: f64,
    /// Spread between trials.
    pub tau: f64,
    /// Conditional log likelihood, constants included.
    pub log_likelihood: f64,
    /// Log odds ratio without spread.
    pub log_or_common: f64,
    /// Log likelihood without spread.
    pub log_likelihood_common: f64,
}

/// Maximum likelihood in the exact conditional model, for readers who want no prior.
///
/// # Errors
/// [`FitError`] as for [`conditional`].
pub fn conditional_maximum(trials: &[Pair]) -> Result<ContrastMaximum, FitError> {
    let mut informative = Vec::with_capacity(trials.len());
    for (grower, pair) in trials.iter().enumerate() {
        if is_informative(grower, pair)? {
            informative.push(pair);
        }
    }
    let densities: Vec<Hypergeometric> =
        informative.iter().map(|pair| Hypergeometric::new(&[**pair], 1.0)).collect();
    let powers = vec![1.0; densities.len()];
    let mut units = Units::new(densities, powers);
    let mut deviance = |x: &[f64]| -units.log_likelihood(x[0], x[1].abs().max(1e-5));
    let best = [0.2, 0.8].map(|tau| minimise(&mut deviance, &[0.0, tau]));
    let best = best.into_iter().min_by(|a, b| a.value.total_cmp(&b.value)).expect("two starts");
    let common = minimise(&mut |x: &[f64]| deviance(&[x[0], 1e-5]), &[best.point[0]]);
    let no_spread = common.value <= best.value + 1e-7;
    let (log_or, tau, value) = if no_spread {
        (common.point[0], 0.0, common.value)
    } else {
        (best.point[0], best.point[1].abs(), best.value)
    };
    Ok(ContrastMaximum {
        k_informative: informative.len(),
        log_or,
        tau,
        log_likelihood: -value,
        log_or_common: common.point[0],
        log_likelihood_common: -common.value,
    })
}

/// Most propagules in one treatment; the conditional likelihood has as many terms.
const MOST_PIECES: u64 = 100_000;

/// Whether the pair says anything about the odds ratio.
fn is_informative(grower: usize, pair: &Pair) -> Result<bool, FitError> {
    for arm in [pair.first, pair.second] {
        if !arm.is_possible() {
            let source = CountError { started: arm.started, succeeded: arm.succeeded };
            return Err(FitError::Count { grower, source });
        }
        let started = u64::from(arm.started);
        if started > MOST_PIECES {
            return Err(FitError::TooManyPieces { grower, started, limit: MOST_PIECES });
        }
    }
    let succeeded = pair.first.succeeded + pair.second.succeeded;
    let compared = pair.first.started > 0 && pair.second.started > 0;
    Ok(compared && succeeded > 0 && succeeded < pair.first.started + pair.second.started)
}

/// Median and 95 % limits.
const LEVELS: [f64; 3] = [0.025, 0.5, 0.975];

fn summarise(k_informative: usize, grid: &Grid) -> ContrastFit {
    let columns = &grid.columns;
    let next = Mixture::new(columns.iter().map(|column| (column, column.spread)));
    let (mean, sd) = centre_moments(&columns.iter());
    ContrastFit {
        k_informative,
        log_or_mean: mean,
        log_or_sd: sd,
        log_or_q: LEVELS.map(|p| centre_quantile(&columns.iter(), p, mean, sd)),
        tau_mean: grid.spread_masses().mean(),
        prob_first_better: 1.0 - columns.iter().map(|column| lattice_cdf(column, 0.0)).sum::<f64>(),
        prob_first_better_next_trial: 1.0 - next.cdf(0.0),
        next_trial_log_or_q: LEVELS.map(|p| next.quantile(p)),
    }
}
