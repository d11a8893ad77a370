//! The conditional likelihood of a two-by-two table.

use crate::Pair;
use crate::exact::Conditional;
use crate::marginal::{Axis, LogDensity};

/// Log likelihood of the log odds ratio given all margins (Fisher's noncentral hypergeometric distribution, a product over
/// strata), tempered by how much pots differ.
#[derive(Clone, Debug)]
pub(crate) struct Hypergeometric {
    /// Successes in the first arm, above the least possible.
    place: usize,
    /// Log weights of all possible numbers, at odds ratio 1.
    log_weights: Vec<f64>,
    /// Power on the likelihood.
    power: f64,
    sharpness: f64,
}

impl Hypergeometric {
    pub(crate) fn new(strata: &[Pair], power: f64) -> Self {
        let Conditional { place, log_weights } = Conditional::new(strata);
        let mut table = Self { place, log_weights, power, sharpness: 0.0 };
        table.sharpness = power * table.widest_variance();
        table
    }

    /// Log of the sum of weights tilted by `psi`, and mean and variance of the count above its least.
    fn tilted(&self, psi: f64) -> (f64, f64, f64) {
        let terms = || self.log_weights.iter().enumerate().map(|(k, w)| (k as f64, w + k as f64 * psi));
        let top = terms().map(|t| t.1).fold(f64::NEG_INFINITY, f64::max);
        let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
        for (k, log_weight) in terms() {
            let weight = (log_weight - top).exp();
            sum += weight;
            first += weight * k;
            second += weight * k * k;
        }
        let mean = first / sum;
        (top + sum.ln(), mean, second / sum - mean * mean)
    }

    /// Largest curvature of the log likelihood, on a scan of log odds ratios.
    fn widest_variance(&self) -> f64 {
        (-24..=24).map(|k| self.tilted(f64::from(k) * 0.5).2).fold(0.25, f64::max)
    }
}

impl LogDensity for Hypergeometric {
    fn fill(&self, axis: &Axis, out: &mut [f64]) {
        for (k, value) in out.iter_mut().enumerate() {
            *value = self.at(axis.theta(k));
        }
    }

    fn at(&self, theta: f64) -> f64 {
        let seen = self.log_weights[self.place] + self.place as f64 * theta;
        self.power * (seen - self.tilted(theta).0)
    }

    fn derivatives(&self, theta: f64) -> (f64, f64) {
        let (_, mean, variance) = self.tilted(theta);
        (self.power * (self.place as f64 - mean), -self.power * variance)
    }

    fn sharpness(&self) -> f64 {
        self.sharpness
    }
}
