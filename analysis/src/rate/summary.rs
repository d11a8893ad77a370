//! Means, quantiles and probabilities of a fit.

use schemars::JsonSchema;
use serde::{Deserialize, Deserializer, Serialize};

use super::spread::{self, SpreadFigures};
use super::{Model, Posterior};
use crate::mixture::{Mixture, average_logits, rate_of};
use crate::posterior::{Column, cdf_inverse, centre_moments, centre_quantile, lattice_cdf};

/// The three probabilities of every `_q` field.
const LEVELS: [f64; 3] = [0.025, 0.5, 0.975];

/// Posterior summary of the default model. Every `_q` holds the 2.5, 50 and 97.5 % points; rates are 0..=1, `mu`
/// and the spreads are on the logit scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RateSummary {
    /// Which form of the model was fitted.
    pub model: Model,
    /// Mean of mu, the log odds of a typical grower's rate.
    pub mu_mean: f64,
    /// Standard deviation of mu.
    pub mu_sd: f64,
    /// Quantiles of mu.
    pub mu_q: [f64; 3],
    /// Mean of the total spread: between growers, and in three levels between trials as well (root of the sum of
    /// squares).
    pub tau_mean: f64,
    /// Quantiles of the total spread; one that is not defined is null in JSON, and NaN or infinite here.
    #[serde(deserialize_with = "undefined_or_number")]
    #[schemars(with = "[Option<f64>; 3]")]
    pub tau_q: [f64; 3],
    /// Three levels only: mean spread between growers.
    pub sd_grower_mean: Option<f64>,
    /// Three levels only: mean spread between the trials of a grower.
    pub sd_trial_mean: Option<f64>,
    /// Mean of the typical grower's rate, logistic(mu).
    pub typical_grower_rate_mean: f64,
    /// Quantiles of the typical grower's rate.
    pub typical_grower_rate_q: [f64; 3],
    /// Mean of the average grower's rate, E logistic(mu + s Z): the headline.
    pub average_grower_rate_mean: f64,
    /// Quantiles of the average grower's rate.
    pub average_grower_rate_q: [f64; 3],
    /// Mean of a new grower's rate; the same number as the average grower's mean.
    pub new_grower_rate_mean: f64,
    /// Standard deviation of a new grower's rate.
    pub new_grower_rate_sd: f64,
    /// Quantiles of a new grower's rate: the prediction interval.
    pub new_grower_rate_q: [f64; 3],
    /// Chance that a new grower's rate exceeds 10 %.
    pub prob_new_grower_above_10pct: f64,
    /// Chance that a new grower's rate exceeds 50 %.
    pub prob_new_grower_above_50pct: f64,
    /// Log of the marginal likelihood of all counts.
    pub log_evidence: f64,
}

/// Reads numbers of which JSON has null for those that are not defined, since it has no other word for them.
fn undefined_or_number<'de, D: Deserializer<'de>>(deserializer: D) -> Result<[f64; 3], D::Error> {
    let read = <[Option<f64>; 3]>::deserialize(deserializer)?;
    Ok(read.map(|number| number.unwrap_or(f64::NAN)))
}

pub(super) fn summarise(posterior: &Posterior, mixture: &Mixture) -> RateSummary {
    let columns = || posterior.columns().map(|(column, _)| column);
    let (mu_mean, mu_sd) = centre_moments(&columns());
    let mu_q = LEVELS.map(|p| centre_quantile(&columns(), p, mu_mean, mu_sd));
    let (rate_mean, rate_sd) = mixture.rate_moments();
    let SpreadFigures { mean, quantiles, grower_mean, trial_mean } = spread::figures(posterior, LEVELS);
    let three = posterior.model == Model::ThreeLevel;
    RateSummary {
        model: posterior.model,
        mu_mean,
        mu_sd,
        mu_q,
        tau_mean: mean,
        tau_q: quantiles,
        sd_grower_mean: three.then_some(grower_mean),
        sd_trial_mean: three.then_some(trial_mean),
        typical_grower_rate_mean: columns().flat_map(Column::nodes).map(|(mu, w)| w * rate_of(mu)).sum(),
        typical_grower_rate_q: mu_q.map(rate_of),
        average_grower_rate_mean: rate_mean,
        average_grower_rate_q: average_quantiles(posterior),
        new_grower_rate_mean: rate_mean,
        new_grower_rate_sd: rate_sd,
        new_grower_rate_q: LEVELS.map(|p| rate_of(mixture.quantile(p))),
        prob_new_grower_above_10pct: mixture.prob_rate_above(0.1),
        prob_new_grower_above_50pct: mixture.prob_rate_above(0.5),
        log_evidence: posterior.log_evidence,
    }
}

/// Quantiles of E logistic(mu + s Z), which rises with mu in every column.
fn average_quantiles(posterior: &Posterior) -> [f64; 3] {
    let curve = |(column, s): (&'_ Column, f64)| {
        let mus: Vec<f64> = column.nodes().map(|(mu, _)| mu).collect();
        average_logits(&mus, s)
    };
    let curves: Vec<(&Column, Vec<f64>)> = posterior.columns().map(|both| (both.0, curve(both))).collect();
    let pairs = || curves.iter().flat_map(|(column, logits)| column.weights.iter().zip(logits));
    let mean: f64 = pairs().map(|(w, x)| w * x).sum();
    let sd = pairs().map(|(w, x)| w * (x - mean).powi(2)).sum::<f64>().sqrt();
    let cdf = |x: f64| curves.iter().map(|(column, logits)| mass_below(column, logits, x)).sum();
    LEVELS.map(|p| {
        let guess = mean + sd * crate::normal::quantile(p);
        rate_of(cdf_inverse(cdf, p, guess, sd))
    })
}

/// Weight of the part of a column in which the rising `values` of its nodes lie below `x`.
fn mass_below(column: &Column, values: &[f64], x: f64) -> f64 {
    let above = values.partition_point(|v| *v < x);
    if above == 0 {
        return 0.0;
    }
    if above == values.len() {
        return column.mass();
    }
    let first = above.saturating_sub(3).min(values.len().saturating_sub(6));
    let near = &values[first..values.len().min(first + 6)];
    lattice_cdf(column, column.mu(first) + column.step * inverse_lagrange(near, x))
}

/// Place, in steps from the first value, at which values on a regular lattice reach `x` (Lagrange in the values).
fn inverse_lagrange(values: &[f64], x: f64) -> f64 {
    let mut place = 0.0;
    for (i, vi) in values.iter().enumerate() {
        let others = values.iter().enumerate().filter(|(j, _)| *j != i);
        place += i as f64 * others.map(|(_, vj)| (x - vj) / (vi - vj)).product::<f64>();
    }
    place
}
