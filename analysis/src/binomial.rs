//! Binomial probabilities on the logit axis.

use statrs::function::beta::beta_reg;
use statrs::function::gamma::ln_gamma;

use crate::logit::{log_logistic_pair, logistic};
use crate::marginal::{Axis, LogDensity};

/// ln of n choose r, from factorials.
pub(crate) fn ln_choose(n: f64, r: f64) -> f64 {
    if r <= 0.0 || r >= n {
        return 0.0;
    }
    ln_gamma(n + 1.0) - ln_gamma(r + 1.0) - ln_gamma(n - r + 1.0)
}

/// P(Y >= y) for Y ~ Binomial(n, p): the regularised incomplete beta function `I_p(y, n - y + 1)`.
pub fn binomial_at_least(y: u32, n: u32, p: f64) -> f64 {
    if y == 0 {
        1.0
    } else if y > n || p <= 0.0 {
        0.0
    } else if p >= 1.0 {
        1.0
    } else {
        beta_reg(f64::from(y), f64::from(n - y) + 1.0, p)
    }
}

/// Likelihood of `succeeded` of `started` as a function of the log odds, without the binomial coefficient.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(crate) struct Binomial {
    pub(crate) started: f64,
    pub(crate) succeeded: f64,
}

impl LogDensity for Binomial {
    fn fill(&self, axis: &Axis, out: &mut [f64]) {
        let (r, f) = (self.succeeded, self.started - self.succeeded);
        for ((value, p), q) in out.iter_mut().zip(axis.log_p()).zip(axis.log_q()) {
            *value = r * p + f * q;
        }
    }

    fn at(&self, theta: f64) -> f64 {
        let (p, q) = log_logistic_pair(theta);
        self.succeeded * p + (self.started - self.succeeded) * q
    }

    fn derivatives(&self, theta: f64) -> (f64, f64) {
        let p = logistic(theta);
        (self.succeeded - self.started * p, -self.started * p * (1.0 - p))
    }

    fn sharpness(&self) -> f64 {
        let p = (self.succeeded + 0.5) / (self.started + 1.0);
        self.started * p * (1.0 - p)
    }
}
