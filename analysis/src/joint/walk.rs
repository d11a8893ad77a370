//! Log densities of a species and method's log odds, point by point: own arms' exact likelihood, everything else normal.

use crate::FitError;
use crate::logit::{log_logistic_pair, logistic};
use crate::matrix::Matrix;
use crate::newton::factored;

/// Points of a law, and how far they reach in standard deviations of the law without own arms.
pub(super) const POINTS: i32 = 81;
pub(super) const REACH: f64 = 7.0;
/// Log units below the highest at which nothing is left.
const NOTHING: f64 = 25.0;
/// Newton's steps at a point: how many, how small the last, how long one may be, and the part of the step before that one must be
/// shorter than for the same information to lead on.
const MOST_STEPS: usize = 100;
const ARRIVED: f64 = 1e-6;
const LONGEST: f64 = 2.0;
const SHRINKING: f64 = 0.3;

/// An own arm's counts, and the power on its likelihood.
#[derive(Clone, Copy, Debug)]
pub(super) struct Own {
    pub(super) succeeded: f64,
    pub(super) started: f64,
    pub(super) weight: f64,
}

/// The law of own arms' log odds, deviations included, where the cell is held.
#[derive(Clone, Debug)]
pub(super) struct Given {
    pub(super) means: Vec<f64>,
    pub(super) slopes: Vec<f64>,
    pub(super) precision: Matrix,
    pub(super) log_determinant: f64,
}

impl Given {
    /// Log likelihood of own arms where the cell lies `away` from its mean; the trail is moved to the mode.
    fn log_likelihood(&self, own: &[Own], away: f64, trail: &mut Trail) -> Result<f64, FitError> {
        if own.is_empty() {
            return Ok(0.0);
        }
        let at = &mut trail.modes[0];
        let means: Vec<f64> =
            self.means.iter().zip(&self.slopes).map(|(mean, slope)| mean + slope * away).collect();
        let mut before = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let gaps: Vec<f64> = at.iter().zip(&means).map(|(f, mean)| f - mean).collect();
            let pulled = self.precision.times_vector(&gaps);
            let rates: Vec<f64> = at.iter().map(|f| logistic(*f)).collect();
            let slope = |i: usize| own[i].weight * (own[i].succeeded - own[i].started * rates[i]) - pulled[i];
            let slopes: Vec<f64> = (0..own.len()).map(slope).collect();
            let here = || self.information(own, &rates);
            // The information of a point nearby leads there as well, as long as steps become much shorter.
            let (factor, is_of_here) = match trail.factor.take() {
                Some(factor) => (factor, false),
                None => (here()?, true),
            };
            let step = factor.solve_factored(&slopes);
            let size =
                step.iter().fold(0.0f64, |top, x| if x.is_nan() { f64::INFINITY } else { top.max(x.abs()) });
            if size < ARRIVED {
                let factor = if is_of_here { factor } else { here()? };
                let squares: f64 = gaps.iter().zip(&pulled).map(|(a, b)| a * b).sum();
                let determinants = self.log_determinant + factor.log_determinant_factored();
                let counts = own.iter().zip(at.iter()).map(|(arm, f)| {
                    let (p, q) = log_logistic_pair(*f);
                    arm.weight * (arm.succeeded * p + (arm.started - arm.succeeded) * q)
                });
                trail.factor = Some(factor);
                return Ok(counts.sum::<f64>() - 0.5 * (squares + determinants));
            }
            if size < SHRINKING * before.min(LONGEST) {
                trail.factor = Some(factor);
            }
            before = size;
            let share = (LONGEST / size).min(1.0);
            at.iter_mut().zip(&step).for_each(|(f, d)| *f += share * d);
        }
        Err(FitError::not_converged("own_arms", None))
    }

    /// The information of own arms' log odds at these rates, factored.
    fn information(&self, own: &[Own], rates: &[f64]) -> Result<Matrix, FitError> {
        let mut information = self.precision.clone();
        for (i, (arm, rate)) in own.iter().zip(rates).enumerate() {
            information[(i, i)] += arm.weight * arm.started * rate * (1.0 - rate);
        }
        factored(&information)
    }
}

/// Standard deviations of a point from the mean.
pub(super) fn z_of(point: usize) -> f64 {
    REACH * (2.0 * point as f64 / f64::from(POINTS - 1) - 1.0)
}

