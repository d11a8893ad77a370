//! Means and quantiles of mu.

use super::{Column, cdf_inverse, lattice_cdf};
use crate::normal;

/// Mean and standard deviation of mu.
pub(crate) fn centre_moments<'a>(columns: &(impl Iterator<Item = &'a Column> + Clone)) -> (f64, f64) {
    let nodes = || columns.clone().flat_map(Column::nodes);
    let mean: f64 = nodes().map(|(mu, w)| mu * w).sum();
    let variance: f64 = nodes().map(|(mu, w)| (mu - mean).powi(2) * w).sum();
    (mean, variance.sqrt())
}

/// Quantile of mu at probability `p`.
pub(crate) fn centre_quantile<'a>(
    columns: &(impl Iterator<Item = &'a Column> + Clone),
    p: f64,
    mean: f64,
    sd: f64,
) -> f64 {
    let cdf = |x: f64| columns.clone().map(|column| lattice_cdf(column, x)).sum();
    cdf_inverse(cdf, p, mean + sd * normal::quantile(p), sd)
}
