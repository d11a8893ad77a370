//! What the normal approximation says of single arms and effects.

use super::block::Eliminated;
use super::{Effects, Problem, Variances};
use crate::logit::logistic;
use crate::matrix::Matrix;

/// An arm: its block, and its place there.
pub(crate) type ArmPlace = (usize, usize);

/// A mode, with all that was eliminated on the way to it.
pub(crate) struct Fitted<'a> {
    pub(super) problem: &'a Problem,
    pub(super) at: Effects,
    pub(crate) covariance: Matrix,
    pub(super) parts: Vec<Eliminated>,
}

/// An arm at the mode.
#[derive(Clone, Copy, Debug)]
pub(crate) struct ArmAtMode {
    pub(crate) succeeded: f64,
    pub(crate) started: f64,
    pub(crate) weight: f64,
    /// Log odds without the arm's own deviation.
    pub(crate) shared: f64,
    /// The arm's own deviation.
    pub(crate) deviation: f64,
    /// Curvature of its log likelihood.
    pub(crate) curvature: f64,
}

impl Fitted<'_> {
    pub(crate) fn global(&self) -> &[f64] {
        &self.at.global
    }

    pub(crate) fn own(&self, block: usize) -> &[f64] {
        &self.at.blocks[block].own
    }

    pub(crate) fn arm(&self, (block, place): ArmPlace) -> ArmAtMode {
        let (arm, at) = (&self.problem.blocks[block].arms[place], &self.at.blocks[block]);
        let shared = super::Block::log_odds(arm, &self.at.global, &at.own);
        let deviation = at.arms[place];
        let p = logistic(shared + deviation);
        let curvature = (arm.started * p * (1.0 - p)).max(1e-12);
        let weight = self.problem.blocks[block].weight;
        ArmAtMode { succeeded: arm.succeeded, started: arm.started, weight, shared, deviation, curvature }
    }

    /// Change of an arm's log odds by each global effect that its block touches, own effects moving along.
    fn row(&self, (block, place): ArmPlace) -> Vec<f64> {
        self.parts[block].row(&self.problem.blocks[block].arms[place])
    }

    /// Covariance of an arm's log odds, without its deviation, with a sum of global effects.
    pub(crate) fn with_globals(&self, arm: ArmPlace, sum: &[usize]) -> f64 {
        let touched = self.parts[arm.0].touched();
        let with = |k: usize| sum.iter().map(|other| self.covariance[(k, *other)]).sum::<f64>();
        self.row(arm).iter().zip(touched).map(|(r, k)| r * with(*k)).sum()
    }

    /// Covariance of two arms' log odds, without their deviations.
    pub(crate) fn between(&self, a: ArmPlace, b: ArmPlace) -> f64 {
        let (first, second) = (self.row(a), self.row(b));
        let (rows, columns) = (self.parts[a.0].touched(), self.parts[b.0].touched());
        let mut sum = 0.0;
        for (x, i) in first.iter().zip(rows) {
            sum += x * second.iter().zip(columns).map(|(y, j)| y * self.covariance[(*i, *j)]).sum::<f64>();
        }
        if a.0 == b.0 {
            let arms = &self.problem.blocks[a.0].arms;
            sum += self.parts[a.0].given_globals(&arms[a.1], &arms[b.1]);
        }
        sum
    }

    /// Covariances of a block's own effects with all global ones: own by global.
    pub(crate) fn own_with_globals(&self, block: usize) -> Matrix {
        let part = &self.parts[block];
        let own = self.problem.blocks[block].kinds.len();
        Matrix::from_fn(own, self.problem.globals, |i, g| {
            let touched = part.touched().iter().enumerate();
            -touched.map(|(column, k)| part.carried(i, column) * self.covariance[(*k, g)]).sum::<f64>()
        })
    }

    /// Covariances of own effects of two blocks, given the first one's with global effects.
    pub(crate) fn own_between(&self, a: usize, with_globals: &Matrix, b: usize) -> Matrix {
        let part = &self.parts[b];
        let shared = Matrix::from_fn(with_globals.rows, self.problem.blocks[b].kinds.len(), |i, j| {
            let touched = part.touched().iter().enumerate();
            -touched.map(|(column, k)| with_globals[(i, *k)] * part.carried(j, column)).sum::<f64>()
        });
        if a != b {
            return shared;
        }
        let own = part.own_covariance();
        Matrix::from_fn(shared.rows, shared.columns, |i, j| shared[(i, j)] + own[(i, j)])
    }

    /// Posterior variance of an arm's deviation.
    pub(crate) fn arm_variance(&self, place: ArmPlace, variances: &Variances) -> f64 {
        let curvature = self.arm(place).curvature;
        let kept = 1.0 / (1.0 + curvature * variances.arm);
        variances.arm * kept + (curvature * variances.arm * kept).powi(2) * self.between(place, place)
    }
}
