//! Maximum likelihood in binomial mixed models by Laplace's method or adaptive Gauss–Hermite quadrature.
//!
//! For reference, and for readers who want no prior; never a headline. Nothing is added to a count, so where nothing (or
//! everything) succeeded no estimate exists, and the answer says so.

mod group;
mod rate;
mod reweighted;

pub use rate::{NestedMaximum, RateMaximum, maximum_likelihood, maximum_likelihood_nested};
pub use reweighted::fit_reweighted;

use crate::gauss_hermite::gauss_hermite;
use crate::matrix::Matrix;
use crate::optimise::{hessian, minimise};
use group::{Workspace, log_integral};

/// One binomial observation of a mixed model.
#[derive(Clone, Debug)]
pub struct Observation {
    /// Successes.
    pub succeeded: f64,
    /// Pieces.
    pub started: f64,
    /// Fixed part of the log odds that is not estimated.
    pub offset: f64,
    /// Values of the fixed effects' columns.
    pub fixed: Vec<f64>,
    /// Values of the random effects' columns, as many as the group has random effects.
    pub random: Vec<f64>,
}

/// Observations that share random effects.
#[derive(Clone, Debug)]
pub struct Group {
    /// The observations; their random columns are numbered within the group.
    pub observations: Vec<Observation>,
    /// For every random effect of the group, which standard deviation it has.
    pub spreads: Vec<usize>,
}

/// Why no estimate is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MixedError {
    /// Nothing, or everything, succeeded: the likelihood rises without limit.
    #[error("no maximum-likelihood estimate exists: the outcome is the same everywhere")]
    NoMaximum,
    /// No observations.
    #[error("there is nothing to fit")]
    Empty,
}

/// A fitted mixed model.
#[derive(Clone, Debug)]
pub struct MixedFit {
    /// Fixed effects.
    pub beta: Vec<f64>,
    /// Standard errors, from the second derivatives in all parameters.
    pub se: Vec<f64>,
    /// Standard deviations of the random effects.
    pub spreads: Vec<f64>,
    /// Log likelihood, binomial coefficients included.
    pub log_likelihood: f64,
}

/// Fits fixed effects and `spreads` standard deviations; `nodes` > 1 takes adaptive quadrature in groups with a single
/// random effect (Liu & Pierce 1994, Biometrika 81:624), 1 is Laplace's method.
///
/// # Errors
/// [`MixedError`] when there is nothing to fit or no estimate exists.
pub fn fit_mixed(groups: &[Group], spreads: usize, nodes: usize) -> Result<MixedFit, MixedError> {
    no_maximum(groups)?;
    let columns = groups[0].observations[0].fixed.len();
    let rule = gauss_hermite(nodes);
    let mut workspaces: Vec<Workspace> = groups.iter().map(Workspace::new).collect();
    let mut deviance = |parameters: &[f64]| -> f64 {
        let (sds, beta) = parameters.split_at(spreads);
        let terms = groups.iter().zip(&mut workspaces);
        -terms.map(|(group, space)| log_integral(group, space, sds, beta, &rule)).sum::<f64>()
    };
    let mut start = vec![0.7; spreads];
    start.extend(initial_fixed(groups, columns));
    let mut best = minimise(&mut deviance, &start);
    start =
        best.point.iter().enumerate().map(|(k, v)| if k < spreads { 0.3 * v + 0.1 } else { *v }).collect();
    let again = minimise(&mut deviance, &start);
    if again.value < best.value {
        best = again;
    }
    settle_at_zero(&mut deviance, &mut best, spreads);
    let se = standard_errors(&mut deviance, &best.point, spreads);
    let (sds, beta) = best.point.split_at(spreads);
    Ok(MixedFit {
        beta: beta.to_vec(),
        se,
        spreads: sds.iter().map(|s| s.abs()).collect(),
        log_likelihood: -best.value,
    })
}

/// Refuses empty data, and data in which nothing or everything succeeded.
fn no_maximum(groups: &[Group]) -> Result<(), MixedError> {
    if groups.first().is_none_or(|group| group.observations.is_empty()) {
        return Err(MixedError::Empty);
    }
    let observations = groups.iter().flat_map(|g| &g.observations);
    let (r, n) = observations.fold((0.0, 0.0), |(r, n), o| (r + o.succeeded, n + o.started));
    if r <= 0.0 || r >= n { Err(MixedError::NoMaximum) } else { Ok(()) }
}

/// A few steps of iteratively reweighted least squares without random effects.
fn initial_fixed(groups: &[Group], columns: usize) -> Vec<f64> {
    let mut beta = vec![0.0; columns];
    let observations = || groups.iter().flat_map(|g| &g.observations);
    for _ in 0..8 {
        let mut information = Matrix::from_fn(columns, columns, |i, j| if i == j { 1e-3 } else { 0.0 });
        let mut score: Vec<f64> = beta.iter().map(|b| -1e-3 * b).collect();
        for o in observations() {
            let eta = o.offset + o.fixed.iter().zip(&beta).map(|(x, b)| x * b).sum::<f64>();
            let p = crate::logit::logistic(eta);
            for i in 0..columns {
                score[i] += (o.succeeded - o.started * p) * o.fixed[i];
                for j in 0..columns {
                    information[(i, j)] += o.started * p * (1.0 - p) * o.fixed[i] * o.fixed[j];
                }
            }
        }
        let Some(factor) = information.cholesky() else { break };
        let step = factor.solve_factored(&score);
        beta.iter_mut().zip(step).for_each(|(b, s)| *b += s.clamp(-2.0, 2.0));
    }
    beta
}

/// Puts spreads that have run against zero exactly there.
fn settle_at_zero(
    deviance: &mut impl FnMut(&[f64]) -> f64,
    best: &mut crate::optimise::Minimum,
    spreads: usize,
) {
    for k in 0..spreads {
        if best.point[k].abs() < 2e-2 {
            let mut probe = best.point.clone();
            probe[k] = 0.0;
            let value = deviance(&probe);
            if value <= best.value + 1e-6 {
                best.point = probe;
                best.value = value;
            }
        }
    }
}

/// From the inverse of the second derivatives; spreads at zero are held there.
fn standard_errors(deviance: &mut impl FnMut(&[f64]) -> f64, point: &[f64], spreads: usize) -> Vec<f64> {
    let free: Vec<usize> = (0..point.len()).filter(|k| *k >= spreads || point[*k].abs() > 1e-6).collect();
    let start: Vec<f64> = free.iter().map(|k| point[*k]).collect();
    let mut of_free = |values: &[f64]| {
        let mut all = point.to_vec();
        free.iter().zip(values).for_each(|(k, v)| all[*k] = *v);
        deviance(&all)
    };
    let covariance = hessian(&mut of_free, &start).inverse();
    (spreads..point.len())
        .map(|k| {
            let place = free.iter().position(|f| *f == k).expect("fixed effects are always free");
            covariance.as_ref().map_or(f64::NAN, |c| c[(place, place)].sqrt())
        })
        .collect()
}
