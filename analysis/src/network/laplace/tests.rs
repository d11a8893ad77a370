//! The elimination of trials against one dense matrix.

use super::*;
use crate::Count;
use crate::dense::Dense;
use crate::network::TrialArm;

const METHODS: usize = 3;

fn trials() -> Vec<NetworkTrial> {
    let arm = |(method, started, succeeded): &(usize, u32, u32)| TrialArm {
        method: *method,
        count: Count { started: *started, succeeded: *succeeded },
    };
    let trial = |arms: &[(usize, u32, u32)]| NetworkTrial { arms: arms.iter().map(arm).collect() };
    vec![
        trial(&[(0, 20, 3), (1, 20, 9), (2, 12, 0)]),
        trial(&[(0, 15, 0), (2, 15, 1)]),
        trial(&[(1, 30, 22), (2, 28, 12)]),
        trial(&[(1, 9, 9)]),
    ]
}

/// Fixed parameters m, d1, d2; deviations level[t] + w[ta] of every arm.
fn dense(s: f64, tau: f64) -> Dense {
    let trials = trials();
    let arms: Vec<(usize, &TrialArm)> =
        trials.iter().enumerate().flat_map(|(t, trial)| trial.arms.iter().map(move |arm| (t, arm))).collect();
    let covariance = |i: usize, j: usize| {
        let level = if arms[i].0 == arms[j].0 { s * s } else { 0.0 };
        level + if i == j { 0.5 * tau * tau } else { 0.0 }
    };
    let row = |(i, (_, arm)): (usize, &(usize, &TrialArm))| {
        let mut row = vec![0.0; METHODS + arms.len()];
        row[0] = 1.0;
        row[METHODS + i] = 1.0;
        if arm.method > 0 {
            row[arm.method] = 1.0;
        }
        row
    };
    Dense {
        fixed: METHODS,
        sd: 2.82,
        covariance: Matrix::from_fn(arms.len(), arms.len(), covariance),
        rows: arms.iter().enumerate().map(row).collect(),
        counts: arms.iter().map(|(_, arm)| (arm.count.succeeded, arm.count.started)).collect(),
    }
}

#[test]
fn eliminating_trials_is_exact() {
    for (s, tau) in [(0.8, 0.4), (0.1, 0.9), (2.5, 0.05)] {
        let problem = Problem::new(METHODS, &trials(), 2.82);
        let found = problem.climb(&mut problem.start(), s, tau).expect("converges");
        dense(s, tau).laplace().assert_same(&found.mean, &found.covariance, found.log_evidence);
    }
}
