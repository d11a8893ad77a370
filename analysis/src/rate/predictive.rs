//! The law of a grower not seen before: a mixture of normal distributions of log odds.

use std::collections::BTreeMap;

use super::Posterior;
use crate::binomial::ln_choose;
use crate::logit::{log_logistic_pair, logit};
use crate::marginal::{Axis, Kernel, level_for};
use crate::normal;
use crate::planning::binomial_at_least;

/// Relative weight below which a node cannot matter.
const NEGLIGIBLE: f64 = 1e-12;
/// Spreads a kernel reaches to either side.
const REACH: f64 = 10.2;

/// One component of the mixture: log odds ~ N(mu, s²).
#[derive(Clone, Copy, Debug)]
pub(crate) struct Node {
    pub(crate) mu: f64,
    pub(crate) s: f64,
    pub(crate) weight: f64,
}

/// The mixture, from the nodes of the posterior.
#[derive(Clone, Debug)]
pub(crate) struct Predictive {
    nodes: Vec<Node>,
}

/// Mixture density times lattice step on one lattice.
struct Mixture {
    axis: Axis,
    weights: Vec<f64>,
}

impl Predictive {
    pub(crate) fn new(posterior: &Posterior) -> Self {
        let mut nodes = Vec::new();
        for slice in &posterior.slices {
            for column in &slice.columns {
                let s = slice.total_spread(column);
                let near = column.nodes().filter(|(_, w)| *w > NEGLIGIBLE);
                nodes.extend(near.map(|(mu, weight)| Node { mu, s, weight }));
            }
        }
        Self { nodes }
    }

    /// Expectation of functions of the log odds that vary no faster than a binomial of `sharpness` n p q; `fill` is
    /// called with ln p, ln q and a weight for every lattice point.
    pub(crate) fn visit(&self, sharpness: f64, mut fill: impl FnMut(f64, f64, f64)) {
        for mixture in self.mixtures(sharpness) {
            let logs = mixture.axis.log_p().iter().zip(mixture.axis.log_q());
            for ((p, q), w) in logs.zip(&mixture.weights) {
                if *w > 0.0 {
                    fill(*p, *q, *w);
                }
            }
        }
    }

    fn mixtures(&self, sharpness: f64) -> Vec<Mixture> {
        let mut by_level: BTreeMap<u32, Vec<Node>> = BTreeMap::new();
        for node in &self.nodes {
            let level = level_for((1.0 / (node.s * node.s) + sharpness).sqrt().recip());
            by_level.entry(level).or_default().push(*node);
        }
        by_level.into_iter().map(|(level, nodes)| mixture(level, &nodes)).collect()
    }

    /// P(Y = 0..=n) of `n` pieces.
    pub(crate) fn counts(&self, n: u32) -> Vec<f64> {
        let total = f64::from(n);
        let coefficients: Vec<f64> = (0..=n).map(|y| ln_choose(total, f64::from(y))).collect();
        let mut out = vec![0.0; n as usize + 1];
        self.visit(total / 4.0, |p, q, weight| {
            for (y, (sum, coefficient)) in out.iter_mut().zip(&coefficients).enumerate() {
                let y = y as f64;
                *sum += weight * (coefficient + y * p + (total - y) * q).exp();
            }
        });
        out
    }

    /// P(Y >= y) of `n` pieces.
    pub(crate) fn at_least(&self, y: u32, n: u32) -> f64 {
        if y == 0 {
            return 1.0;
        }
        let mut sum = 0.0;
        self.visit(f64::from(n) / 4.0, |p, _, weight| sum += weight * binomial_at_least(y, n, p.exp()));
        sum
    }

    /// P(rate > `rate`).
    pub(crate) fn prob_above(&self, rate: f64) -> f64 {
        if rate <= 0.0 {
            return 1.0;
        }
        if rate >= 1.0 {
            return 0.0;
        }
        let x = logit(rate);
        self.nodes.iter().map(|node| node.weight * normal::cdf((node.mu - x) / node.s)).sum()
    }

    /// P(log odds <= x).
    pub(crate) fn cdf(&self, x: f64) -> f64 {
        self.nodes.iter().map(|node| node.weight * normal::cdf((x - node.mu) / node.s)).sum()
    }

    /// Mean and standard deviation of the log odds.
    pub(crate) fn logit_moments(&self) -> (f64, f64) {
        let mean: f64 = self.nodes.iter().map(|n| n.weight * n.mu).sum();
        let square: f64 = self.nodes.iter().map(|n| n.weight * ((n.mu - mean).powi(2) + n.s * n.s)).sum();
        (mean, square.sqrt())
    }

    /// Mean and standard deviation of the rate.
    pub(crate) fn rate_moments(&self) -> (f64, f64) {
        let (mut first, mut second) = (0.0, 0.0);
        self.visit(0.0, |p, _, weight| {
            let rate = p.exp();
            first += weight * rate;
            second += weight * rate * rate;
        });
        (first, (second - first * first).max(0.0).sqrt())
    }
}

fn mixture(level: u32, nodes: &[Node]) -> Mixture {
    let low = nodes.iter().map(|n| n.mu - REACH * n.s).fold(f64::INFINITY, f64::min);
    let high = nodes.iter().map(|n| n.mu + REACH * n.s).fold(f64::NEG_INFINITY, f64::max);
    let axis = Axis::covering(level, low, high);
    let mut weights = vec![0.0; axis.len()];
    let mut kernel = Kernel::default();
    for node in nodes {
        kernel.set(&axis, node.mu, node.s);
        for (sum, w) in weights[kernel.start..].iter_mut().zip(&kernel.weights) {
            *sum += node.weight * w;
        }
    }
    Mixture { axis, weights }
}

/// E logistic(mu + s Z) at several mu for one s.
pub(crate) fn average_rates(mus: impl Iterator<Item = f64> + Clone, s: f64) -> Vec<f64> {
    let level = level_for(s);
    let low = mus.clone().fold(f64::INFINITY, f64::min) - REACH * s;
    let high = mus.clone().fold(f64::NEG_INFINITY, f64::max) + REACH * s;
    let axis = Axis::covering(level, low, high);
    let rates: Vec<f64> = axis.log_p().iter().map(|p| p.exp()).collect();
    let mut kernel = Kernel::default();
    mus.map(|mu| {
        kernel.set(&axis, mu, s);
        crate::marginal::dot(&rates[kernel.start..kernel.start + kernel.weights.len()], &kernel.weights)
    })
    .collect()
}

/// Log odds of an average rate, exact also where the rate rounds to 1.
pub(crate) fn average_logits(mus: impl DoubleEndedIterator<Item = f64> + Clone, s: f64) -> Vec<f64> {
    let up = average_rates(mus.clone(), s);
    let down = average_rates(mus.map(|mu| -mu), s);
    up.into_iter().zip(down).map(|(p, q)| (p / q).ln()).collect()
}

/// Rate of given log odds; kept beside its inverse.
pub(crate) fn rate_of(x: f64) -> f64 {
    log_logistic_pair(x).0.exp()
}
