//! Archives: all of a home in one file.

use propagule_bench::archive::Manifest;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// An archive was made.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ArchiveMade {
    /// What is in it.
    pub archive: Manifest,
    /// Whether the keys are in it.
    pub with_keys: bool,
}

/// How old the last archive of a home is.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LastArchive {
    /// Whole days; none where there is none yet.
    pub days_ago: Option<i32>,
    /// Whether there is anything worth an archive, or there was.
    pub is_worth_it: bool,
    /// The folder of the home where commands have to name it.
    pub named_home: Option<String>,
    /// What an archive of today is called.
    pub file: String,
}

impl LastArchive {
    /// Days from which an archive is old.
    pub const OLD_AFTER_DAYS: i32 = 30;

    /// Whether a grower should be reminded.
    pub fn is_owed(&self) -> bool {
        self.is_worth_it && self.days_ago.is_none_or(|days| days >= Self::OLD_AFTER_DAYS)
    }
}

/// An archive became a home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Restored {
    /// The archive.
    pub file: String,
    /// The folder of the home.
    pub home: String,
    /// The same where commands have to name it.
    pub named_home: Option<String>,
    /// Random name of the home.
    pub home_id: String,
    /// The day on which the archive was made.
    pub made_on: String,
    /// Events of the bench.
    pub events: u64,
    /// Own records.
    pub records: usize,
    /// Whether the keys came along.
    pub with_keys: bool,
}
