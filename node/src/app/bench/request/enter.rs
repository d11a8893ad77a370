//! What is put in, and what is counted.

use serde::{Deserialize, Serialize};

use super::Common;
use propagule_bench::dates::When;
use propagule_bench::{Rest, Stage, StartedKnown};

/// Pieces have been put in.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Stick {
    /// The trial.
    pub trial: String,
    /// The day.
    pub on: When,
    /// Pieces put in where they differ from the plan, as typed: `A=11`, `P3=4`.
    pub counts: Vec<String>,
    /// How the number is known.
    pub known: StartedKnown,
    /// Where it stands.
    pub spot: Option<String>,
    /// Whether trials are opened on the network on this day; none leaves it as chosen before.
    pub opens: Option<bool>,
}

/// Something was counted, or only looked at.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct Enter {
    /// The trial.
    pub trial: String,
    /// The stage; none for a check in between.
    pub stage: Option<Stage>,
    /// Counts as typed.
    pub counts: Vec<String>,
    /// Counts in the order of the printed sheet, as typed.
    pub in_order: Option<String>,
    /// What became of pieces that are not mentioned.
    pub rest: Option<Rest>,
    /// The scorer did not know which arm is which.
    pub is_blind: bool,
    /// Day, note, files.
    pub common: Common,
}
