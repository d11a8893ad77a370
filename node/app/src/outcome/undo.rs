//! The last entry of a home is taken back.

use propagule_bench::Entry;
use propagule_bench::kind::Kind;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// The last entry of a home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Undo {
    /// Its number.
    pub entry: u64,
    /// What it says.
    pub says: Said,
    /// Whether it is taken back now.
    pub taken_back: bool,
}

/// An entry as it is told in one line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct EntryLine {
    /// Its trial; none where it is about a spot.
    pub trial: Option<String>,
    /// In whose words it is told.
    pub kind: Kind,
    /// The arms of the trial.
    pub arms: Vec<ArmLabel>,
    /// The entry.
    pub entry: Entry,
}

/// An arm, as entries and growers name it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ArmLabel {
    /// Its number.
    pub number: u8,
    /// Its label.
    pub label: String,
}
