//! Contrast-based network meta-analysis in the normal model, for reference and as a quick check.

use super::contrasts::NetworkTrial;
use crate::chi_squared::chi_squared_above;
use crate::glm::logistic_regression;
use crate::meta::{MetaError, Multivariate, MultivariateFit};

/// Log odds ratios of all methods but the reference (method 0), in the order of methods.
#[derive(Clone, Debug)]
pub struct NetworkEstimate {
    /// Estimates.
    pub log_or: Vec<f64>,
    /// Their covariance, row by row.
    pub covariance: Vec<Vec<f64>>,
    /// Variance between trials of one contrast.
    pub tau2: f64,
    /// Heterogeneity and inconsistency together, at tau² = 0.
    pub q: f64,
    /// Contrasts less methods.
    pub q_df: f64,
}

impl NetworkEstimate {
    /// p value of [`q`](Self::q).
    pub fn q_p(&self) -> f64 {
        chi_squared_above(self.q, self.q_df)
    }

    /// Log odds ratio of one method against another, and its variance.
    pub fn contrast(&self, first: usize, second: usize) -> (f64, f64) {
        let value = |i: usize| if i == 0 { 0.0 } else { self.log_or[i - 1] };
        let cov = |i: usize, j: usize| if i == 0 || j == 0 { 0.0 } else { self.covariance[i - 1][j - 1] };
        let variance = cov(first, first) + cov(second, second) - 2.0 * cov(first, second);
        (value(first) - value(second), variance.max(0.0))
    }
}

/// Contrasts of every trial against its first arm.
struct Stacked {
    model: Multivariate,
    /// Trial of every contrast, and its place in the trial.
    places: Vec<(usize, usize)>,
}

fn stack(methods: usize, trials: &[NetworkTrial]) -> Stacked {
    let (mut estimates, mut design, mut places, mut errors) = (vec![], vec![], vec![], vec![]);
    for (index, trial) in trials.iter().filter(|t| t.is_informative()).enumerate() {
        let arms = trial.log_odds();
        let (base, base_value, base_variance) = arms[0];
        for (place, (method, value, variance)) in arms[1..].iter().enumerate() {
            let mut row = vec![0.0; methods];
            row[*method] += 1.0;
            row[base] -= 1.0;
            design.push(row[1..].to_vec());
            estimates.push(value - base_value);
            places.push((index, place));
            errors.push((base_variance, *variance));
        }
    }
    let covariance = square(places.len(), |i, j| match (places[i].0 == places[j].0, i == j) {
        (_, true) => errors[i].0 + errors[i].1,
        (true, _) => errors[i].0,
        _ => 0.0,
    });
    Stacked { model: Multivariate { estimates, covariance, design, patterns: vec![] }, places }
}

fn square(n: usize, entry: impl Fn(usize, usize) -> f64) -> Vec<Vec<f64>> {
    (0..n).map(|i| (0..n).map(|j| entry(i, j)).collect()).collect()
}

/// Pattern of contrasts that share a level: 1 for the same place, 1/2 for another place, 0 between levels.
fn half_correlated(places: &[(usize, usize)], level: impl Fn(usize) -> usize) -> Vec<Vec<f64>> {
    square(places.len(), |i, j| {
        match (level(places[i].0) == level(places[j].0), places[i].1 == places[j].1) {
            (false, _) => 0.0,
            (true, true) => 1.0,
            (true, false) => 0.5,
        }
    })
}

fn estimate(fit: MultivariateFit, contrasts: usize) -> NetworkEstimate {
    NetworkEstimate {
        tau2: fit.variances.first().copied().unwrap_or(0.0),
        q_df: contrasts as f64 - fit.beta.len() as f64,
        q: fit.q,
        log_or: fit.beta,
        covariance: fit.covariance,
    }
}

/// One true contrast for all trials: weighted least squares of log odds ratios (natural logarithms) against method 0.
///
/// # Errors
/// [`MetaError::Singular`] when the methods are not connected.
pub fn common_effect(methods: usize, trials: &[NetworkTrial]) -> Result<NetworkEstimate, MetaError> {
    let stacked = stack(methods, trials);
    Ok(estimate(stacked.model.fit(false)?, stacked.places.len()))
}

