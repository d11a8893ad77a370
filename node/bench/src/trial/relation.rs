//! How a trial follows another one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How a trial follows another one of the same grower.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Relation {
    /// Fresh propagules for failed ones.
    #[default]
    Replaces,
    /// Worked again on the same stocks.
    Regraft,
    /// The same question in another season.
    Repeat,
}

impl Relation {
    /// Its word.
    pub fn word(self) -> &'static str {
        match self {
            Self::Replaces => "replaces",
            Self::Regraft => "regraft",
            Self::Repeat => "repeat",
        }
    }

    /// What it means.
    pub fn words(self) -> &'static str {
        match self {
            Self::Replaces => "fresh pieces for failed ones",
            Self::Regraft => "worked again on the same stocks",
            Self::Repeat => "the same question in another season",
        }
    }
}
