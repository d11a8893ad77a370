//! The mode of all effects by Newton's method on a sparse information.
//!
//! Arms are eliminated one by one and trials after them, which leaves growers and what they share. A grower's part, its own
//! prior included, is multiplied by its weight: what is left once the grower is eliminated is then multiplied by it as well.

use super::layout::{Arm, Layout, Prior, TERMS, Trial};
use crate::FitError;
use crate::logit::{log_logistic_pair, logistic};
use crate::sparse::Factor;

/// Most steps, and how far one may be shortened.
const MOST_STEPS: usize = 60;
const SHORTEST: f64 = 1e-6;
/// Falls of this part of the value are rounding.
const ROUNDING: f64 = 1e-12;

/// Values of all effects.
#[derive(Clone, Debug)]
pub(super) struct At {
    pub(super) variables: Vec<f64>,
    pub(super) trials: Vec<f64>,
    pub(super) arms: Vec<f64>,
}

/// What is left of an arm once its deviation is eliminated.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ArmLeft {
    pub(super) curvature: f64,
    kept: f64,
    pub(super) full: f64,
    slope: f64,
    precision: f64,
}

/// What is left of a trial once its effect is eliminated.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct TrialLeft {
    pub(super) precision: f64,
    right: f64,
}

/// The information at a point, factored.
#[derive(Clone, Debug)]
pub(super) struct Local {
    pub(super) factor: Factor,
    pub(super) arms: Vec<ArmLeft>,
    pub(super) trials: Vec<TrialLeft>,
}

impl At {
    /// No effects at all.
    pub(super) fn none(layout: &Layout) -> Self {
        Self {
            variables: vec![0.0; layout.kinds.len()],
            trials: vec![0.0; layout.trials.len()],
            arms: vec![0.0; layout.arms],
        }
    }

    fn moved(&self, share: f64, by: &Self) -> Self {
        let add = |to: &[f64], by: &[f64]| to.iter().zip(by).map(|(x, d)| x + share * d).collect();
        Self {
            variables: add(&self.variables, &by.variables),
            trials: add(&self.trials, &by.trials),
            arms: add(&self.arms, &by.arms),
        }
    }

    fn largest(&self) -> f64 {
        let all = self.variables.iter().chain(&self.trials).chain(&self.arms);
        all.fold(0.0, |top, x| if x.is_nan() { f64::INFINITY } else { x.abs().max(top) })
    }

    /// Log odds of an arm without its own deviation.
    pub(super) fn shared(&self, number: usize, trial: &Trial, arm: &Arm) -> f64 {
        self.trials[number] + sum(arm, |term| self.variables[trial.touched[term]])
    }
}

fn sum(arm: &Arm, of: impl Fn(usize) -> f64) -> f64 {
    arm.terms.iter().map(|term| of(*term)).sum()
}

impl ArmLeft {
    fn new(arm: &Arm, shared: f64, deviation: f64, variance: f64) -> Self {
        let p = logistic(shared + deviation);
        let curvature = (arm.started * p * (1.0 - p)).max(1e-12);
        let kept = 1.0 / (1.0 + curvature * variance);
        let full = arm.succeeded - arm.started * p;
        // The deviation's own step is kept × (variance × full - deviation).
        let slope = full - curvature * kept * (variance * full - deviation);
        Self { curvature, kept, full, slope, precision: curvature * kept }
    }

    /// Information of the log odds once the deviation is eliminated.
    pub(super) fn precision(&self) -> f64 {
        self.precision
    }
}

impl Layout {
    /// Climbs to the mode from where `at` was left and moves it there, until a step is smaller than `arrived`.
    ///
    /// # Errors
    /// [`FitError::NotConverged`] where the steps do not end.
    pub(super) fn climb(&self, prior: &Prior, at: &mut At, arrived: f64) -> Result<Local, FitError> {
        let mut here = self.value(prior, at);
        let mut size = f64::INFINITY;
        for _ in 0..MOST_STEPS {
            let (local, change) = self.step(prior, at)?;
            size = change.largest();
            if size < arrived {
                return Ok(local);
            }
            let next = |share: f64| {
                let next = at.moved(share, &change);
                let reached = self.value(prior, &next);
                let falls = reached.is_nan() || reached < here - ROUNDING * here.abs();
                (!falls).then_some((next, reached))
            };
            let shares = std::iter::successors(Some(1.0), |share| Some(0.5 * share));
            let mut shares = shares.take_while(|share| *share > SHORTEST);
            (*at, here) = shares.find_map(next).ok_or_else(|| FitError::not_converged("mode", Some(size)))?;
        }
        Err(FitError::not_converged("mode", Some(size)))
    }

