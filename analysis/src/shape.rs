//! The law of one sum of parameters where it is not normal: an effect of a level at which nothing succeeded is skew.
//!
//! Where the spreads are likeliest the sum's density is computed point by point, everything else maximised anew (Tierney &
//! Kadane 1986, JASA 81:82). What it looks like in units of the normal approximation there serves at all spreads.

use crate::matrix::Matrix;
use crate::normal;

/// Step between points of the density, in standard deviations of the normal approximation; log units below the mode where
/// they end, and how many there are at most on a side.
const POINT_STEP: f64 = 0.75;
const CUT: f64 = 16.0;
const MOST: i32 = 40;
/// Step of the lattice on which the density is summed, a whole part of that.
const STEP: f64 = 0.05;
/// Every so many points of the lattice stand for the law where it is combined with others.
const COARSE: usize = 5;

/// A law in units of a normal approximation: 0 is the approximation's mean, 1 its standard deviation.
#[derive(Clone, Debug)]
pub(crate) struct Shape {
    first: f64,
    /// Probability below the middle between two points of the lattice, after the first.
    below: Vec<f64>,
    /// Points and weights.
    points: Vec<(f64, f64)>,
    /// Mean and standard deviation.
    pub(crate) mean: f64,
    pub(crate) sd: f64,
}

/// A sum of coefficient × parameter, over (place, coefficient), that is held at a value.
pub(crate) struct Held<'a> {
    pub(crate) terms: &'a [(usize, f64)],
    pub(crate) value: f64,
}

/// The sum's value.
pub(crate) fn sum_at(terms: &[(usize, f64)], parameters: &[f64]) -> f64 {
    terms.iter().map(|(place, coefficient)| coefficient * parameters[*place]).sum()
}

/// The sum's mean and standard deviation where the parameters are normal.
pub(crate) fn moments_at(terms: &[(usize, f64)], mean: &[f64], covariance: &Matrix) -> (f64, f64) {
    let pairs = terms.iter().flat_map(|a| terms.iter().map(move |b| (a, b)));
    let variance: f64 = pairs.map(|(a, b)| a.1 * b.1 * covariance[(a.0, b.0)]).sum();
    (sum_at(terms, mean), variance.max(0.0).sqrt())
}

impl Held<'_> {
    /// Moves parameters to where the sum has its value, by the least fall of the quadratic approximation whose information
    /// has this Cholesky factor; returns the sum's variance.
    pub(crate) fn hold(&self, factor: &Matrix, parameters: &mut [f64]) -> f64 {
        let mut coefficients = vec![0.0; parameters.len()];
        self.terms.iter().for_each(|(place, coefficient)| coefficients[*place] += coefficient);
        let direction = factor.solve_factored(&coefficients);
        let variance = sum_at(self.terms, &direction);
        let share = (self.value - sum_at(self.terms, parameters)) / variance;
        parameters.iter_mut().zip(&direction).for_each(|(value, d)| *value += share * d);
        variance
    }
}

impl Shape {
    /// The law whose normal approximation has this mean and standard deviation, and whose log density, but for a constant,
    /// is asked for at values that lead away from `mode`, twice from there on: the flag says that a walk begins.
    ///
    /// # Errors
    /// Whatever `log_density` fails with.
    pub(crate) fn of<E>(
        mean: f64,
        sd: f64,
        mode: f64,
        mut log_density: impl FnMut(f64, bool) -> Result<f64, E>,
    ) -> Result<Self, E> {
        let mut walk = |direction: f64| {
            let mut found: Vec<f64> = Vec::new();
            for k in 0..=MOST {
                let z = direction * POINT_STEP * f64::from(k);
                let log = log_density(mode + sd * z, k == 0)?;
                let fallen = found.first().is_some_and(|top| log < top - CUT);
                // What the density has that the normal one has not, in logarithms.
                found.push(log + 0.5 * z * z);
                if fallen {
                    break;
                }
            }
            Ok(found)
        };
        let (mut excess, up) = (walk(-1.0)?, walk(1.0)?);
        let below = excess.len() - 1;
        excess.reverse();
        excess.extend(&up[1..]);
        Ok(Self::new(&Spline::new(excess), below, (mode - mean) / sd))
    }

