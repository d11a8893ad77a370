//! Stage B: a species and method without its own arms, and then with their exact likelihood.

use super::layout::CellPlace;
use super::spreads::{ARM, Spreads};
use crate::FitError;
use crate::laplace::Fitted;
use crate::logit::{log_logistic_pair, logistic};
use crate::matrix::Matrix;
use crate::newton::factored;

/// Points of a law, and how far they reach in standard deviations of the law without own arms.
const POINTS: i32 = 81;
const REACH: f64 = 7.0;
/// Newton's steps at a point: how many, how small the last, how long one may be.
const MOST_STEPS: usize = 100;
const ARRIVED: f64 = 1e-8;
const LONGEST: f64 = 2.0;

/// Log odds of an average grower, with their shares.
pub(super) type Points = Vec<(f64, f64)>;

/// An own arm's counts, and the power on its likelihood.
struct Own {
    succeeded: f64,
    started: f64,
    weight: f64,
}

/// The normal law without own arms: of the cell, and of own arms' log odds beside it.
struct Cavity {
    mean: f64,
    variance: f64,
    /// Means of own arms, their covariances with the cell, and among each other.
    arm_means: Vec<f64>,
    with_cell: Vec<f64>,
    between: Matrix,
}

pub(super) fn points(fitted: &Fitted, place: &CellPlace, spreads: &Spreads) -> Result<Points, FitError> {
    let arm_variance = spreads.sd[ARM].powi(2);
    let cavity = Cavity::new(fitted, place, spreads, arm_variance)?;
    let own: Vec<Own> = place
        .own
        .iter()
        .map(|arm| fitted.arm(*arm))
        .map(|arm| Own { succeeded: arm.succeeded, started: arm.started, weight: arm.weight })
        .collect();
    let given = Given::new(&cavity, arm_variance)?;
    let sd = cavity.variance.sqrt();
    let mut start = cavity.arm_means.clone();
    let mut logs = Vec::with_capacity(POINTS as usize);
    for k in 0..POINTS {
        let z = REACH * (2.0 * f64::from(k) / f64::from(POINTS - 1) - 1.0);
        logs.push((cavity.mean + sd * z, given.log_likelihood(&own, sd * z, &mut start)? - 0.5 * z * z));
    }
    let top = logs.iter().map(|point| point.1).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = logs.iter().map(|point| (point.1 - top).exp()).sum();
    Ok(logs.into_iter().map(|(x, log)| (x, (log - top).exp() / total)).collect())
}

impl Cavity {
    fn new(
        fitted: &Fitted,
        place: &CellPlace,
        spreads: &Spreads,
        arm_variance: f64,
    ) -> Result<Self, FitError> {
        let own = &place.own;
        let unseen: f64 = place.unseen.iter().map(|kind| spreads.sd[*kind].powi(2)).sum();
        let mean: f64 = place.seen.iter().map(|k| fitted.global()[*k]).sum();
        let pairs = place.seen.iter().flat_map(|a| place.seen.iter().map(move |b| (*a, *b)));
        let variance = unseen + pairs.map(|pair| fitted.covariance[pair]).sum::<f64>();
        let n = own.len();
        let between = Matrix::from_fn(n, n, |i, j| fitted.between(own[i], own[j]));
        let with_cell: Vec<f64> = own.iter().map(|arm| fitted.with_globals(*arm, &place.seen)).collect();
        let arms: Vec<_> = own.iter().map(|arm| fitted.arm(*arm)).collect();
        // What each arm said as a normal observation: its noise, and how far it lies from where it was fitted.
        let noise = |i: usize| (1.0 / arms[i].curvature + arm_variance) / arms[i].weight;
        let gap = |i: usize| {
            let log_odds = arms[i].shared + arms[i].deviation;
            let slope = arms[i].succeeded - arms[i].started * logistic(log_odds);
            arms[i].shared - (log_odds + slope / arms[i].curvature)
        };
        let rest = Matrix::from_fn(n, n, |i, j| if i == j { noise(i) } else { 0.0 } - between[(i, j)]);
        let factor = factored(&rest)?;
        let gaps: Vec<f64> = (0..n).map(gap).collect();
        let (pulled, turned) = (factor.solve_factored(&gaps), factor.solve_factored(&with_cell));
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let back = between.times_vector(&pulled);
        let freed = between.times_vector(&turned);
        let spread = factor.inverse_factored().times(&between);
        let added = between.times(&spread);
        Ok(Self {
            mean: mean + dot(&with_cell, &pulled),
            variance: variance + dot(&with_cell, &turned),
            arm_means: arms.iter().zip(back).map(|(arm, moved)| arm.shared + moved).collect(),
            with_cell: with_cell.iter().zip(freed).map(|(c, moved)| c + moved).collect(),
            between: Matrix::from_fn(n, n, |i, j| between[(i, j)] + added[(i, j)]),
        })
    }
}

