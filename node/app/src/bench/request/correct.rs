//! Corrections of how a trial is described.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::arm::{ArmGiven, DoneBy, StartedAt};
use propagule_bench::dates::When;

/// Corrections of a trial's description; what is none stays.
#[derive(Clone, Debug, Default, Serialize, Deserialize, JsonSchema)]
pub struct CorrectTrial {
    /// The trial.
    pub trial: String,
    /// Plant name.
    pub species: Option<String>,
    /// Day of starting.
    pub started_on: Option<When>,
    /// Lift day, set in advance.
    pub lift_on: Option<When>,
    /// Place.
    pub place: Option<String>,
    /// What treatments are; what is not said of one stays.
    pub arms: Vec<ArmGiven>,
    /// Codes of tags: old → new.
    pub relabelled: BTreeMap<String, String>,
    /// Propagules started, where they were miscounted.
    pub started: Vec<StartedAt>,
    /// The grower's rule for rooted.
    pub rooted_rule: Option<String>,
    /// The grower's grade of finished plants.
    pub grade: Option<String>,
    /// Private note.
    pub note: Option<String>,
    /// The treatment that the others are held against.
    #[serde(default)]
    pub control: Option<String>,
    /// Who did which pots.
    #[serde(default)]
    pub done_by: Vec<DoneBy>,
    /// Take the plant name even where words of it are left out.
    #[serde(default)]
    pub yes: bool,
}