    /// From the excess at the points, of which so many lie below the one at `mode`.
    fn new(excess: &Spline, points_below: usize, mode: f64) -> Self {
        let from = -POINT_STEP * points_below as f64;
        let count = ((excess.values.len() - 1) as f64 * POINT_STEP / STEP).round() as usize;
        let lattice = || (0..=count).map(|k| from + STEP * k as f64);
        let log = |z: f64| excess.at((z - from) / POINT_STEP) - excess.values[points_below] - 0.5 * z * z;
        let mut weights: Vec<f64> = lattice().map(|z| log(z).exp()).collect();
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
        Self { first: mode + from, below, points, mean, sd: square.sqrt() }
    }

    /// P(value <= x).
    pub(crate) fn cdf(&self, x: f64) -> f64 {
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
    pub(crate) fn points(&self) -> &[(f64, f64)] {
        &self.points
    }
}

/// Cubic between the second and third of four values on a lattice, with central slopes (Catmull & Rom 1974).
fn hermite([a, b, c, d]: [f64; 4], t: f64) -> f64 {
    let (from, to) = (0.5 * (c - a), 0.5 * (d - b));
    let rise = c - b;
    b + t * (from + t * (3.0 * rise - 2.0 * from - to + t * (from + to - 2.0 * rise)))
}

/// Natural cubic spline through values at 0, 1, 2…
struct Spline {
    values: Vec<f64>,
    /// Second derivatives.
    bends: Vec<f64>,
}

impl Spline {
    fn new(values: Vec<f64>) -> Self {
        let n = values.len();
        let (mut bends, mut factor) = (vec![0.0; n], vec![0.0; n]);
        for i in 1..n.saturating_sub(1) {
            let pivot = 4.0 - factor[i - 1];
            factor[i] = 1.0 / pivot;
            let second = values[i + 1] - 2.0 * values[i] + values[i - 1];
            bends[i] = (6.0 * second - bends[i - 1]) / pivot;
        }
        for i in (1..n.saturating_sub(1)).rev() {
            bends[i] -= factor[i] * bends[i + 1];
        }
        Self { values, bends }
    }

    /// Value at a place between the first and the last.
    fn at(&self, place: f64) -> f64 {
        let i = (place.max(0.0) as usize).min(self.values.len() - 2);
        let (u, v) = (place - i as f64, 1.0 - place + i as f64);
        let bent = (v.powi(3) - v) * self.bends[i] + (u.powi(3) - u) * self.bends[i + 1];
        v * self.values[i] + u * self.values[i + 1] + bent / 6.0
    }
}

#[cfg(test)]
mod tests {
    use std::convert::Infallible;

    use super::*;

    /// Log odds of a rate with r of n seen and a normal prior, against a sum on a lattice 50 times finer.
    #[test]
    fn finds_the_laws_of_skew_densities() {
        for (n, r, prior_sd) in
            [(20.0, 0.0, 2.82), (1_000.0, 0.0, 2.82), (60.0, 3.0, 2.82), (20.0, 0.0, 10.0)]
        {
            let log_density = |x: f64| {
                let (p, q) = crate::logit::log_logistic_pair(x);
                r * p + (n - r) * q - 0.5 * (x / prior_sd).powi(2)
            };
            let slope = |x: f64| r - n * crate::logit::logistic(x) - x / (prior_sd * prior_sd);
            let (mut low, mut high) = (-80.0, 20.0);
            for _ in 0..100 {
                let middle = 0.5 * (low + high);
                if slope(middle) > 0.0 { low = middle } else { high = middle }
            }
            let p = crate::logit::logistic(low);
            let sd = (n * p * (1.0 - p) + prior_sd.powi(-2)).sqrt().recip();
            let Ok(shape) = Shape::of(low + 0.3, sd, low, |x, _| Ok::<_, Infallible>(log_density(x)));
            let fine = || (-40_000..=40_000).map(|k| low + sd * f64::from(k) * 0.001);
            let total: f64 = fine().map(|x| (log_density(x) - log_density(low)).exp()).sum();
            let mut sum = 0.0;
            for (k, x) in fine().enumerate() {
                let mass = (log_density(x) - log_density(low)).exp() / total;
                sum += mass;
                let got = if k % 500 == 0 { shape.cdf((x - low - 0.3) / sd) } else { continue };
                assert!((got - sum + 0.5 * mass).abs() < 4e-3, "{r} of {n} at {x}: {got} {sum}");
            }
        }
    }
}
