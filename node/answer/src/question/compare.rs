//! One trial against other growers.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Scope;
use propagule_evidence::Question;

/// How an own trial stands among those of growers in a similar climate.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct CompareQuestion {
    /// Its code, or its label in a table.
    pub trial: String,
    /// Which count, and what is a success in it.
    pub count: Question,
    /// Which records count.
    pub scope: Scope,
    /// A place of the grower: what if the trial had stood there.
    pub at: Option<String>,
}

impl CompareQuestion {
    /// The usual question about a trial.
    pub fn about(trial: impl Into<String>) -> Self {
        Self { trial: trial.into(), count: Question::default(), scope: Scope::default(), at: None }
    }
}

/// The trial that is compared, as the evidence has it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnTrial {
    /// Its species, as the answer names it.
    pub species: String,
    /// Its label among the rows.
    pub label: String,
}

impl OwnTrial {
    /// A trial of a species.
    pub fn of(species: impl Into<String>, label: impl Into<String>) -> Self {
        Self { species: species.into(), label: label.into() }
    }
}
