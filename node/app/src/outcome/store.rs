//! The files of a home.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_files::journal::Damage;
use propagule_network::store::{Loss, Verified};

/// What was done about the files of a home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "work", rename_all = "snake_case")]
pub enum StoreOutcome {
    /// Everything was read.
    Verify(Box<StoreVerified>),
    /// What is whole was salvaged.
    Repair(StoreRepaired),
    /// What is not needed was left out.
    Compact(StoreTidied),
}

/// What reading everything found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StoreVerified {
    /// Whether nothing is damaged.
    pub is_sound: bool,
    /// Whether nothing is lost.
    pub is_complete: bool,
    /// Damage that opening the home found.
    pub found_at_opening: Vec<Damage>,
    /// Files with damaged bytes that were moved aside at some time.
    pub kept_aside: Vec<String>,
    /// Of the records.
    pub records: Verified,
    /// Of the bench.
    pub bench: Verified,
}

/// A journal was written anew.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StoreTidied {
    /// Bytes of the journal before.
    pub bytes_before: u64,
    /// Bytes of the journal now.
    pub bytes: u64,
    /// Damaged files that were set aside, as they were.
    pub kept_aside: Vec<String>,
    /// What is lost and has not come back.
    pub losses: Vec<Loss>,
}

/// What is whole was salvaged.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StoreRepaired {
    /// The journal of the records.
    #[serde(flatten)]
    pub tidied: StoreTidied,
    /// Whether something may be missing at the bench.
    pub is_bench_poorer: bool,
    /// Whether the node runs, so that what is lost is fetched now.
    pub is_running: bool,
}
