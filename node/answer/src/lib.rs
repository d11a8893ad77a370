//! Answers: evidence and analysis put together, in JSON shapes, with what they say as data. No words stand here.

pub mod behind;
pub mod compare;
mod error;
pub mod learnt;
mod parallel;
pub mod plan;
pub mod pool;
pub mod question;
pub mod said;
mod share_out;
pub mod trial;

pub use error::AnswerError;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_evidence::{Evidence, EvidenceNote, LeftOut};
use said::AnswerSaid;

/// Something a reader should know beside an answer.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Warning {
    /// Short name that stays the same.
    pub code: String,
    /// What it says; JSON has its words in its place.
    pub text: AnswerSaid,
}

impl Warning {
    /// A warning with its short name.
    pub fn new(code: &str, text: AnswerSaid) -> Self {
        Self { code: code.to_owned(), text }
    }
}

/// What was not counted, and why.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NotCounted {
    /// Why.
    pub reason: AnswerSaid,
    /// How many trials or treatments, as the reason says.
    pub count: usize,
}

impl From<&LeftOut> for NotCounted {
    fn from(LeftOut { why, count }: &LeftOut) -> Self {
        Self { reason: AnswerSaid::LeftOut { why: *why }, count: *count }
    }
}

/// What the evidence itself says beside an answer.
fn notes(evidence: &Evidence) -> Vec<Warning> {
    let note = |note: &EvidenceNote| match note.clone() {
        EvidenceNote::UnusedColumns(columns) => {
            Warning::new("unused_columns", AnswerSaid::UnusedColumns { columns })
        }
        EvidenceNote::NoSite(growers) => Warning::new("no_site", AnswerSaid::NoSite { growers }),
    };
    evidence.notes.iter().map(note).collect()
}

/// Where the evidence came from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Source {
    /// Records of the network held by this node; author caps act.
    Network,
    /// A table; no caps.
    File,
}

impl Source {
    /// Whether a grower's weight is capped.
    pub fn is_capped(self) -> bool {
        self == Self::Network
    }
}
