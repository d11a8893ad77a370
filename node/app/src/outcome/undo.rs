//! The last entry of a home is taken back.

use propagule_bench::Entry;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::history::TrialLabels;
use super::said::Said;

/// The last entry of a home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Undo {
    /// Its number.
    pub entry: u64,
    /// What it says.
    pub says: Said,
    /// Whether it is undone now.
    pub taken_back: bool,
}

/// An entry as it is told in one line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EntryLine {
    /// By what it is worded; none where it is about a bench.
    pub of: Option<TrialLabels>,
    /// The entry.
    pub entry: Entry,
}
