//! Choices within a request of the bench.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::Fate;

/// What can be printed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum PaperKind {
    /// Labels.
    Labels,
    /// A sheet to write counts on.
    ScoreSheet,
    /// The report of the trial.
    Report,
}

/// Which part of what is due is asked for. Any part opens the folds.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct DuePart {
    /// All of it.
    pub all: bool,
    /// What is due by that day.
    pub until: Option<propagule_protocol::Date>,
    /// What stands on that bench.
    pub spot: Option<String>,
    /// One trial.
    pub trial: Option<String>,
}

impl DuePart {
    /// Whether nothing is folded away.
    pub(in crate::bench) fn is_open(&self) -> bool {
        self.all || self.until.is_some() || self.spot.is_some() || self.trial.is_some()
    }
}

/// Why a trial is over, and what became of the propagules that are left.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
pub struct Closing {
    /// Why.
    pub because: Option<Because>,
    /// What became of the propagules that are left.
    pub rest: Option<Fate>,
}

/// Why a trial is over.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Because {
    /// All was sold.
    SoldOut,
    /// It was given up.
    GivenUp,
    /// It is done.
    Done,
    /// It went into another trial.
    Merged,
}

impl Because {
    /// All of them.
    pub const ALL: [Self; 4] = [Self::SoldOut, Self::GivenUp, Self::Done, Self::Merged];

    /// The word that the record keeps, and that is typed.
    pub fn word(self) -> &'static str {
        match self {
            Self::SoldOut => "sold-out",
            Self::GivenUp => "given-up",
            Self::Done => "done",
            Self::Merged => "merged",
        }
    }
}
