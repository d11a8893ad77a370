//! The conditional likelihood of a two-by-two table.

use super::Pair;
use crate::binomial::ln_choose;
use crate::marginal::{Axis, LogDensity};

/// Log likelihood of the log odds ratio given both margins (Fisher's noncentral hypergeometric distribution).
#[derive(Clone, Debug)]
pub(crate) struct Hypergeometric {
    /// Successes in the first arm.
    seen: f64,
    /// Smallest possible number of them.
    least: f64,
    /// Log weights of all possible numbers, at odds ratio 1.
    log_weights: Vec<f64>,
    sharpness: f64,
}

impl Hypergeometric {
    pub(crate) fn new(pair: Pair) -> Self {
        let total = pair.first.succeeded + pair.second.succeeded;
        let least = total.saturating_sub(pair.second.started);
        let most = total.min(pair.first.started);
        let (n1, n2) = (f64::from(pair.first.started), f64::from(pair.second.started));
        let log_weight = |x: u32| ln_choose(n1, f64::from(x)) + ln_choose(n2, f64::from(total - x));
        let log_weights: Vec<f64> = (least..=most).map(log_weight).collect();
        let seen = f64::from(pair.first.succeeded);
        let mut table = Self { seen, least: f64::from(least), log_weights, sharpness: 0.0 };
        table.sharpness = table.widest_variance();
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
        let place = self.seen - self.least;
        self.log_weights[place as usize] + place * theta - self.tilted(theta).0
    }

    fn derivatives(&self, theta: f64) -> (f64, f64) {
        let (_, mean, variance) = self.tilted(theta);
        (self.seen - self.least - mean, -variance)
    }

    fn sharpness(&self) -> f64 {
        self.sharpness
    }
}
