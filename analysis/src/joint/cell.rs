//! Stage B: a species and method without its own arms, and then with their exact likelihood.

use super::layout::CellPlace;
use super::moments::Moments;
use super::spreads::{ARM, Spreads};
use super::walk::{Given, Own, POINTS, REACH, Walk, point_of, z_of};
use crate::FitError;
use crate::matrix::{Matrix, in_lanes};
use crate::newton::factored;

/// Log odds of an average grower, with their shares.
pub(super) type Points = Vec<(f64, f64)>;

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
    let found: f64 = place.seen.iter().map(|k| moments.at.variables[*k]).sum();
    let start: Vec<f64> = place.own.iter().map(|arm| moments.log_odds(*arm)).collect();
    let logs = Walk::new(&given, &own, sd).all(point_of((found - cavity.mean) / sd), &start)?;
    let place = |k: usize| cavity.mean + sd * z_of(k);
    let logs: Vec<(f64, f64)> = logs.into_iter().enumerate().map(|(k, log)| (place(k), log)).collect();
    let top = logs.iter().map(|point| point.1).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = logs.iter().map(|point| (point.1 - top).exp()).sum();
    let step = 2.0 * REACH / f64::from(POINTS - 1);
    let log_evidence = top + (total * step / std::f64::consts::TAU.sqrt()).ln();
    let points = logs.into_iter().map(|(x, log)| (x, (log - top).exp() / total)).collect();
    Ok(Cell { points, log_evidence, cavity: (cavity.mean, cavity.variance) })
}

fn own(moments: &Moments, place: &CellPlace) -> Vec<Own> {
    let of = |(&(number, place), weight): (&(usize, usize), &f64)| {
        let arm = &moments.layout.trials[number].arms[place];
        Own { succeeded: arm.succeeded, started: arm.started, weight: *weight }
    };
    place.own.iter().zip(&place.own_weights).map(of).collect()
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
        let rest = Matrix::symmetric(n, |i, j| if i == j { noise(i) } else { 0.0 } - between[(i, j)]);
        let factor = factored(&rest)?;
        let gaps: Vec<f64> = (0..n).map(gap).collect();
        let (pulled, turned) = (factor.solve_factored(&gaps), factor.solve_factored(&with_cell));
        let back = between.times_vector(&pulled);
        let freed = between.times_vector(&turned);
        let spread = factor.inverse_factored().times(&between);
        let added = between.times(&spread);
        Ok(Self {
            mean: mean + in_lanes(&with_cell, &pulled),
            variance: variance + in_lanes(&with_cell, &turned),
            arm_means: arms.iter().zip(back).map(|(arm, moved)| arm.shared + moved).collect(),
            with_cell: with_cell.iter().zip(freed).map(|(c, moved)| c + moved).collect(),
            between: Matrix::symmetric(n, |i, j| between[(i, j)] + added[(i, j)]),
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
        let between = |i: usize, j: usize| {
            let is_one_trial = place.own[i].0 == place.own[j].0;
            let own = if is_one_trial { moments.local.trials[place.own[i].0].precision.recip() } else { 0.0 };
            in_lanes(&rooted[i], &rooted[j]) + moments.surplus_of(&rows[i], &rows[j]) + own
        };
        Self {
            variance: in_lanes(&cell, &cell),
            with_cell: rooted.iter().map(|row| in_lanes(row, &cell)).collect(),
            between: Matrix::symmetric(rows.len(), between),
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
            log_odds: moments.log_odds((number, place)),
            slope: left.full,
            curvature: left.curvature,
            weight: moments.layout.weights[trial.grower],
        }
    }
}

impl Given {
    fn new(cavity: &Cavity, arm_variance: f64) -> Result<Self, FitError> {
        let n = cavity.arm_means.len();
        let covariance = Matrix::symmetric(n, |i, j| {
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
}
