//! Everything that was entered for a trial, with how it stood before each correction.

use propagule_bench::changes::Change;
use propagule_bench::kind::Kind;
use propagule_bench::{Entry, Trial};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// Everything that was entered for a trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct History {
    /// Its code, and what its entries are worded by.
    #[serde(flatten)]
    pub of: TrialLabels,
    /// Its entries by number, those undone too.
    pub entries: Vec<EntryHistory>,
    /// Every change of its description, in the order in which they were made.
    pub changes: Vec<DescriptionChange>,
}

/// By what the entries of a trial are worded.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct TrialLabels {
    /// Its code.
    pub trial: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// Its treatments in their order.
    pub arms: Vec<ArmLabel>,
}

/// How a treatment is called.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ArmLabel {
    /// Its number.
    pub number: u8,
    /// Its label.
    pub label: String,
}

/// An entry, with how it stood before.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EntryHistory {
    /// Its number.
    #[serde(rename = "entry")]
    pub number: u64,
    /// When it was typed.
    #[serde(rename = "typed")]
    pub at: String,
    /// As it stands; none when it was undone.
    #[serde(rename = "stands")]
    pub entry: Option<Entry>,
    /// As it stood, the first first.
    pub earlier: Vec<EarlierEntry>,
}

/// How an entry stood.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct EarlierEntry {
    /// None while it was undone.
    pub entry: Option<Entry>,
    /// When that ended.
    pub until: String,
}

/// A change of a trial's description.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct DescriptionChange {
    /// When it was made.
    pub at: String,
    /// What was before, and what is.
    pub what: Said,
}

impl TrialLabels {
    /// Those of a trial.
    pub fn of(trial: &Trial) -> Self {
        let label = |arm: &propagule_bench::Arm| ArmLabel { number: arm.number, label: arm.label.clone() };
        Self { trial: trial.code.clone(), kind: trial.kind(), arms: trial.arms.iter().map(label).collect() }
    }

    /// The label of a treatment.
    pub fn label(&self, number: u8) -> Option<&str> {
        self.arms.iter().find(|arm| arm.number == number).map(|arm| arm.label.as_str())
    }
}

impl DescriptionChange {
    /// A change that was made at a time.
    pub fn new(at: &str, change: &Change, kind: Kind) -> Self {
        Self { at: at.to_owned(), what: Said::Change { change: change.clone(), kind } }
    }
}