    /// Log likelihood and normal exponents, weights included.
    fn value(&self, prior: &Prior, at: &At) -> f64 {
        let mut sum = 0.0;
        for (number, trial) in self.trials.iter().enumerate() {
            let mut own = -0.5 * at.trials[number].powi(2) / prior.trial;
            for arm in &trial.arms {
                let deviation = at.arms[arm.place];
                let (p, q) = log_logistic_pair(at.shared(number, trial, arm) + deviation);
                own += arm.succeeded * p + (arm.started - arm.succeeded) * q;
                own -= 0.5 * deviation * deviation / prior.arm;
            }
            sum += self.weights[trial.grower] * own;
        }
        for (k, (value, precision)) in at.variables.iter().zip(&prior.precision).enumerate() {
            sum -= 0.5 * self.weight_of(k) * precision * value * value;
        }
        sum
    }

    /// Weight of a variable's prior.
    fn weight_of(&self, variable: usize) -> f64 {
        variable.checked_sub(self.effects).map_or(1.0, |grower| self.weights[grower])
    }

    fn step(&self, prior: &Prior, at: &At) -> Result<(Local, At), FitError> {
        let mut entries = vec![0.0; self.pattern.entries()];
        let mut right = vec![0.0; self.kinds.len()];
        for (k, (value, precision)) in at.variables.iter().zip(&prior.precision).enumerate() {
            let precision = self.weight_of(k) * precision;
            entries[self.diagonal[k]] = precision;
            right[k] = -precision * value;
        }
        let mut arms = vec![ArmLeft::default(); self.arms];
        let mut trials = vec![TrialLeft::default(); self.trials.len()];
        let mut local = Vec::new();
        for (number, trial) in self.trials.iter().enumerate() {
            let mut own =
                TrialLeft { precision: prior.trial.recip(), right: -at.trials[number] / prior.trial };
            for arm in &trial.arms {
                let left = ArmLeft::new(arm, at.shared(number, trial, arm), at.arms[arm.place], prior.arm);
                own.precision += left.precision;
                own.right += left.slope;
                arms[arm.place] = left;
            }
            trials[number] = own;
            self.add(trial, own, &arms, &mut local, &mut entries, &mut right);
        }
        let factor = self.pattern.factor(&entries).ok_or_else(|| FitError::not_converged("mode", None))?;
        let variables = self.pattern.solve(&factor, &right);
        let mut change = At { variables, trials: vec![0.0; self.trials.len()], arms: vec![0.0; self.arms] };
        for (number, trial) in self.trials.iter().enumerate() {
            let moved = |arm: &Arm| sum(arm, |term| change.variables[trial.touched[term]]);
            let own = trials[number];
            let pulled: f64 = trial.arms.iter().map(|arm| arms[arm.place].precision * moved(arm)).sum();
            let of_trial = (own.right - pulled) / own.precision;
            for arm in &trial.arms {
                let left = arms[arm.place];
                let step = left.full - left.curvature * (moved(arm) + of_trial);
                change.arms[arm.place] = left.kept * (prior.arm * step - at.arms[arm.place]);
            }
            change.trials[number] = of_trial;
        }
        Ok((Local { factor, arms, trials }, change))
    }

    /// Adds a trial to the equations; `local` is room for its own.
    fn add(
        &self,
        trial: &Trial,
        own: TrialLeft,
        arms: &[ArmLeft],
        local: &mut Vec<f64>,
        entries: &mut [f64],
        right: &mut [f64],
    ) {
        let (count, weight) = (trial.touched.len(), self.weights[trial.grower]);
        local.clear();
        local.resize(count * count + 2 * count, 0.0);
        let (matrix, vectors) = local.split_at_mut(count * count);
        let (pull, slope) = vectors.split_at_mut(count);
        for arm in &trial.arms {
            let left = arms[arm.place];
            for (k, a) in arm.terms.iter().enumerate() {
                pull[*a] += left.precision;
                slope[*a] += left.slope;
                arm.terms[..=k].iter().for_each(|b| matrix[a.max(b) * count + a.min(b)] += left.precision);
            }
        }
        let mut slots = trial.slots.iter();
        for (i, (variable, slope)) in trial.touched.iter().zip(slope).enumerate() {
            for (j, slot) in (0..=i).zip(&mut slots) {
                entries[*slot as usize] +=
                    weight * (matrix[i * count + j] - pull[i] * pull[j] / own.precision);
            }
            right[*variable] += weight * (*slope - pull[i] * own.right / own.precision);
        }
    }
}

/// How an arm's log odds, without its deviation, move with the variables of its trial, the trial's effect moving along.
pub(super) fn row(trial: &Trial, arm: &Arm, own: TrialLeft, arms: &[ArmLeft]) -> Vec<(usize, f64)> {
    let mut row = trial_row(trial, own, arms);
    for term in arm.terms {
        row[term].1 += 1.0;
    }
    row
}

/// The same of a trial's effect alone.
pub(super) fn trial_row(trial: &Trial, own: TrialLeft, arms: &[ArmLeft]) -> Vec<(usize, f64)> {
    let mut row: Vec<(usize, f64)> = trial.touched.iter().map(|variable| (*variable, 0.0)).collect();
    for arm in &trial.arms {
        let share = arms[arm.place].precision / own.precision;
        debug_assert_eq!(arm.terms.len(), TERMS);
        arm.terms.iter().for_each(|term| row[*term].1 -= share);
    }
    row
}
