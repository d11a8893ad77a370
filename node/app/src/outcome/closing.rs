//! Trials that are over, and such as go on after all.

use propagule_bench::dates::When;
use propagule_bench::{Entry, Fate, What};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Trials that were closed, would be, or go on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Closed {
    /// Whether they are closed now.
    pub closed: bool,
    /// Their codes.
    pub trials: Vec<String>,
    /// Numbers of the entries that close them, or that were undone.
    pub entries: Vec<u64>,
    /// What was done.
    #[serde(flatten)]
    pub step: ClosedStep,
}

/// What was done to close trials.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum ClosedStep {
    /// One trial was closed.
    One {
        /// How.
        how: ClosedHow,
    },
    /// All that sleep would be closed.
    AsleepPreview {
        /// Which they are.
        sleepers: Vec<Sleeper>,
    },
    /// All that slept were closed.
    Asleep {
        /// Which they are.
        sleepers: Vec<Sleeper>,
    },
    /// No trial sleeps.
    NoneAsleep,
    /// They go on.
    Reopened {
        /// How each of them was closed.
        were: Vec<ClosedHow>,
    },
}

/// How a trial was closed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ClosedHow {
    /// The day.
    pub on: When,
    /// The word of the reason, where one was given.
    pub because: Option<String>,
    /// What became of the propagules that were left, where any were.
    pub rest: Option<Fate>,
}

impl ClosedHow {
    /// How an entry closes its trial; none of one that closes nothing.
    pub fn of(entry: &Entry) -> Option<Self> {
        let What::Closed { because, rest, .. } = &entry.what else { return None };
        Some(Self { on: entry.on, because: because.clone(), rest: *rest })
    }
}

/// A trial that nobody touched for long.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Sleeper {
    /// Its code.
    pub trial: String,
    /// Its plant.
    pub species: String,
    /// The day on which it was started.
    pub started_on: When,
    /// Propagules that are left.
    pub left: u32,
}

impl Closed {
    /// Nothing sleeps, and nothing was closed.
    pub fn nothing() -> Self {
        Self { closed: false, trials: Vec::new(), entries: Vec::new(), step: ClosedStep::NoneAsleep }
    }
}
