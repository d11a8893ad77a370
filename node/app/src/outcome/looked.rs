//! Everything on a spot, or on the whole bench, was looked at and nothing changed.

use propagule_bench::dates::When;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::take_back::TakeBack;

/// Everything somewhere was looked at, or that was undone.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum EverythingLooked {
    /// It was looked at.
    Looked(LookedAll),
    /// Looks were none.
    TakenBack {
        /// Numbers of the entries.
        taken_back: Vec<u64>,
        /// Their trials, in the same order.
        trials: Vec<String>,
    },
}

/// Everything somewhere was looked at.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LookedAll {
    /// The bench; none is all of them.
    pub spot: Option<String>,
    /// The day.
    pub on: When,
    /// Trials for which a look was saved.
    pub looked: Vec<String>,
    /// Numbers of the entries, in the same order.
    pub entries: Vec<u64>,
    /// Trials whose look was in before.
    pub already: Vec<String>,
    /// How to take the looks back, where any were saved.
    pub take_back: Option<TakeBack>,
}
