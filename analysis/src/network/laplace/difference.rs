//! The law of how far one method lies above another.

use super::Posterior;
use crate::FitError;
use crate::normal;
use crate::posterior::cdf_inverse;
use crate::shape::{Held, Shape, moments_at, sum_at};

/// A mixture over the nodes, each of one shape in units of its normal approximation.
pub(super) struct Difference {
    /// Share, mean and standard deviation.
    parts: Vec<(f64, f64, f64)>,
    shape: Shape,
}

impl Difference {
    /// Of methods `i` and `j`; global parameter 0 holds m, so that the reference has none of its own.
    pub(super) fn new(posterior: &Posterior, i: usize, j: usize) -> Result<Self, FitError> {
        let both = [(i, 1.0), (j, -1.0)];
        let terms: Vec<(usize, f64)> = both.into_iter().filter(|(method, _)| *method > 0).collect();
        let parts = posterior.nodes.iter().map(|node| {
            let (mean, sd) = moments_at(&terms, &node.mean, &node.covariance);
            (node.share, mean, sd)
        });
        Ok(Self { parts: parts.collect(), shape: shape(posterior, &terms)? })
    }

    fn average(&self, f: impl Fn(f64, f64) -> f64) -> f64 {
        self.parts.iter().map(|(share, mean, sd)| share * f(*mean, *sd)).sum()
    }

    /// Mean and standard deviation.
    pub(super) fn moments(&self) -> (f64, f64) {
        let own = |mean: f64, sd: f64| mean + sd * self.shape.mean;
        let mean = self.average(own);
        let square = self.average(|m, sd| (own(m, sd) - mean).powi(2) + (sd * self.shape.sd).powi(2));
        (mean, square.sqrt())
    }

    fn cdf(&self, x: f64) -> f64 {
        self.average(|mean, sd| self.shape.cdf((x - mean) / sd))
    }

    pub(super) fn quantile(&self, p: f64) -> f64 {
        let (mean, sd) = self.moments();
        cdf_inverse(|x| self.cdf(x), p, mean + sd * normal::quantile(p), sd)
    }

    pub(super) fn above_zero(&self) -> f64 {
        1.0 - self.cdf(0.0)
    }
}

fn shape(posterior: &Posterior, terms: &[(usize, f64)]) -> Result<Shape, FitError> {
    let node = posterior.heaviest();
    let (mean, sd) = moments_at(terms, &node.mean, &node.covariance);
    let mut warm = posterior.mode.clone();
    Shape::of(mean, sd, sum_at(terms, &posterior.mode.global), |value, begins| {
        if begins {
            warm.clone_from(&posterior.mode);
        }
        posterior.problem.log_density(&mut warm, node.s, node.tau, &Held { terms, value })
    })
}
