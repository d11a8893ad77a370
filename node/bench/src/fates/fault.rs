//! Why a count cannot be: the facts alone, which are worded by the kind of the trial in one place.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::dates::When;

/// Why a count cannot be.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "fate", rename_all = "snake_case")]
pub enum FateFault {
    /// Alive, dead, lost and not known do not add up.
    Sum {
        /// As given or worked out.
        alive: u16,
        /// Dead since.
        dead: u16,
        /// Lost since.
        lost: u16,
        /// Not known.
        not_known: u16,
        /// All of them.
        sum: u32,
        /// At the last count.
        base: u16,
    },
    /// More than there are.
    TooMany {
        /// What.
        part: Part,
        /// How many.
        count: u16,
        /// Of how many.
        of: u16,
        /// Of what.
        whole: Whole,
    },
    /// A count at a stage leaves propagules unmentioned.
    Unaccounted {
        /// How many.
        count: u16,
        /// Of how many.
        base: u16,
    },
    /// Green propagules were named, and others stay alive of which it is not said whether they have roots.
    GreenOnly {
        /// Green, without roots.
        green: u16,
        /// Alive.
        alive: u16,
    },
    /// Fewer have roots than before, and too few went since.
    RootsGone {
        /// How many fewer than can be explained.
        short: u16,
        /// The last day on which roots were looked for.
        since: Option<When>,
    },
}

/// A count that is part of another.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// Rooted.
    Rooted,
    /// Alive without.
    Green,
    /// With callus.
    Callused,
    /// Growing on.
    Established,
    /// Finished by the grower's own grade.
    Finished,
    /// Sold, given or planted out.
    Left,
    /// Counted dead before, and alive.
    FoundAlive,
    /// Counted as living, as far as is said.
    Living,
    /// Gone since, and had roots.
    GoneWith,
    /// Gone since, and had none.
    GoneWithout,
}

/// What a count is a part of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Whole {
    /// Those alive.
    Alive,
    /// Those rooted.
    Rooted,
    /// Those left at the last count.
    Left,
    /// Those alive at the last count.
    WereAlive,
    /// Those dead at the last count.
    WereDead,
    /// The living that had roots at the last count.
    HadRoots,
    /// The living that had none.
    HadNone,
}
