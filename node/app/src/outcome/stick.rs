//! The pieces of a trial are in.

use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// The propagules of a trial are in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Stuck {
    /// Its code.
    pub trial: String,
    /// What was started.
    pub species: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// Propagules started.
    pub started: u32,
    /// Of them, in each treatment.
    pub arms: Vec<ArmPutIn>,
    /// The day.
    pub on: When,
    /// Whether trials are opened on the network on the day they are started; none was never chosen.
    pub opens: Option<bool>,
    /// Whether this one is; none where it was not to be.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub opened: Option<bool>,
    /// Why it could not be opened.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub not_opened: Option<Said>,
}

/// Propagules started of a treatment.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ArmPutIn {
    /// Its label.
    pub arm: String,
    /// How many.
    pub started: u16,
}
