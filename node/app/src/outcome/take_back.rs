//! How to take back what was entered.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What takes something back.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "of", rename_all = "snake_case")]
pub enum TakeBack {
    /// An entry of a trial.
    Entry {
        /// The trial.
        trial: String,
        /// Number of the entry.
        entry: u64,
    },
    /// An entry in the log of a bench, a note included.
    Care {
        /// The bench.
        spot: String,
        /// Number of the entry.
        entry: u64,
    },
    /// Looks that were saved at once.
    Looks {
        /// Number of the first.
        first: u64,
        /// Number of the last.
        last: u64,
    },
}

impl TakeBack {
    /// What takes an entry of a trial back.
    pub fn entry(trial: &str, entry: u64) -> Self {
        Self::Entry { trial: trial.to_owned(), entry }
    }
}
