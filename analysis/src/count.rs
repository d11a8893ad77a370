//! Counts of pieces, and growers as clusters of trials.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Propagules started and propagules that succeeded (rooted, taken, final…) in one trial of one grower.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
pub struct Count {
    /// Propagules started; never shrinks.
    pub started: u32,
    /// Propagules that reached the outcome asked for, at most `started`.
    pub succeeded: u32,
}

/// A count that cannot have happened.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("{succeeded} of {started} pieces succeeded: more than were started")]
pub struct CountError {
    /// Propagules started.
    pub started: u32,
    /// Propagules said to have succeeded.
    pub succeeded: u32,
}

impl Count {
    /// Makes a count of `succeeded` propagules out of `started`.
    ///
    /// # Errors
    /// [`CountError`] when more succeeded than were started.
    pub fn new(started: u32, succeeded: u32) -> Result<Self, CountError> {
        let count = Self { started, succeeded };
        if count.is_possible() { Ok(count) } else { Err(CountError { started, succeeded }) }
    }

    /// Propagules that did not succeed.
    #[must_use]
    pub fn failed(self) -> u32 {
        self.started.saturating_sub(self.succeeded)
    }

    /// Whether no more succeeded than were started.
    #[must_use]
    pub(crate) fn is_possible(self) -> bool {
        self.succeeded <= self.started
    }
}

/// The two treatments of one trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Pair {
    /// Treatment of the first method.
    pub first: Count,
    /// Treatment of the second method.
    pub second: Count,
}

/// One grower (one cluster): counts per trial, and the power on this grower's marginal likelihood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Grower {
    /// One count a trial; treatments of one method inside one trial are added before.
    pub trials: Vec<Count>,
    /// Power on this grower's marginal likelihood, 0..=1. Zero is the same as absence.
    pub weight: f64,
}

impl Grower {
    /// A grower with one count per trial and a weight in 0..=1 (checked when fitted).
    #[must_use]
    pub fn new(trials: Vec<Count>, weight: f64) -> Self {
        Self { trials, weight }
    }
}
