//! What is put in, and what is counted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Common;
use propagule_bench::dates::When;
use propagule_bench::typed::tally::PlaceCount;
use propagule_bench::{Rest, Stage, StartedKnown, UnitKey};

/// Propagules have been started.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
pub struct Stick {
    /// The trial.
    pub trial: String,
    /// The day.
    pub on: When,
    /// Propagules started where they differ from the plan.
    pub counts: Vec<PutIn>,
    /// How the number is known.
    pub known: StartedKnown,
    /// Where it stands.
    pub spot: Option<String>,
    /// Whether trials are opened on the network on this day; none leaves it as chosen before.
    pub opens: Option<bool>,
}

/// Propagules started at a place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PutIn {
    /// The place.
    pub unit: UnitKey,
    /// How many.
    pub pieces: u16,
}

/// Of which trial the places are to be told, and at which stage they are counted.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum UnitsOf {
    /// A trial.
    Trial(String),
    /// An entry of a trial.
    Entry {
        /// The trial.
        trial: String,
        /// Number of the entry; none is the last one.
        entry: Option<u64>,
    },
    /// The last entry of the home.
    LastEntry,
}

/// Something was counted, or only looked at.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
pub struct Enter {
    /// The trial.
    pub trial: String,
    /// The stage; none for a check in between.
    pub stage: Option<Stage>,
    /// What was counted, one for each place that was looked at or passed over.
    pub counts: Vec<PlaceCount>,
    /// What became of propagules that are not mentioned.
    pub rest: Option<Rest>,
    /// The scorer did not know which treatment is which.
    pub is_blind: bool,
    /// Day, note, files.
    pub common: Common,
}
