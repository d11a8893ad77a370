//! Variances and covariances around a mode.
//!
//! A grower's own part is that of the whole likelihood, whatever its weight: where the weight is a power below one, the factored
//! information has 1/weight of it, and the difference is put right at the grower's own variance.

use super::layout::{ArmPlace, Layout, Prior};
use super::mode::{At, Local, row, trial_row};
use crate::sparse::Inverse;

/// A mode, and what holds around it.
pub(super) struct Moments<'a> {
    pub(super) layout: &'a Layout,
    pub(super) prior: &'a Prior,
    pub(super) at: &'a At,
    pub(super) local: &'a Local,
    /// What is added to each grower's variance.
    surplus: Vec<f64>,
}

impl<'a> Moments<'a> {
    pub(super) fn new(layout: &'a Layout, prior: &'a Prior, at: &'a At, local: &'a Local) -> Self {
        let surplus = (0..layout.weights.len()).map(|grower| surplus(layout, prior, local, grower)).collect();
        Self { layout, prior, at, local, surplus }
    }

    /// Posterior variance of each variable.
    pub(super) fn variables(&self, inverse: &Inverse) -> Vec<f64> {
        let of = |k: usize| {
            self.layout.pattern.covariance(inverse, k, k)
                + k.checked_sub(self.layout.effects).map_or(0.0, |grower| self.surplus[grower])
        };
        (0..self.layout.kinds.len()).map(of).collect()
    }

    /// Variance of a sum of variables that stand in one trial.
    fn of_row(&self, inverse: &Inverse, row: &[(usize, f64)]) -> f64 {
        let mut sum = 0.0;
        for (k, (a, x)) in row.iter().enumerate() {
            let own = self.layout.pattern.covariance(inverse, *a, *a);
            sum += x * x * own;
            for (b, y) in &row[..k] {
                sum += 2.0 * x * y * self.layout.pattern.covariance(inverse, *a, *b);
            }
        }
        sum + self.surplus_of(row, row)
    }

    /// What growers' surplus adds to the covariance of two rows.
    pub(super) fn surplus_of(&self, a: &[(usize, f64)], b: &[(usize, f64)]) -> f64 {
        let of_growers = a.iter().filter(|entry| entry.0 >= self.layout.effects);
        let shared = |(k, x): &(usize, f64)| {
            let other = b.iter().find(|entry| entry.0 == *k)?;
            Some(self.surplus[k - self.layout.effects] * x * other.1)
        };
        of_growers.filter_map(shared).sum()
    }

    /// Posterior variance of each trial's effect.
    pub(super) fn trials(&self, inverse: &Inverse) -> Vec<f64> {
        let of = |number: usize| {
            let row = self.trial(number);
            self.local.trials[number].precision.recip() + self.of_row(inverse, &row)
        };
        (0..self.layout.trials.len()).map(of).collect()
    }

    /// Posterior variance of each arm's deviation.
    pub(super) fn arms(&self, inverse: &Inverse) -> Vec<f64> {
        let mut out = vec![0.0; self.layout.arms];
        for (number, trial) in self.layout.trials.iter().enumerate() {
            for (place, arm) in trial.arms.iter().enumerate() {
                let row = self.arm((number, place));
                let shared = self.local.trials[number].precision.recip() + self.of_row(inverse, &row);
                let curvature = self.local.arms[arm.place].curvature;
                let kept = 1.0 / (1.0 + curvature * self.prior.arm);
                out[arm.place] = self.prior.arm * kept + (curvature * self.prior.arm * kept).powi(2) * shared;
            }
        }
        out
    }

    /// How a trial's effect moves with variables.
    pub(super) fn trial(&self, number: usize) -> Vec<(usize, f64)> {
        trial_row(&self.layout.trials[number], self.local.trials[number], &self.local.arms)
    }

    /// How an arm's log odds, without its deviation, move with variables.
    pub(super) fn arm(&self, (number, place): ArmPlace) -> Vec<(usize, f64)> {
        let trial = &self.layout.trials[number];
        row(trial, &trial.arms[place], self.local.trials[number], &self.local.arms)
    }

    /// An arm's log odds, its deviation included.
    pub(super) fn log_odds(&self, (number, place): ArmPlace) -> f64 {
        let trial = &self.layout.trials[number];
        let arm = &trial.arms[place];
        self.at.shared(number, trial, arm) + self.at.arms[arm.place]
    }

    /// Covariances of a row with every variable, and with every trial's effect.
    pub(super) fn with_all(&self, row: &[(usize, f64)]) -> (Vec<f64>, Vec<f64>) {
        let mut right = vec![0.0; self.layout.kinds.len()];
        for (k, value) in row {
            right[*k] += value;
        }
        let mut variables = self.layout.pattern.solve(&self.local.factor, &right);
        for (k, value) in row {
            if let Some(grower) = k.checked_sub(self.layout.effects) {
                variables[*k] += self.surplus[grower] * value;
            }
        }
        let trial = |number: usize| self.trial(number).iter().map(|(k, value)| variables[*k] * value).sum();
        let trials = (0..self.layout.trials.len()).map(trial).collect();
        (variables, trials)
    }
}

/// (1 - 1/weight) of the variance that a grower's effect has given all that it shares with others.
fn surplus(layout: &Layout, prior: &Prior, local: &Local, grower: usize) -> f64 {
    let weight = layout.weights[grower];
    if weight >= 1.0 {
        return 0.0;
    }
    let of_trial = |number: &usize| {
        let all: f64 = layout.trials[*number].arms.iter().map(|arm| local.arms[arm.place].precision()).sum();
        all - all * all / local.trials[*number].precision
    };
    let information: f64 = layout.of_grower[grower].iter().map(of_trial).sum();
    (1.0 - weight.recip()) / (prior.precision[layout.effects + grower] + information)
}
