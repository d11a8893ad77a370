//! What is told of an entry before it is saved: how it differs from one of the same day, and what went at once.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// How an entry differs from another one of the same day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "differs", rename_all = "snake_case")]
pub enum Difference {
    /// The number of a place.
    Count {
        /// The place.
        place: String,
        /// Of what.
        of: State,
        /// Then; none was not said.
        then: Option<u16>,
        /// Now.
        now: Option<u16>,
    },
    /// Something of a place beside its numbers.
    BesideNumbers {
        /// The place.
        place: String,
    },
    /// A place, in a way that cannot be told.
    Place {
        /// The place.
        place: String,
    },
    /// The numbers could not have been then.
    NoFit,
    /// Where propagules were put.
    Spot {
        /// Then; none is another bench.
        then: Option<String>,
        /// Now.
        now: Option<String>,
    },
    /// Which treatments were moved.
    Arms,
    /// What else differed from then on.
    Facets,
    /// Propagules that left.
    Left {
        /// How many then.
        pieces_then: u16,
        /// How, then.
        how_then: String,
        /// Whether they had the grower's own grade then.
        at_grade_then: bool,
        /// How many now.
        pieces: u16,
        /// How, now.
        how: String,
        /// Whether they have it now.
        at_grade: bool,
    },
}

/// What a differing number is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum State {
    /// Alive.
    Alive,
    /// Rooted.
    Rooted,
    /// Dead since.
    Dead,
    /// Lost since.
    Lost,
}

/// Propagules of a place that went between two looks.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Gone {
    /// The place.
    pub place: String,
    /// Alive before.
    pub before: u16,
    /// Alive after.
    pub after: u16,
    /// Died.
    pub died: u16,
    /// Lost.
    pub lost: u16,
}