/// The point nearest to so many standard deviations from the mean.
pub(super) fn point_of(z: f64) -> usize {
    let last = f64::from(POINTS - 1);
    (0.5 * last * (1.0 + z / REACH)).round().clamp(0.0, last) as usize
}

/// Log densities at the points that matter: from one near the highest they are walked to on both sides.
pub(super) struct Walk<'a> {
    given: &'a Given,
    own: &'a [Own],
    sd: f64,
    logs: Vec<f64>,
    highest: f64,
}

/// Where the last three points had their modes, the last first, and the information at the last.
#[derive(Clone)]
struct Trail {
    modes: [Vec<f64>; 3],
    factor: Option<Matrix>,
}

impl Trail {
    fn from(mode: &[f64]) -> Self {
        Self { modes: std::array::from_fn(|_| mode.to_vec()), factor: None }
    }

    /// Goes on to where the next mode is to be expected: on a curve through the last three.
    fn ahead(&mut self) {
        let [a, b, c] = &self.modes;
        let next = a.iter().zip(b).zip(c).map(|((a, b), c)| 3.0 * (a - b) + c).collect();
        self.modes.rotate_right(1);
        self.modes[0] = next;
    }
}

impl<'a> Walk<'a> {
    pub(super) fn new(given: &'a Given, own: &'a [Own], sd: f64) -> Self {
        Self { given, own, sd, logs: vec![f64::NEG_INFINITY; POINTS as usize], highest: f64::NEG_INFINITY }
    }

    pub(super) fn all(mut self, from: usize, start: &[f64]) -> Result<Vec<f64>, FitError> {
        let mut trail = Trail::from(start);
        self.at(from, &mut trail)?;
        let trail = Trail { factor: trail.factor, ..Trail::from(&trail.modes[0]) };
        self.along(from + 1..self.logs.len(), trail.clone())?;
        self.along((0..from).rev(), trail)?;
        Ok(self.logs)
    }

    /// Until nothing is left.
    fn along(&mut self, points: impl Iterator<Item = usize>, mut trail: Trail) -> Result<(), FitError> {
        for point in points {
            if self.at(point, &mut trail)? < self.highest - NOTHING {
                break;
            }
        }
        Ok(())
    }

    fn at(&mut self, point: usize, trail: &mut Trail) -> Result<f64, FitError> {
        let z = z_of(point);
        trail.ahead();
        let log = self.given.log_likelihood(self.own, self.sd * z, trail)? - 0.5 * z * z;
        self.logs[point] = log;
        self.highest = self.highest.max(log);
        Ok(log)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Own arms with a law that moves with the cell: means, slopes, counts, weights, and a common part of their variance.
    fn given() -> impl Strategy<Value = (Given, Vec<Own>)> {
        let count = (1..40u32).prop_flat_map(|n| (Just(n), 0..=n));
        let arm = (-3.0..1.0f64, 0.0..1.2f64, 0.2..=1.0f64, count);
        (0.05..1.5f64, 0.05..0.5f64, prop::collection::vec(arm, 1..9)).prop_map(|(common, own, arms)| {
            let covariance = Matrix::symmetric(arms.len(), |i, j| common + if i == j { own } else { 0.0 });
            let factor = factored(&covariance).expect("positive definite");
            let given = Given {
                means: arms.iter().map(|arm| arm.0).collect(),
                slopes: arms.iter().map(|arm| arm.1).collect(),
                precision: factor.inverse_factored(),
                log_determinant: factor.log_determinant_factored(),
            };
            let own = arms.into_iter().map(|(_, _, weight, (started, succeeded))| Own {
                succeeded: f64::from(succeeded),
                started: f64::from(started),
                weight,
            });
            (given, own.collect())
        })
    }

    proptest! {
        /// Points are walked to from each other; each found by itself, from the means on, has the same log density.
        #[test]
        fn points_walked_to_are_those_found_one_by_one(
            (given, own) in given(), sd in 0.1..1.5f64, from in 0..POINTS as usize,
        ) {
            let found = Walk::new(&given, &own, sd).all(from, &given.means).expect("settles");
            let top = found.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            for (point, found) in found.iter().enumerate() {
                let z = z_of(point);
                let alone = given.log_likelihood(&own, sd * z, &mut Trail::from(&given.means)).expect("settles");
                let log = alone - 0.5 * z * z;
                let tells = log > top - NOTHING;
                prop_assert!(!tells || (found - log).abs() < 1e-5, "{point}: {found} {log} {top}");
            }
        }
    }
}
