//! One trial with its deviations integrated out of the quadratic approximation.

use super::mode::{Arm, Spread, base};
use crate::logit::logistic;
use crate::matrix::Matrix;

/// What is left of a trial.
pub(super) struct Eliminated {
    /// (W^-1 + K)^-1.
    precision: Matrix,
    /// That times the working values.
    weighted: Vec<f64>,
    log_determinant: f64,
}

/// Global parameters that an arm of `method` depends on.
fn columns(method: usize) -> impl Iterator<Item = usize> {
    std::iter::once(0).chain((method > 0).then_some(method))
}

fn identity(i: usize, j: usize) -> f64 {
    f64::from(u8::from(i == j))
}

impl Eliminated {
    pub(super) fn new(trial: &[Arm], deviations: &[f64], global: &[f64], spread: Spread) -> Self {
        let arms = trial.len();
        let (mut root, mut scaled) = (Vec::with_capacity(arms), Vec::with_capacity(arms));
        for (arm, f) in trial.iter().zip(deviations) {
            let eta = base(global, arm.method) + f;
            let p = logistic(eta);
            let w = (arm.started * p * (1.0 - p)).max(1e-12);
            root.push(w.sqrt());
            // Root of the weight times the working value.
            scaled.push(w.sqrt() * eta + (arm.succeeded - arm.started * p) / w.sqrt());
        }
        let covariance = |i: usize, j: usize| spread.level + spread.noise * identity(i, j);
        let entry = |i: usize, j: usize| identity(i, j) + root[i] * covariance(i, j) * root[j];
        let factor = Matrix::from_fn(arms, arms, entry).cholesky().expect("identity plus a Gram matrix");
        let inner = factor.inverse_factored();
        let solved = factor.solve_factored(&scaled);
        Self {
            precision: Matrix::from_fn(arms, arms, |i, j| root[i] * inner[(i, j)] * root[j]),
            weighted: solved.iter().zip(&root).map(|(x, w)| x * w).collect(),
            log_determinant: factor.log_determinant_factored(),
        }
    }

    /// Log determinant of identity plus weights times the deviations' covariance.
    pub(super) fn log_determinant(&self) -> f64 {
        self.log_determinant
    }

    /// Adds the trial to the equations of the global parameters.
    pub(super) fn add_to(&self, trial: &[Arm], information: &mut Matrix, right: &mut [f64]) {
        for (i, first) in trial.iter().enumerate() {
            for a in columns(first.method) {
                right[a] += self.weighted[i];
                for (j, second) in trial.iter().enumerate() {
                    for b in columns(second.method) {
                        information[(a, b)] += self.precision[(i, j)];
                    }
                }
            }
        }
    }

    /// K^-1 f at new global parameters: (W^-1 + K)^-1 (z - X g).
    pub(super) fn multipliers(&self, trial: &[Arm], global: &[f64]) -> Vec<f64> {
        let fitted: Vec<f64> = trial.iter().map(|arm| base(global, arm.method)).collect();
        let explained = self.precision.times_vector(&fitted);
        self.weighted.iter().zip(explained).map(|(a, b)| a - b).collect()
    }

    /// Covariance of the global parameters with the log odds of all arms, and the variances of the latter.
    pub(super) fn log_odds_spread(
        &self,
        trial: &[Arm],
        covariance: &Matrix,
        spread: Spread,
    ) -> (Matrix, Vec<f64>) {
        let (arms, globals) = (trial.len(), covariance.rows);
        let k = Matrix::from_fn(arms, arms, |i, j| spread.level + spread.noise * identity(i, j));
        let explained = k.times(&self.precision);
        let design = Matrix::from_fn(arms, globals, |i, a| {
            f64::from(u8::from(columns(trial[i].method).any(|c| c == a)))
        });
        // Log odds given the global parameters move by (I - K S) X.
        let moved = Matrix::from_fn(arms, arms, |i, j| identity(i, j) - explained[(i, j)]).times(&design);
        let shared = Matrix::from_fn(globals, arms, |a, i| {
            (0..globals).map(|b| covariance[(a, b)] * moved[(i, b)]).sum()
        });
        let own = explained.times(&k);
        let variance = |i: usize| {
            let from_global: f64 = (0..globals).map(|a| moved[(i, a)] * shared[(a, i)]).sum();
            from_global + k[(i, i)] - own[(i, i)]
        };
        let variances = (0..arms).map(variance).collect();
        (shared, variances)
    }
}
