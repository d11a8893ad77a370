//! How often a method succeeds: the default model.
//!
//! r ~ Binomial(n, p) for every trial of every grower, logit p = mu + u + v with u ~ N(0, sg²) between growers and
//! v ~ N(0, st²) between trials of one grower; mu ~ Logistic(0, 1), sg ~ half-Normal(1), st ~ half-Normal(0.5).
//! Without enough growers with several trials v is left out. Nothing is ever added to a count: exact at 0 of n and
//! at n of n (Hamza 2008, J Clin Epidemiol 61:41; Stijnen 2010, Stat Med 29:3046).

mod clusters;
mod law;
mod nested;
mod options;
mod predictive;
mod profile;
mod spread;
mod summary;
#[cfg(test)]
mod tests;
mod three_level;

pub use law::RateLaw;
pub(crate) use law::{GrowerLevel, next_trial_of};
pub(crate) use options::check_scale;
pub use options::{Levels, Options};
pub use summary::RateSummary;
pub(crate) use three_level::NestedLikelihood;

use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::mixture::Mixture;
use crate::posterior::{
    CentrePrior, Column, Fineness, Grid, HalfLine, HalfNormal, centre_moments, integrate,
};
use crate::{FitError, Grower};

/// Which form of the model was fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
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
    /// Worked out when it is first asked for: some fits are only a part of another answer.
    summary: OnceLock<RateSummary>,
    mixture: Mixture,
    posterior: Posterior,
}

/// Posterior columns of mu, each with its spreads.
#[derive(Clone, Debug)]
pub(crate) struct Posterior {
    pub(crate) model: Model,
    /// One slice a trial spread; a single one in two levels.
    pub(crate) slices: Vec<Slice>,
    /// The half line on which the trial spreads stand, and the place of the first; none in two levels.
    pub(crate) trial_line: Option<(HalfLine, i64)>,
    pub(crate) log_evidence: f64,
}

/// Columns that share a trial spread.
#[derive(Clone, Debug)]
pub(crate) struct Slice {
    pub(crate) trial_spread: f64,
    /// Columns whose weights sum to the posterior share of this trial spread.
    pub(crate) grid: Grid,
}

impl Posterior {
    /// All columns with their total spreads.
    pub(crate) fn columns(&self) -> impl Iterator<Item = (&Column, f64)> + Clone {
        self.slices
            .iter()
            .flat_map(|slice| slice.grid.columns.iter().map(|column| (column, slice.total_spread(column))))
    }
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
/// [`FitError`] for a count with more successes than propagules, a weight outside 0..=1, a prior scale out of range,
/// or a grower with more than a million propagules.
///
/// ```
/// use propagule_analysis::{Count, Grower, rate};
///
/// // One grower, no spread to speak of: the answer is nearly that of a uniform prior, Beta(r + 1, n - r + 1), mean 1/3.
/// let one = [Grower::new(vec![Count::new(10, 3)?], 1.0)];
/// let tight = rate::Options { grower_sd: 0.01, ..rate::Options::default() };
/// let fit = rate::fit(&one, &tight)?;
/// assert!((fit.summary().typical_grower_rate_mean - 1.0 / 3.0).abs() < 1e-3);
///
/// // Nothing rooted anywhere: still an answer, and never "impossible".
/// let none = vec![Grower::new(vec![Count::new(12, 0)?], 1.0); 5];
/// let fit = rate::fit(&none, &rate::Options::default())?;
/// let [low, _, high] = fit.summary().new_grower_rate_q;
/// assert!(low > 0.0 && high < 0.25);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
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
        Model::TwoLevel => two_level(&clusters, CentrePrior::Logistic, options.grower_sd, fineness),
        Model::ThreeLevel => three_level::integrate_levels(&clusters, options, fineness),
    };
    Ok(RateFit::new(posterior))
}

