//! Laws of sums of effects: mixtures over the nodes, each of one shape.

use super::laplace::{Posterior, Shape};
use crate::logit::{logistic, logit};
use crate::normal;
use crate::posterior::cdf_inverse;

/// The three probabilities of every `_q` field.
const LEVELS: [f64; 3] = [0.025, 0.5, 0.975];
/// Normal weights for averages over growers: the logistic function's poles lie pi / s away, so that this step is exact to
/// 1e-6 up to s = 6.
const STEP: f64 = 0.25;
const REACH: i32 = 32;

/// A share of the law: mean and standard deviation of the normal approximation, in units of which the shape is given.
#[derive(Clone, Copy, Debug)]
struct Component {
    share: f64,
    mean: f64,
    sd: f64,
    /// Spread of growers and trials around it.
    spread: f64,
}

/// The law of a linear combination of mu and effects.
#[derive(Clone, Debug)]
pub(super) struct SumLaw {
    components: Vec<Component>,
    shape: Shape,
}

impl SumLaw {
    /// The law of the sum of coefficient × parameter over (place, coefficient) pairs.
    pub(super) fn new(posterior: &Posterior, terms: &[(usize, f64)]) -> Self {
        let components = posterior.nodes.iter().map(|node| {
            let (mean, sd) = node.moments(terms);
            let spread = node.grower_spread.hypot(node.trial_spread);
            Component { share: node.share, mean, sd, spread }
        });
        Self { components: components.collect(), shape: posterior.shape(terms) }
    }

    fn average(&self, f: impl Fn(&Component) -> f64) -> f64 {
        self.components.iter().map(|component| component.share * f(component)).sum()
    }

    /// The same of a function of the sum and the spread.
    fn average_over_sums(&self, f: impl Fn(f64, f64) -> f64) -> f64 {
        let of_point = |c: &Component, x: f64| f(c.mean + c.sd * x, c.spread);
        self.average(|c| self.shape.points().iter().map(|(x, weight)| weight * of_point(c, *x)).sum())
    }

    /// Mean and standard deviation.
    pub(super) fn moments(&self) -> (f64, f64) {
        let own = |c: &Component| c.mean + c.sd * self.shape.mean;
        let mean = self.average(own);
        let square = self.average(|c| (own(c) - mean).powi(2) + (c.sd * self.shape.sd).powi(2));
        (mean, square.sqrt())
    }

    /// P(sum <= x).
    fn cdf(&self, x: f64) -> f64 {
        self.average(|c| self.shape.cdf((x - c.mean) / c.sd))
    }

    /// Chance of a value above zero.
    pub(super) fn above_zero(&self) -> f64 {
        1.0 - self.cdf(0.0)
    }

    pub(super) fn quantiles(&self) -> [f64; 3] {
        let (mean, sd) = self.moments();
        quantiles(|x| self.cdf(x), mean, sd)
    }

    /// Quantiles of the log odds of a new grower's new trial.
    pub(super) fn new_grower_quantiles(&self) -> [f64; 3] {
        let (mean, sd) = self.moments();
        let wider = self.average(|c| c.spread * c.spread + sd * sd).sqrt();
        quantiles(|x| self.average_over_sums(|sum, spread| normal::cdf((x - sum) / spread)), mean, wider)
    }

    /// Mean of the average grower's rate.
    pub(super) fn average_rate(&self) -> f64 {
        self.average_over_sums(average_rate)
    }

    /// Quantiles of the average grower's rate, which rises with the sum at every spread.
    pub(super) fn average_rate_quantiles(&self) -> [f64; 3] {
        let (mean, sd) = self.moments();
        let place = |c: &Component, x: f64| (sum_for_average(x, c.spread) - c.mean) / c.sd;
        quantiles(|x| self.average(|c| self.shape.cdf(place(c, x))), mean, sd).map(logistic)
    }
}

fn quantiles(cdf: impl Fn(f64) -> f64, mean: f64, sd: f64) -> [f64; 3] {
    LEVELS.map(|p| cdf_inverse(&cdf, p, mean + sd * normal::quantile(p), sd))
}

/// E logistic(x + s Z).
fn average_rate(x: f64, s: f64) -> f64 {
    let term = |k: i32| {
        let z = STEP * f64::from(k);
        STEP * normal::density(z) * logistic(x + s * z)
    };
    (-REACH..=REACH).map(term).sum()
}

/// The x for which E logistic(x + s Z) has the log odds `want`: Newton's method on the log odds, whose slope in x lies
/// between 0 and 1.
fn sum_for_average(want: f64, s: f64) -> f64 {
    // From the normal approximation of the logistic function (Demidenko 2013, Mixed Models, section 7.1).
    const SQUEEZE: f64 = 0.346;
    // The mirror image keeps the rate small, where its log odds are exact.
    if want > 0.0 {
        return -sum_for_average(-want, s);
    }
    let mut x = want * (1.0 + SQUEEZE * s * s).sqrt();
    for _ in 0..40 {
        let p = average_rate(x, s);
        let ahead = average_rate(x + 1e-4, s);
        let slope = (logit(ahead) - logit(p)) / 1e-4;
        let step = (want - logit(p)) / slope.max(0.05);
        x += step.clamp(-4.0, 4.0);
        if step.abs() < 1e-9 * (1.0 + x.abs()) {
            break;
        }
    }
    x
}
