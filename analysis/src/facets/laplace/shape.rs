//! The law of one sum of parameters where it is not normal: an effect of a level at which nothing succeeded is skew.
//!
//! At the heaviest pair of spreads the sum's density is computed point by point (Tierney & Kadane 1986). What it looks like
//! in units of the normal approximation there serves at all pairs of spreads.

use super::Posterior;
use super::mode::{Held, sum_at};
use crate::normal;

/// Points of the density, in standard deviations of the normal approximation around its mode, and their step.
const POINTS: i32 = 4;
const POINT_STEP: f64 = 1.25;
/// Lattice on which the density is summed.
const STEP: f64 = 0.05;
const REACH: i32 = 150;
/// Every so many points of the lattice stand for the law where it is combined with others.
const COARSE: usize = 5;

/// A law in units of a normal approximation: 0 is the approximation's mean, 1 its standard deviation.
#[derive(Clone, Debug)]
pub(in crate::facets) struct Shape {
    first: f64,
    /// Probability below the middle between two points of the lattice, after the first.
    below: Vec<f64>,
    /// Points and weights.
    points: Vec<(f64, f64)>,
    /// Mean and standard deviation.
    pub(in crate::facets) mean: f64,
    pub(in crate::facets) sd: f64,
}

impl Posterior {
    /// The shape of the law of a sum of coefficient × parameter over (place, coefficient).
    pub(in crate::facets) fn shape(&self, terms: &[(usize, f64)]) -> Shape {
        let (mean, sd) = self.heaviest().moments(terms);
        let spread = self.spread();
        let mode = sum_at(terms, self.mode.global());
        let mut excess = vec![0.0; 2 * POINTS as usize + 1];
        for side in [-1, 1] {
            let mut warm = self.mode.clone();
            for k in 0..=POINTS {
                let z = POINT_STEP * f64::from(side * k);
                let held = Held { terms, value: mode + sd * z };
                // What the density has that the normal one has not, in logarithms.
                excess[(POINTS + side * k) as usize] =
                    self.problem.log_density(&mut warm, spread, &held) + 0.5 * z * z;
            }
        }
        Shape::new(&excess, (mode - mean) / sd)
    }
}

impl Shape {
    /// From the excess at the points, whose middle lies at `mode`.
    fn new(excess: &[f64], mode: f64) -> Self {
        let middle = excess[POINTS as usize];
        let lattice = || (-REACH..=REACH).map(|k| STEP * f64::from(k));
        let density = |z: f64| (interpolate(excess, z) - middle - 0.5 * z * z).exp();
        let mut weights: Vec<f64> = lattice().map(density).collect();
        let total: f64 = weights.iter().sum();
        for weight in &mut weights {
            *weight /= total;
        }
        let places = || lattice().map(|z| z + mode);
        let mean: f64 = places().zip(&weights).map(|(x, w)| w * x).sum();
        let square: f64 = places().zip(&weights).map(|(x, w)| w * (x - mean).powi(2)).sum();
        let mut sum = 0.0;
        let below = weights.iter().map(|w| {
            sum += w;
            sum
        });
        let below = below.collect();
        let coarse: Vec<(f64, f64)> = places().zip(weights).step_by(COARSE).filter(|p| p.1 > 1e-9).collect();
        let total: f64 = coarse.iter().map(|point| point.1).sum();
        let points = coarse.into_iter().map(|(x, w)| (x, w / total)).collect();
        let first = mode - STEP * f64::from(REACH);
        Self { first, below, points, mean, sd: square.sqrt() }
    }

    /// P(value <= x).
    pub(in crate::facets) fn cdf(&self, x: f64) -> f64 {
        let place = (x - self.first) / STEP - 0.5;
        let last = self.below.len() - 1;
        if place < 0.0 {
            // The first point's mass, with a normal tail.
            return self.below[0] * (2.0 * normal::cdf(place * STEP)).min(1.0);
        }
        let index = place as usize;
        if index >= last {
            return 1.0;
        }
        let [a, b, c, d] =
            [index.saturating_sub(1), index, index + 1, (index + 2).min(last)].map(|k| self.below[k]);
        hermite([a, b, c, d], place - index as f64)
    }

    /// Points and weights by which a smooth function's mean is a sum.
    pub(in crate::facets) fn points(&self) -> &[(f64, f64)] {
        &self.points
    }
}

/// Cubic between the second and third of four values on a lattice, with central slopes (Catmull & Rom 1974).
fn hermite([a, b, c, d]: [f64; 4], t: f64) -> f64 {
    let (from, to) = (0.5 * (c - a), 0.5 * (d - b));
    let rise = c - b;
    b + t * (from + t * (3.0 * rise - 2.0 * from - to + t * (from + to - 2.0 * rise)))
}

/// Polynomial through the points inside; a straight line beyond the outermost two, so that nothing grows there.
fn interpolate(values: &[f64], z: f64) -> f64 {
    let end = POINT_STEP * f64::from(POINTS);
    if z.abs() > end {
        let [inner, outer] = if z > 0.0 { [values.len() - 2, values.len() - 1] } else { [1, 0] };
        return values[outer] + (values[outer] - values[inner]) * (z.abs() - end) / POINT_STEP;
    }
    let place = z / POINT_STEP + f64::from(POINTS);
    let term = |i: usize| {
        let others = (0..values.len()).filter(|j| *j != i);
        let factor: f64 = others.map(|j| (place - j as f64) / (i as f64 - j as f64)).product();
        factor * values[i]
    };
    (0..values.len()).map(term).sum()
}
