//! Laws of sums of effects: mixtures over the nodes, each of one shape.

use super::laplace::Posterior;
use crate::FitError;
use crate::logit::{logistic, logit};
use crate::normal;
use crate::posterior::cdf_inverse;
use crate::shape::Shape;

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
    pub(super) fn new(posterior: &Posterior, terms: &[(usize, f64)]) -> Result<Self, FitError> {
        let components = posterior.nodes.iter().map(|node| {
            let (mean, sd) = node.moments(terms);
            let spread = node.grower_spread.hypot(node.trial_spread);
            Component { share: node.share, mean, sd, spread }
        });
        Ok(Self { components: components.collect(), shape: posterior.shape(terms)? })
    }

    fn average(&self, f: impl Fn(&Component) -> f64) -> f64 {
        self.components.iter().map(|component| component.share * f(component)).sum()
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
        quantiles(|x| self.average(|c| self.new_grower_cdf(c, x)), mean, wider)
    }

    /// P(sum + spread × Z <= x), the wider of the two being the one whose distribution function is taken.
    fn new_grower_cdf(&self, c: &Component, x: f64) -> f64 {
        if c.spread > c.sd {
            let beyond =
                |(point, weight): &(f64, f64)| weight * normal::cdf((x - c.mean - c.sd * point) / c.spread);
            return self.shape.points().iter().map(beyond).sum();
        }
        let at = |(z, weight): (f64, f64)| weight * self.shape.cdf((x - c.mean - c.spread * z) / c.sd);
        normal_points(0.5, 14).map(at).sum()
    }

    /// Mean of the average grower's rate, and its quantiles.
    pub(super) fn average_rate(&self) -> (f64, [f64; 3]) {
        let (mean, sd) = self.moments();
        let points = self.shape.points();
        let of_component = |c: &Component| {
            points.iter().map(|(x, _)| average_log_odds(c.mean + c.sd * x, c.spread)).collect()
        };
        let curves: Vec<Vec<f64>> = self.components.iter().map(of_component).collect();
        let both = || self.components.iter().zip(&curves);
        let of_curve =
            |curve: &[f64]| points.iter().zip(curve).map(|((_, w), x)| w * logistic(*x)).sum::<f64>();
        let rate = both().map(|(c, curve)| c.share * of_curve(curve)).sum();
        let below = |c: &Component, curve: &[f64], x: f64| c.share * self.shape.cdf(self.place(curve, x));
        let cdf = |x: f64| both().map(|(c, curve)| below(c, curve, x)).sum();
        (rate, quantiles(cdf, mean, sd).map(logistic))
    }

    /// The point of the shape at which a rising curve over its points reaches `x`.
    fn place(&self, curve: &[f64], x: f64) -> f64 {
        let points = self.shape.points();
        let above = curve.partition_point(|value| *value < x);
        let first = above.saturating_sub(2).min(curve.len().saturating_sub(4));
        let near = first..curve.len().min(first + 4);
        if above == 0 || above == curve.len() {
            // Beyond the last point; all that matters is on which side.
            return if above == 0 { f64::NEG_INFINITY } else { f64::INFINITY };
        }
        let term = |i: usize| {
            let others = near.clone().filter(|j| *j != i);
            points[i].0 * others.map(|j| (x - curve[j]) / (curve[i] - curve[j])).product::<f64>()
        };
        near.clone().map(term).sum()
    }
}

fn quantiles(cdf: impl Fn(f64) -> f64, mean: f64, sd: f64) -> [f64; 3] {
    LEVELS.map(|p| cdf_inverse(&cdf, p, mean + sd * normal::quantile(p), sd))
}

/// Points and weights of a standard normal density on a lattice.
fn normal_points(step: f64, reach: i32) -> impl Iterator<Item = (f64, f64)> {
    (-reach..=reach).map(move |k| {
        let z = step * f64::from(k);
        (z, step * normal::density(z))
    })
}

/// Log odds of E logistic(x + s Z).
fn average_log_odds(x: f64, s: f64) -> f64 {
    // The mirror image keeps the rate small, where its log odds are exact.
    if x > 0.0 {
        return -average_log_odds(-x, s);
    }
    let rate: f64 = normal_points(STEP, REACH).map(|(z, weight)| weight * logistic(x + s * z)).sum();
    logit(rate)
}