/// Contrasts that vary between trials with correlation 1/2 inside a trial; `restricted` takes restricted maximum
/// likelihood.
///
/// # Errors
/// [`MetaError::Singular`] when the methods are not connected.
pub fn random_effects(
    methods: usize,
    trials: &[NetworkTrial],
    restricted: bool,
) -> Result<NetworkEstimate, MetaError> {
    let mut stacked = stack(methods, trials);
    stacked.model.patterns = vec![half_correlated(&stacked.places, |trial| trial)];
    Ok(estimate(stacked.model.fit(restricted)?, stacked.places.len()))
}

/// At the moment estimate of tau²: Q in excess of its degrees of freedom over tr(P M), M the pattern of the variance.
pub(super) fn moment_estimate(methods: usize, trials: &[NetworkTrial]) -> Result<NetworkEstimate, MetaError> {
    let mut stacked = stack(methods, trials);
    let pattern = half_correlated(&stacked.places, |trial| trial);
    let common = estimate(stacked.model.fit(false)?, stacked.places.len());
    let trace = stacked.model.projected_trace(&pattern)?;
    let tau2 = ((common.q - common.q_df) / trace).max(0.0);
    for (row, added) in stacked.model.covariance.iter_mut().zip(&pattern) {
        row.iter_mut().zip(added).for_each(|(v, m)| *v += tau2 * m);
    }
    let fit = stacked.model.fit(false)?;
    Ok(NetworkEstimate { tau2, q: common.q, ..estimate(fit, stacked.places.len()) })
}

/// Q of every design around its own contrasts, and the number of those contrasts.
pub(super) fn within_design_q(methods: usize, trials: &[NetworkTrial]) -> Result<(f64, usize), MetaError> {
    let informative: Vec<&NetworkTrial> = trials.iter().filter(|t| t.is_informative()).collect();
    let mut designs: Vec<Vec<usize>> = informative.iter().map(|t| t.design()).collect();
    designs.sort();
    designs.dedup();
    let (mut q, mut contrasts) = (0.0, 0);
    for design in designs {
        let of_design = informative.iter().filter(|t| t.design() == design).map(|t| (*t).clone());
        let mut stacked = stack(methods, &of_design.collect::<Vec<_>>());
        let places = stacked.places.iter().map(|place| place.1);
        stacked.model.design =
            places.map(|p| (1..design.len()).map(|j| f64::from(u8::from(j == p + 1))).collect()).collect();
        q += stacked.model.fit(false)?.q;
        contrasts += design.len() - 1;
    }
    Ok((q, contrasts))
}

/// A further variance between designs, which are sets of methods (White et al. 2012, Res Synth Methods 3:111): heterogeneity and inconsistency variances, and the estimates.
///
/// # Errors
/// [`MetaError::Singular`] when the methods are not connected.
pub fn inconsistency(methods: usize, trials: &[NetworkTrial]) -> Result<(f64, f64, Vec<f64>), MetaError> {
    let mut stacked = stack(methods, trials);
    let designs: Vec<Vec<usize>> =
        trials.iter().filter(|t| t.is_informative()).map(NetworkTrial::design).collect();
    let first = |trial: usize| designs.iter().position(|d| *d == designs[trial]).unwrap_or(trial);
    stacked.model.patterns =
        vec![half_correlated(&stacked.places, |trial| trial), half_correlated(&stacked.places, first)];
    let fit = stacked.model.fit(true)?;
    Ok((fit.variances[0], fit.variances[1], fit.beta))
}

/// Exact binomial likelihood with fixed trial levels and one true contrast: log odds ratios and standard errors. A
/// separated method is infinite, and has no standard error.
pub fn binomial_common(methods: usize, trials: &[NetworkTrial]) -> Option<Vec<(f64, Option<f64>)>> {
    /// Beyond this a logit coefficient has run away.
    const SEPARATED: f64 = 12.0;
    let informative: Vec<&NetworkTrial> = trials.iter().filter(|t| t.is_informative()).collect();
    let mut rows = Vec::new();
    for (index, trial) in informative.iter().enumerate() {
        for arm in &trial.arms {
            let mut x = vec![0.0; methods - 1 + informative.len()];
            if arm.method > 0 {
                x[arm.method - 1] = 1.0;
            }
            x[methods - 1 + index] = 1.0;
            rows.push((f64::from(arm.count.succeeded), f64::from(arm.count.started), x));
        }
    }
    let fit = logistic_regression(&rows)?;
    let result = |k: usize| {
        let value = fit.beta[k];
        if value.abs() > SEPARATED {
            (value.signum() * f64::INFINITY, None)
        } else {
            (value, Some(fit.covariance[(k, k)].sqrt()))
        }
    };
    Some((0..methods - 1).map(result).collect())
}
