//! How often a method succeeds: the default model.
//!
//! r ~ Binomial(n, p) for every trial of every grower, logit p = mu + u + v with u ~ N(0, sg²) between growers and
//! v ~ N(0, st²) between trials of one grower; mu ~ Logistic(0, 1), sg ~ half-Normal(1), st ~ half-Normal(0.5).
//! Without enough growers with several trials v is left out. Nothing is ever added to a count: exact at 0 of n and
//! at n of n (Hamza 2008, J Clin Epidemiol 61:41; Stijnen 2010, Stat Med 29:3046).

mod clusters;
mod options;
mod predictive;
mod spread;
mod summary;
mod three_level;

pub use options::{Levels, Options};
pub use summary::RateSummary;

use serde::Serialize;

use crate::posterior::{CentrePrior, Column, Fineness, HalfNormal, integrate};
use crate::{FitError, Grower};
use predictive::Predictive;

/// Which form of the model was fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Model {
    /// One spread, between growers.
    TwoLevel,
    /// Spread between growers, and between the trials of a grower.
    ThreeLevel,
}

/// The posterior of the default model and what follows from it.
#[derive(Clone, Debug)]
pub struct RateFit {
    summary: RateSummary,
    predictive: Predictive,
}

/// Posterior columns of mu, each with its spreads.
#[derive(Clone, Debug)]
pub(crate) struct Posterior {
    pub(crate) model: Model,
    /// One slice a trial spread; a single one in two levels.
    pub(crate) slices: Vec<Slice>,
    /// Lattice step of the trial spread; slices stand at its half-integer multiples.
    pub(crate) trial_step: f64,
    pub(crate) log_evidence: f64,
}

/// Columns that share a trial spread.
#[derive(Clone, Debug)]
pub(crate) struct Slice {
    pub(crate) trial_spread: f64,
    pub(crate) columns: Vec<Column>,
    pub(crate) grower_step: f64,
}

impl Slice {
    /// Total spread of a column: grower's and trial's together.
    pub(crate) fn total_spread(&self, column: &Column) -> f64 {
        column.spread.hypot(self.trial_spread)
    }
}

/// Fits the default model.
///
/// An empty slice, or weights that are all zero, is no error: the answer is then the prior itself. Trials in which
/// nothing was started carry no information.
///
/// # Errors
/// [`FitError`] for a count with more successes than pieces, a weight outside 0..=1, a prior scale out of range,
/// or a grower with more than a million pieces.
pub fn fit(growers: &[Grower], options: &Options) -> Result<RateFit, FitError> {
    fit_with(growers, options, None)
}

/// As [`fit`], with lattices of a chosen fineness.
pub(crate) fn fit_with(
    growers: &[Grower],
    options: &Options,
    fineness: Option<Fineness>,
) -> Result<RateFit, FitError> {
    options.check()?;
    let clusters = clusters::check(growers)?;
    let model = options.levels.choose(&clusters);
    let posterior = match model {
        Model::TwoLevel => two_level(&clusters, options, fineness),
        Model::ThreeLevel => three_level::integrate_levels(&clusters, options, fineness),
    };
    let predictive = Predictive::new(&posterior);
    let summary = summary::summarise(&posterior, &predictive);
    Ok(RateFit { summary, predictive })
}

fn two_level(clusters: &[clusters::Cluster], options: &Options, fineness: Option<Fineness>) -> Posterior {
    let (mut units, log_coefficient) = clusters::pooled_units(clusters);
    let fineness = fineness.unwrap_or_else(|| Fineness::for_units(units.total_power()));
    let grid = integrate(&mut units, CentrePrior::Logistic, HalfNormal(options.grower_sd), fineness);
    Posterior {
        model: Model::TwoLevel,
        trial_step: 0.0,
        log_evidence: grid.log_evidence + log_coefficient,
        slices: vec![Slice { trial_spread: 0.0, columns: grid.columns, grower_step: grid.spread_step }],
    }
}

impl RateFit {
    /// Which form of the model was fitted.
    pub fn model(&self) -> Model {
        self.summary.model
    }

    /// Means, quantiles and probabilities, computed once.
    pub fn summary(&self) -> &RateSummary {
        &self.summary
    }

    /// P(Y = 0), …, P(Y = n): how many of `n` pieces succeed for a grower not seen before (a new trial of theirs).
    ///
    /// The n + 1 values sum to one.
    pub fn predictive(&self, n: u32) -> Vec<f64> {
        self.predictive.counts(n)
    }

    /// P(Y >= y) of `n` pieces for a grower not seen before.
    pub fn predictive_at_least(&self, y: u32, n: u32) -> f64 {
        self.predictive.at_least(y, n)
    }

    /// Chance that a new grower's own rate exceeds `rate` (0..=1).
    pub fn prob_new_grower_above(&self, rate: f64) -> f64 {
        self.predictive.prob_above(rate)
    }

    /// Smallest number of pieces to start, at most 2,000, so that at least `want` succeed with probability `sure`
    /// for a grower not seen before; `None` when 2,000 do not suffice.
    pub fn number_to_start(&self, want: u32, sure: f64) -> Option<u32> {
        crate::planning::smallest_number(want, sure, |n| self.predictive_at_least(want, n))
    }
}
