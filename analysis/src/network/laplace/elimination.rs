//! One trial with its deviations integrated out of the quadratic approximation.
//!
//! With weights W and covariance K = level 11' + noise I of the deviations, (W^-1 + K)^-1 = diag(e) - shrink e e' with
//! e = w / (1 + noise w) and shrink = level / (1 + level sum e) (Sherman & Morrison 1950).

use super::mode::{Arm, Spread, base};
use crate::logit::logistic;
use crate::matrix::Matrix;

/// What is left of an arm.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ArmLeft {
    method: usize,
    /// e.
    precision: f64,
    /// 1 / (1 + noise w).
    kept: f64,
    /// (W^-1 + K)^-1 times the working value.
    weighted: f64,
    /// Third derivative of the log likelihood.
    third: f64,
}

/// What is left of a trial.
#[derive(Clone, Debug, Default)]
pub(super) struct Eliminated {
    arms: Vec<ArmLeft>,
    shrink: f64,
    noise: f64,
    log_determinant: f64,
}

/// Global parameters that an arm of `method` depends on.
fn columns(method: usize) -> impl Iterator<Item = usize> {
    std::iter::once(0).chain((method > 0).then_some(method))
}

impl Eliminated {
    /// Replaces what is here by another trial.
    pub(super) fn set(&mut self, trial: &[Arm], deviations: &[f64], global: &[f64], spread: Spread) {
        self.arms.clear();
        self.noise = spread.noise;
        let (mut total, mut weighted_total, mut determinant) = (0.0, 0.0, 1.0);
        for (arm, f) in trial.iter().zip(deviations) {
            let eta = base(global, arm.method) + f;
            let p = logistic(eta);
            let bend = arm.started * p * (1.0 - p);
            let w = bend.max(1e-12);
            let kept = 1.0 / (1.0 + spread.noise * w);
            // e times the working value eta + (r - n p) / w.
            let weighted = kept * (w * eta + arm.succeeded - arm.started * p);
            total += w * kept;
            weighted_total += weighted;
            determinant *= 1.0 + spread.noise * w;
            let third = -bend * (1.0 - 2.0 * p);
            self.arms.push(ArmLeft { method: arm.method, precision: w * kept, kept, weighted, third });
        }
        self.shrink = spread.level / (1.0 + spread.level * total);
        self.log_determinant = (determinant * (1.0 + spread.level * total)).ln();
        for arm in &mut self.arms {
            arm.weighted -= self.shrink * arm.precision * weighted_total;
        }
    }

    /// Log determinant of identity plus weights times the deviations' covariance.
    pub(super) fn log_determinant(&self) -> f64 {
        self.log_determinant
    }

    /// Adds the trial to the equations of the global parameters.
    pub(super) fn add_to(&self, information: &mut Matrix, right: &mut [f64]) {
        for (i, first) in self.arms.iter().enumerate() {
            for a in columns(first.method) {
                right[a] += first.weighted;
                for (j, second) in self.arms.iter().enumerate() {
                    let own = if i == j { first.precision } else { 0.0 };
                    let entry = own - self.shrink * first.precision * second.precision;
                    for b in columns(second.method) {
                        information[(a, b)] += entry;
                    }
                }
            }
        }
    }

    /// Appends K^-1 f at new global parameters: (W^-1 + K)^-1 (z - X g).
    pub(super) fn push_multipliers(&self, global: &[f64], out: &mut Vec<f64>) {
        let explained: f64 = self.arms.iter().map(|arm| arm.precision * base(global, arm.method)).sum();
        for arm in &self.arms {
            let fitted = arm.precision * (base(global, arm.method) - self.shrink * explained);
            out.push(arm.weighted - fitted);
        }
    }

    /// Adds to `mean` how far the skewness of this trial's likelihoods moves it. Log odds given the global parameters
    /// move by kept × (x - shrink × sum of e x), and vary by noise × kept + shrink × kept² around them.
    pub(super) fn add_skewness(&self, covariance: &Matrix, mean: &mut [f64]) {
        let globals = mean.len();
        let mut pulled = vec![0.0; globals];
        for arm in &self.arms {
            columns(arm.method).for_each(|a| pulled[a] += self.shrink * arm.precision);
        }
        let (mut moved, mut shared) = (vec![0.0; globals], vec![0.0; globals]);
        for arm in &self.arms {
            moved.iter_mut().zip(&pulled).for_each(|(m, pull)| *m = -arm.kept * pull);
            columns(arm.method).for_each(|a| moved[a] += arm.kept);
            for (a, value) in shared.iter_mut().enumerate() {
                *value = covariance.row(a).iter().zip(&moved).map(|(c, m)| c * m).sum();
            }
            let from_global: f64 = moved.iter().zip(&shared).map(|(m, s)| m * s).sum();
            let variance = from_global + self.noise * arm.kept + self.shrink * arm.kept * arm.kept;
            for (value, s) in mean.iter_mut().zip(&shared) {
                *value += 0.5 * s * arm.third * variance;
            }
        }
    }
}