/// The two-level model with mu ~ N(mean, sd²) and s ~ half-Normal(`grower_sd`).
pub(crate) fn fit_around(
    growers: &[Grower],
    mean: f64,
    sd: f64,
    grower_sd: f64,
) -> Result<RateFit, FitError> {
    let clusters = clusters::check(growers)?;
    let posterior = two_level(&clusters, CentrePrior::Around { mean, sd }, grower_sd, None);
    Ok(RateFit::new(posterior))
}

/// Log evidence of the default model alone, binomial coefficients included.
pub(crate) fn log_evidence(growers: &[Grower], options: &Options) -> Result<f64, FitError> {
    let clusters = clusters::check(growers)?;
    Ok(match options.levels.choose(&clusters) {
        Model::TwoLevel => two_level(&clusters, CentrePrior::Logistic, options.grower_sd, None).log_evidence,
        Model::ThreeLevel => three_level::integrate_levels(&clusters, options, None).log_evidence,
    })
}

/// The same with mu ~ N(mean, sd²) and s ~ half-Normal(`grower_sd`).
pub(crate) fn log_evidence_around(
    growers: &[Grower],
    mean: f64,
    sd: f64,
    grower_sd: f64,
) -> Result<f64, FitError> {
    let clusters = clusters::check(growers)?;
    Ok(two_level(&clusters, CentrePrior::Around { mean, sd }, grower_sd, None).log_evidence)
}

/// The weighted log of all binomial coefficients: the part of a log evidence that no model has a say in.
pub(crate) fn log_coefficient(growers: &[Grower]) -> Result<f64, FitError> {
    Ok(clusters::pooled_units(&clusters::check(growers)?).1)
}

fn two_level(
    clusters: &[clusters::Cluster],
    centre: CentrePrior,
    grower_sd: f64,
    fineness: Option<Fineness>,
) -> Posterior {
    let (mut units, log_coefficient) = clusters::pooled_units(clusters);
    let fineness = fineness.unwrap_or_else(|| Fineness::for_units(units.total_power()));
    let grid = integrate(&mut units, centre, HalfNormal(grower_sd), fineness);
    Posterior {
        model: Model::TwoLevel,
        trial_line: None,
        log_evidence: grid.log_evidence + log_coefficient,
        slices: vec![Slice { trial_spread: 0.0, grid }],
    }
}

impl RateFit {
    fn new(posterior: Posterior) -> Self {
        let mixture = Mixture::new(posterior.columns());
        Self { summary: OnceLock::new(), mixture, posterior }
    }

    /// Which form of the model was fitted.
    pub fn model(&self) -> Model {
        self.posterior.model
    }

    /// Means, quantiles and probabilities.
    pub fn summary(&self) -> &RateSummary {
        self.summary.get_or_init(|| summary::summarise(&self.posterior, &self.mixture))
    }

    /// Log of the marginal likelihood of all counts.
    pub(crate) fn log_evidence(&self) -> f64 {
        self.posterior.log_evidence
    }

    /// The law of a new grower's log odds.
    pub(crate) fn new_grower(&self) -> &Mixture {
        &self.mixture
    }

    /// Standard deviation of mu.
    pub(crate) fn centre_sd(&self) -> f64 {
        centre_moments(&self.posterior.columns().map(|(column, _)| column)).1
    }

    /// Points of mu with their weights.
    pub(crate) fn centre_points(&self) -> Vec<(f64, f64)> {
        self.posterior.columns().flat_map(|(column, _)| column.nodes()).collect()
    }

    /// Total spreads with their weights.
    pub(crate) fn spread_points(&self) -> Vec<(f64, f64)> {
        self.posterior.columns().map(|(column, spread)| (spread, column.mass())).collect()
    }

    /// Posterior density of mu at a point of the logit axis.
    pub fn centre_density(&self, mu: f64) -> f64 {
        self.posterior.columns().map(|(column, _)| column.density(mu)).sum()
    }

    /// Posterior density of the spread between growers, at `spread` > 0.
    pub fn grower_spread_density(&self, spread: f64) -> f64 {
        let of_slice = |slice: &Slice| slice.grid.spread_masses().density(spread);
        self.posterior.slices.iter().map(of_slice).sum()
    }
}
