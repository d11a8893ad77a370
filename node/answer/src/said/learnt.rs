//! How far learning from other plants is.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How far learning is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum LearntState {
    /// It is being worked out in the background; each method stands on its own counts.
    Working,
    /// More is held than a single command works out; each method stands on its own counts.
    TooMuch,
    /// No other species was tried by these kinds of propagation; each method stands on its own counts.
    Nothing,
    /// Little is held to learn from.
    Little,
    /// It was learnt.
    Learnt,
    /// The fit did not settle; each method stands on its own counts.
    Failed,
}

impl LearntState {
    /// Whether a fit did not settle.
    pub fn has_failed(self) -> bool {
        self == Self::Failed
    }
}
