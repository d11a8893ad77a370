//! The law of a unit not seen before: its parameter is N(mu, s²), with mu and s uncertain.
//!
//! Where s is wider than the lattice of mu the law is a mixture of normal densities. Where it is narrower such a
//! mixture would show the lattice's own grain; there the density of mu, which the lattice determines by sinc
//! interpolation, is convolved with N(0, s²) on the lattice itself.

mod grain;
mod lattice;

use std::collections::BTreeMap;

use crate::logit::{log_logistic_pair, logit};
use crate::marginal::{Axis, Kernel, Level, REACH, dot, level_for};
use crate::posterior::{Column, cdf_inverse};
use crate::sine_integral::sinc_cdf;
use grain::Grain;
pub(crate) use lattice::Lattice;

/// Weight below which a node cannot matter.
const NEGLIGIBLE: f64 = 1e-12;
/// Spread, in steps of the lattice of mu, from which a sum of normal densities is smooth.
const SMOOTH: f64 = 1.2;

/// One component: N(mu, s²).
#[derive(Clone, Copy, Debug)]
struct Node {
    mu: f64,
    s: f64,
    weight: f64,
}

/// The law of a new unit's parameter.
#[derive(Clone, Debug, Default)]
pub(crate) struct Mixture {
    nodes: Vec<Node>,
    /// Densities of all nodes together, on lattices fine enough to be interpolated by sinc functions.
    smooth: Vec<Layer>,
    grains: Vec<Grain>,
}

/// Density times step on a lattice.
#[derive(Clone, Debug)]
struct Layer {
    axis: Axis,
    weights: Vec<f64>,
}

impl Layer {
    /// The axis covers every node's whole reach: beyond it nothing is left.
    fn cdf(&self, x: f64) -> f64 {
        let (first, last) = (self.axis.theta(0), self.axis.theta(self.axis.len() - 1));
        if x < first {
            return 0.0;
        }
        if x > last {
            return self.weights.iter().sum();
        }
        let place = |k: usize| (x - self.axis.theta(k)) / self.axis.step();
        self.weights.iter().enumerate().map(|(k, w)| w * sinc_cdf(place(k))).sum()
    }
}

