//! Trials with several methods, and their log odds ratios.

use crate::{Count, logit};

/// One arm of a trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TrialArm {
    /// Index of its method; 0 is the reference.
    pub method: usize,
    /// Its counts.
    pub count: Count,
}

/// A trial of several methods, each at most once.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct NetworkTrial {
    /// Its arms.
    pub arms: Vec<TrialArm>,
}

impl NetworkTrial {
    /// Whether it says anything of differences: two arms or more, neither nothing nor everything succeeded.
    pub fn is_informative(&self) -> bool {
        let succeeded = self.arms.iter().any(|a| a.count.succeeded > 0);
        let failed = self.arms.iter().any(|a| a.count.failed() > 0);
        self.arms.len() > 1 && succeeded && failed
    }

    /// Arms in the order of their methods, with log odds and variances; 0.5 is added to all arms of a trial that has a
    /// zero or full arm.
    pub(super) fn log_odds(&self) -> Vec<(usize, f64, f64)> {
        let mut arms = self.arms.clone();
        arms.sort_by_key(|arm| arm.method);
        let extreme = arms.iter().any(|a| a.count.succeeded == 0 || a.count.failed() == 0);
        let add = if extreme { 0.5 } else { 0.0 };
        let part = |arm: &TrialArm| {
            let (r, f) = (f64::from(arm.count.succeeded) + add, f64::from(arm.count.failed()) + add);
            (arm.method, logit::logit(r / (r + f)), 1.0 / r + 1.0 / f)
        };
        arms.iter().map(part).collect()
    }

    /// The methods it holds, in rising order.
    pub(super) fn design(&self) -> Vec<usize> {
        let mut methods: Vec<usize> = self.arms.iter().map(|a| a.method).collect();
        methods.sort_unstable();
        methods
    }
}

/// Informative trials, and for every method whether any of them holds it. A method seen only where nothing succeeded in
/// any arm is without information.
pub fn usable(methods: usize, trials: &[NetworkTrial]) -> (Vec<NetworkTrial>, Vec<bool>) {
    let kept: Vec<NetworkTrial> = trials.iter().filter(|t| t.is_informative()).cloned().collect();
    let mut seen = vec![false; methods];
    kept.iter().flat_map(|t| &t.arms).for_each(|arm| seen[arm.method] = true);
    (kept, seen)
}
