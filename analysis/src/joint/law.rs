//! What is to be expected of a species and method.

use super::cell::Points;
use crate::binomial::binomial_at_least;
use crate::gauss_hermite::gauss_hermite;
use crate::logit::logistic;
use crate::normal;

/// One node's law of the log odds of an average grower, and how much a new grower's trial departs from it.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) points: Points,
    pub(super) new_grower_sd: f64,
}

/// The law of a species and method; nodes count alike.
#[derive(Clone, Debug)]
pub struct CellLaw {
    parts: Vec<Part>,
    /// Mean log odds.
    pub log_odds_mean: f64,
    /// Their standard deviation.
    pub log_odds_sd: f64,
    /// Mean of the rate averaged over growers.
    pub average_rate_mean: f64,
}

/// Share below which a point cannot matter.
const NEGLIGIBLE: f64 = 1e-10;
/// Points that stand for what lies between two of them.
const FILLED: usize = 4;
/// Nodes of the average over growers.
const NODES: usize = 31;

pub(super) fn summarise(parts: Vec<Part>) -> CellLaw {
    let rule = gauss_hermite(NODES);
    let average = |of: &dyn Fn(&Part, f64) -> f64| {
        let part = |part: &Part| part.points.iter().map(|(x, share)| share * of(part, *x)).sum::<f64>();
        parts.iter().map(part).sum::<f64>() / parts.len() as f64
    };
    let mean = average(&|_, x| x);
    let variance = average(&|_, x| (x - mean).powi(2));
    let rate = |part: &Part, x: f64| {
        rule.iter().map(|(z, weight)| weight * logistic(x + part.new_grower_sd * z)).sum::<f64>()
    };
    let average_rate_mean = average(&rate);
    CellLaw { parts, log_odds_mean: mean, log_odds_sd: variance.sqrt(), average_rate_mean }
}

impl CellLaw {
    /// Points of the rate averaged over growers, with their shares.
    pub(super) fn average_rates(&self) -> Vec<(f64, f64)> {
        let rule = gauss_hermite(NODES);
        let nodes = self.parts.len() as f64;
        let mut out = Vec::new();
        for part in &self.parts {
            let average = |x: f64| {
                rule.iter().map(|(z, weight)| weight * logistic(x + part.new_grower_sd * z)).sum::<f64>()
            };
            // Points stand a sixth of a standard deviation apart: between them the density is filled in.
            for pair in part.points.windows(2) {
                let ((x, a), (y, b)) = (pair[0], pair[1]);
                if a + b < NEGLIGIBLE {
                    continue;
                }
                for k in 0..FILLED {
                    let t = (k as f64 + 0.5) / FILLED as f64;
                    let share = (a + (b - a) * t) / FILLED as f64;
                    out.push((average(x + (y - x) * t), share / nodes));
                }
            }
        }
        out
    }

    /// P(log odds of a new grower's trial <= x).
    pub(super) fn below(&self, x: f64) -> f64 {
        let part = |part: &Part| {
            let below = |(at, share): &(f64, f64)| share * normal::cdf((x - at) / part.new_grower_sd);
            part.points.iter().filter(|point| point.1 > NEGLIGIBLE).map(below).sum::<f64>()
        };
        self.parts.iter().map(part).sum::<f64>() / self.parts.len() as f64
    }

    /// Quantile of a new grower's rate at `p` in 0..1, by bisection.
    pub fn new_grower_rate(&self, p: f64) -> f64 {
        let (mut low, mut high) = (-40.0, 40.0);
        for _ in 0..60 {
            let middle = f64::midpoint(low, high);
            if self.below(middle) < p { low = middle } else { high = middle }
        }
        logistic(f64::midpoint(low, high))
    }

    /// Chance that `y` or more of `n` pieces succeed in a new grower's trial.
    pub fn chance_at_least(&self, y: u32, n: u32) -> f64 {
        let rule = gauss_hermite(NODES);
        let part = |part: &Part| {
            let at = |x: f64| {
                let chance = |z: f64| binomial_at_least(y, n, logistic(x + part.new_grower_sd * z));
                rule.iter().map(|(z, weight)| weight * chance(*z)).sum::<f64>()
            };
            part.points.iter().map(|(x, share)| share * at(*x)).sum::<f64>()
        };
        self.parts.iter().map(part).sum::<f64>() / self.parts.len() as f64
    }
}