/// The law of own arms' log odds, deviations included, where the cell is held.
struct Given {
    means: Vec<f64>,
    slopes: Vec<f64>,
    precision: Matrix,
    log_determinant: f64,
}

impl Given {
    fn new(cavity: &Cavity, arm_variance: f64) -> Result<Self, FitError> {
        let n = cavity.arm_means.len();
        let covariance = Matrix::from_fn(n, n, |i, j| {
            let own = if i == j { arm_variance } else { 0.0 };
            own + cavity.between[(i, j)] - cavity.with_cell[i] * cavity.with_cell[j] / cavity.variance
        });
        let factor = factored(&covariance)?;
        Ok(Self {
            means: cavity.arm_means.clone(),
            slopes: cavity.with_cell.iter().map(|c| c / cavity.variance).collect(),
            precision: factor.inverse_factored(),
            log_determinant: factor.log_determinant_factored(),
        })
    }

    /// Log likelihood of own arms where the cell lies `away` from its mean; `start` is moved to the mode.
    fn log_likelihood(&self, own: &[Own], away: f64, start: &mut [f64]) -> Result<f64, FitError> {
        if own.is_empty() {
            return Ok(0.0);
        }
        let means: Vec<f64> =
            self.means.iter().zip(&self.slopes).map(|(mean, slope)| mean + slope * away).collect();
        for _ in 0..MOST_STEPS {
            let gaps: Vec<f64> = start.iter().zip(&means).map(|(f, mean)| f - mean).collect();
            let pulled = self.precision.times_vector(&gaps);
            let rates: Vec<f64> = start.iter().map(|f| logistic(*f)).collect();
            let bend = |i: usize| own[i].weight * own[i].started * rates[i] * (1.0 - rates[i]);
            let slope = |i: usize| own[i].weight * (own[i].succeeded - own[i].started * rates[i]) - pulled[i];
            let information = Matrix::from_fn(own.len(), own.len(), |i, j| {
                self.precision[(i, j)] + if i == j { bend(i) } else { 0.0 }
            });
            let factor = factored(&information)?;
            let step = factor.solve_factored(&(0..own.len()).map(slope).collect::<Vec<_>>());
            let size =
                step.iter().fold(0.0f64, |top, x| if x.is_nan() { f64::INFINITY } else { top.max(x.abs()) });
            if size < ARRIVED {
                let squares: f64 = gaps.iter().zip(&pulled).map(|(a, b)| a * b).sum();
                let determinants = self.log_determinant + factor.log_determinant_factored();
                let counts = own.iter().zip(start.iter()).map(|(arm, f)| {
                    let (p, q) = log_logistic_pair(*f);
                    arm.weight * (arm.succeeded * p + (arm.started - arm.succeeded) * q)
                });
                return Ok(counts.sum::<f64>() - 0.5 * (squares + determinants));
            }
            let share = (LONGEST / size).min(1.0);
            start.iter_mut().zip(&step).for_each(|(f, d)| *f += share * d);
        }
        Err(FitError::NotConverged)
    }
}
