//! The places of a trial where pieces are counted.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::{Stage, TrialUnits};

/// The places of a trial, as its counts are read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct UnitsToCount {
    /// The trial and its places.
    #[serde(flatten)]
    pub units: TrialUnits,
    /// Number of the entry that was asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub entry: Option<u64>,
    /// The stage that it counts; none is a check, or an entry that counts nothing.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub stage: Option<Stage>,
}