impl Mixture {
    /// The law that follows from posterior columns and their total spreads.
    pub(crate) fn new<'a>(columns: impl Iterator<Item = (&'a Column, f64)>) -> Self {
        let mut mixture = Self::default();
        for (column, s) in columns {
            if s < SMOOTH * column.step {
                mixture.grains.push(Grain::new(column, s));
            } else {
                let heavy = column.nodes().filter(|(_, w)| *w > NEGLIGIBLE);
                mixture.nodes.extend(heavy.map(|(mu, weight)| Node { mu, s, weight }));
            }
        }
        mixture.laid_out()
    }

    /// Normal laws by mean, standard deviation and weight.
    pub(crate) fn of_normals(laws: impl Iterator<Item = (f64, f64, f64)>) -> Self {
        let heavy = laws.filter(|law| law.2 > NEGLIGIBLE);
        let nodes = heavy.map(|(mu, s, weight)| Node { mu, s, weight }).collect();
        Self { nodes, ..Self::default() }.laid_out()
    }

    /// Several laws as one, by their weights.
    pub(crate) fn together<'a>(laws: impl Iterator<Item = (&'a Self, f64)>) -> Self {
        let mut all = Self::default();
        for (law, share) in laws {
            let nodes = law.nodes.iter().map(|node| Node { weight: share * node.weight, ..*node });
            all.nodes.extend(nodes.filter(|node| node.weight > NEGLIGIBLE));
            all.grains.extend(law.grains.iter().map(|grain| grain.weighted(share)));
        }
        all.laid_out()
    }

    fn laid_out(mut self) -> Self {
        // A normal density on a lattice of half its width holds nothing above the lattice's frequencies.
        self.smooth = self.smooth_layers(level_for, |s| 0.5 * s);
        self
    }

    /// P(parameter <= x).
    pub(crate) fn cdf(&self, x: f64) -> f64 {
        self.smooth.iter().map(|layer| layer.cdf(x)).sum::<f64>()
            + self.grains.iter().map(|grain| grain.cdf(x)).sum::<f64>()
    }

    /// P(rate > `rate`) of a rate whose log odds follow this law.
    pub(crate) fn prob_rate_above(&self, rate: f64) -> f64 {
        if rate <= 0.0 {
            1.0
        } else if rate >= 1.0 {
            0.0
        } else {
            1.0 - self.cdf(logit(rate))
        }
    }

    /// The parameter below which a share `p` lies.
    pub(crate) fn quantile(&self, p: f64) -> f64 {
        let (mean, sd) = self.moments();
        let guess = mean + sd * crate::normal::quantile(p);
        cdf_inverse(|x| self.cdf(x), p, guess, sd)
    }

    /// Mean and standard deviation of the parameter.
    pub(crate) fn moments(&self) -> (f64, f64) {
        let points = || {
            let smooth = self.nodes.iter().map(|n| (n.mu, n.weight, n.s));
            smooth.chain(self.grains.iter().flat_map(|g| g.nodes().map(|(mu, w)| (mu, w, 0.0))))
        };
        let mean: f64 = points().map(|(mu, w, _)| w * mu).sum();
        let square: f64 = points().map(|(mu, w, s)| w * ((mu - mean).powi(2) + s * s)).sum();
        (mean, square.max(0.0).sqrt())
    }

    /// Calls `fill` with ln p, ln q and a weight for points of the logit axis, by which the expectation of any
    /// function that varies no faster than a binomial likelihood of `sharpness` n p q is a sum.
    pub(crate) fn visit(&self, sharpness: f64, mut fill: impl FnMut(f64, f64, f64)) {
        for (axis, weights) in self.layers(sharpness) {
            for ((p, q), w) in axis.log_p().iter().zip(axis.log_q()).zip(&weights) {
                if *w != 0.0 {
                    fill(*p, *q, *w);
                }
            }
        }
    }

    fn layers(&self, sharpness: f64) -> Vec<(Axis, Vec<f64>)> {
        let smooth = self.smooth_layers(level_for, |s| (1.0 / (s * s) + sharpness).sqrt().recip());
        let smooth = smooth.into_iter().map(|layer| (layer.axis, layer.weights));
        smooth.chain(self.grains.iter().map(|grain| grain.layer(level_for, sharpness))).collect()
    }

    /// All nodes on lattices whose steps do not exceed the `width` asked for at their spread.
    fn smooth_layers(&self, level: fn(f64) -> Level, width: impl Fn(f64) -> f64) -> Vec<Layer> {
        let mut by_level: BTreeMap<Level, Vec<Node>> = BTreeMap::new();
        for node in &self.nodes {
            by_level.entry(level(width(node.s))).or_default().push(*node);
        }
        by_level.into_iter().map(|(level, nodes)| layer(level, &nodes)).collect()
    }

    /// Mean and standard deviation of the rate.
    pub(crate) fn rate_moments(&self) -> (f64, f64) {
        let (mut first, mut second) = (0.0, 0.0);
        let mut add = |p: &f64, weight: &f64| {
            let rate = p.exp();
            first += weight * rate;
            second += weight * rate * rate;
        };
        for layer in &self.smooth {
            layer.axis.log_p().iter().zip(&layer.weights).for_each(|(p, w)| add(p, w));
        }
        for (axis, weights) in self.grains.iter().map(|grain| grain.layer(level_for, 0.0)) {
            axis.log_p().iter().zip(&weights).for_each(|(p, w)| add(p, w));
        }
        (first, (second - first * first).max(0.0).sqrt())
    }
}

/// Weights of all nodes of one level on one axis.
fn layer(level: Level, nodes: &[Node]) -> Layer {
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
    Layer { axis, weights }
}

/// Log odds of E logistic(mu + s Z) for several mu and one s; exact at both ends.
pub(crate) fn average_logits(mus: &[f64], s: f64) -> Vec<f64> {
    let low = mus.iter().copied().fold(f64::INFINITY, f64::min) - REACH * s;
    let high = mus.iter().copied().fold(f64::NEG_INFINITY, f64::max) + REACH * s;
    let axis = Axis::covering(level_for(s), low, high);
    let up: Vec<f64> = axis.log_p().iter().map(|p| p.exp()).collect();
    let down: Vec<f64> = axis.log_q().iter().map(|q| q.exp()).collect();
    let mut kernel = Kernel::default();
    let average = |mu: &f64| {
        kernel.set(&axis, *mu, s);
        let span = kernel.start..kernel.start + kernel.weights.len();
        (dot(&up[span.clone()], &kernel.weights) / dot(&down[span], &kernel.weights)).ln()
    };
    mus.iter().map(average).collect()
}

/// Rate of given log odds.
pub(crate) fn rate_of(x: f64) -> f64 {
    log_logistic_pair(x).0.exp()
}
