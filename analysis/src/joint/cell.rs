//! Stage B: a species and method without its own arms, and then with their exact likelihood.

use super::layout::CellPlace;
use super::moments::Moments;
use super::spreads::{ARM, Spreads};
use crate::FitError;
use crate::logit::{log_logistic_pair, logistic};
use crate::matrix::Matrix;
use crate::newton::factored;

/// Points of a law, and how far they reach in standard deviations of the law without own arms.
const POINTS: i32 = 81;
const REACH: f64 = 7.0;
/// Of how many points one is looked at first, and log units below the highest at which nothing is left.
const STRIDE: usize = 8;
const NOTHING: f64 = 35.0;
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

/// The law of a species and method at one node.
pub(super) struct Cell {
    pub(super) points: Points,
    /// Log of the integral of the law without own arms times their likelihood.
    pub(super) log_evidence: f64,
    /// Mean and variance without own arms.
    pub(super) cavity: (f64, f64),
}

pub(super) fn cell(moments: &Moments, place: &CellPlace, spreads: &Spreads) -> Result<Cell, FitError> {
    let arm_variance = spreads.sd[ARM].powi(2);
    let own = own(moments, place);
    let cavity = Cavity::new(moments, place, spreads, arm_variance)?;
    let given = Given::new(&cavity, arm_variance)?;
    let sd = cavity.variance.sqrt();
    let mut walk = Walk { given: &given, own: &own, sd, logs: vec![f64::NEG_INFINITY; POINTS as usize] };
    walk.all(cavity.arm_means.clone())?;
    let place = |k: usize| cavity.mean + sd * z_of(k);
    let logs: Vec<(f64, f64)> = walk.logs.into_iter().enumerate().map(|(k, log)| (place(k), log)).collect();
    let top = logs.iter().map(|point| point.1).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = logs.iter().map(|point| (point.1 - top).exp()).sum();
    let step = 2.0 * REACH / f64::from(POINTS - 1);
    let log_evidence = top + (total * step / std::f64::consts::TAU.sqrt()).ln();
    let points = logs.into_iter().map(|(x, log)| (x, (log - top).exp() / total)).collect();
    Ok(Cell { points, log_evidence, cavity: (cavity.mean, cavity.variance) })
}

/// Standard deviations of a point from the mean.
fn z_of(point: usize) -> f64 {
    REACH * (2.0 * point as f64 / f64::from(POINTS - 1) - 1.0)
}

/// Log densities at the points that matter: the highest of some is found first, and the others are walked to from there.
struct Walk<'a> {
    given: &'a Given,
    own: &'a [Own],
    sd: f64,
    logs: Vec<f64>,
}

impl Walk<'_> {
    fn all(&mut self, mut start: Vec<f64>) -> Result<(), FitError> {
        let (mut highest, mut from) = (0, start.clone());
        for point in (0..self.logs.len()).step_by(STRIDE) {
            self.at(point, &mut start)?;
            if self.logs[point] > self.logs[highest] {
                (highest, from) = (point, start.clone());
            }
        }
        let mut up = from.clone();
        let mut top = self.logs[highest];
        for point in highest + 1..self.logs.len() {
            top = self.at(point, &mut up)?.max(top);
            if self.logs[point] < top - NOTHING {
                break;
            }
        }
        for point in (0..highest).rev() {
            top = self.at(point, &mut from)?.max(top);
            if self.logs[point] < top - NOTHING {
                break;
            }
        }
        Ok(())
    }

    fn at(&mut self, point: usize, start: &mut [f64]) -> Result<f64, FitError> {
        let z = z_of(point);
        self.logs[point] = self.given.log_likelihood(self.own, self.sd * z, start)? - 0.5 * z * z;
        Ok(self.logs[point])
    }
}

fn own(moments: &Moments, place: &CellPlace) -> Vec<Own> {
    let of = |&(number, place): &(usize, usize)| {
        let trial = &moments.layout.trials[number];
        let arm = &trial.arms[place];
        let weight = moments.layout.weights[trial.grower];
        Own { succeeded: arm.succeeded, started: arm.started, weight }
    };
    place.own.iter().map(of).collect()
}

impl Cavity {
    fn new(
        moments: &Moments,
        place: &CellPlace,
        spreads: &Spreads,
        arm_variance: f64,
    ) -> Result<Self, FitError> {
        let Joint { variance, with_cell, between } = Joint::new(moments, place);
        let unseen: f64 = place.unseen.iter().map(|kind| spreads.sd[*kind].powi(2)).sum();
        let mean: f64 = place.seen.iter().map(|k| moments.at.variables[*k]).sum();
        let variance = unseen + variance;
        let n = place.own.len();
        let arms: Vec<Observed> = place.own.iter().map(|arm| Observed::new(moments, *arm)).collect();
        // What each arm said as a normal observation: its noise, and how far it lies from where it was fitted.
        let noise = |i: usize| (1.0 / arms[i].curvature + arm_variance) / arms[i].weight;
        let gap = |i: usize| arms[i].shared - (arms[i].log_odds + arms[i].slope / arms[i].curvature);
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

/// Covariances at the mode, own arms included.
struct Joint {
    variance: f64,
    with_cell: Vec<f64>,
    between: Matrix,
}

impl Joint {
    fn new(moments: &Moments, place: &CellPlace) -> Self {
        let (pattern, factor) = (&moments.layout.pattern, &moments.local.factor);
        let rows: Vec<Vec<(usize, f64)>> = place.own.iter().map(|arm| moments.arm(*arm)).collect();
        let rooted: Vec<Vec<f64>> = rows.iter().map(|row| pattern.rooted(factor, row)).collect();
        let seen: Vec<(usize, f64)> = place.seen.iter().map(|k| (*k, 1.0)).collect();
        let cell = pattern.rooted(factor, &seen);
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let count = rows.len();
        let between = |i: usize, j: usize| {
            let is_one_trial = place.own[i].0 == place.own[j].0;
            let own = if is_one_trial { moments.local.trials[place.own[i].0].precision.recip() } else { 0.0 };
            dot(&rooted[i], &rooted[j]) + moments.surplus_of(&rows[i], &rows[j]) + own
        };
        Self {
            variance: dot(&cell, &cell),
            with_cell: rooted.iter().map(|row| dot(row, &cell)).collect(),
            between: Matrix::from_fn(count, count, between),
        }
    }
}

/// An own arm at the mode.
struct Observed {
    shared: f64,
    log_odds: f64,
    slope: f64,
    curvature: f64,
    weight: f64,
}

impl Observed {
    fn new(moments: &Moments, (number, place): (usize, usize)) -> Self {
        let trial = &moments.layout.trials[number];
        let arm = &trial.arms[place];
        let (left, shared) = (moments.local.arms[arm.place], moments.at.shared(number, trial, arm));
        Self {
            shared,
            log_odds: shared + moments.at.arms[arm.place],
            slope: left.full,
            curvature: left.curvature,
            weight: moments.layout.weights[trial.grower],
        }
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
        Err(FitError::not_converged("own_arms", None))
    }
}
