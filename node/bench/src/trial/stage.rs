//! Stages, and what is counted at one.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// What was counted at one stage; absent is not counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct Counts {
    /// Still green under the bark, rooted ones included.
    pub alive: Option<u16>,
    /// With callus.
    pub callused: Option<u16>,
    /// Rooted.
    pub rooted: Option<u16>,
    /// Growing on.
    pub established: Option<u16>,
    /// Finished by the grower's own grade.
    pub finished: Option<u16>,
    /// Dead.
    pub dead: Option<u16>,
    /// Lost.
    pub lost: Option<u16>,
    /// Sold, given or planted out as finished.
    pub left_as_finished: Option<u16>,
    /// Ever rooted, whatever became of them.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub ever_rooted: Option<u16>,
}

/// When something is counted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Stage {
    /// Lift day.
    Lift,
    /// Season end of grafts, weaning of cuttings.
    Season,
    /// Spring count.
    Spring,
    /// Final count.
    Final,
}

impl Stage {
    /// All stages in order.
    pub const ALL: [Self; 4] = [Self::Lift, Self::Season, Self::Spring, Self::Final];

    /// The stage's word, as in column names.
    pub fn word(self) -> &'static str {
        match self {
            Self::Lift => "lift",
            Self::Season => "season",
            Self::Spring => "spring",
            Self::Final => "final",
        }
    }
}
