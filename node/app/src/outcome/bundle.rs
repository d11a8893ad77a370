//! Bundles: records in a file.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A bundle was written or taken in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "work", rename_all = "snake_case")]
pub enum BundleOutcome {
    /// Written.
    Out(RecordsWritten),
    /// Taken in.
    In(BundleTaken),
}

/// A file was made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RecordsWritten {
    /// The file.
    pub file: String,
    /// Records in it.
    pub records: u64,
}

/// What became of the records of a file.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct BundleTaken {
    /// The file.
    pub file: String,
    /// By what became of them.
    #[serde(flatten)]
    pub tally: Tally,
}

/// Records by what became of them.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Tally {
    /// Not held before.
    pub new: u64,
    /// Held already.
    pub known: u64,
    /// Deferred for a later version or month.
    pub aside: u64,
    /// Not kept, since there is no room for them.
    pub dropped: u64,
    /// Not kept today, since their growers have brought as much as is taken in of each in a day.
    #[serde(default)]
    pub delayed: u64,
    /// Refused, by reason.
    pub refused: BTreeMap<String, u64>,
}

impl Tally {
    /// Counts more.
    pub fn add(&mut self, more: Self) {
        self.new += more.new;
        self.known += more.known;
        self.aside += more.aside;
        self.dropped += more.dropped;
        self.delayed += more.delayed;
        for (reason, count) in more.refused {
            *self.refused.entry(reason).or_default() += count;
        }
    }
}
