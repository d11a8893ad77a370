//! What an entry says of each place, and of the whole trial.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// A place as it stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlaceStands {
    /// Its name.
    pub place: String,
    /// Propagules started.
    pub started: u16,
    /// Living ones.
    pub alive: u16,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// Dead.
    pub dead: u16,
    /// Lost.
    pub lost: u16,
    /// Left at the grower's grade.
    pub left: u16,
    /// Gone before that.
    pub left_below: u16,
    /// Living ones that are rooted; none where nobody looked for them.
    pub rooted: Option<u16>,
    /// Ever rooted.
    pub ever_rooted: Option<u16>,
}

/// What an entry says of a place.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlaceChange {
    /// The place.
    pub place: String,
    /// Alive at the last look.
    pub before: u16,
    /// Alive now.
    pub alive: u16,
    /// Dead since.
    pub died: u16,
    /// Lost since.
    pub lost: u16,
    /// Counted dead before, and alive.
    pub found_alive: u16,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// Rooted; none where nobody looked for them.
    pub rooted: Option<u16>,
    /// With callus, where that was counted.
    pub callused: Option<u16>,
    /// Growing on, where that was counted.
    pub established: Option<u16>,
    /// At the grower's grade, where that was counted.
    pub finished: Option<u16>,
    /// What else was seen, by name.
    pub marks: Vec<String>,
    /// Why propagules went.
    pub cause: Option<String>,
    /// Of those that went, how many had roots; none where that is not new.
    pub had_roots: Option<HadRoots>,
}

/// Where roots were seen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RootsSeen {
    /// In these places.
    pub seen: Vec<PlaceRoots>,
    /// In these nobody looked for them.
    pub not_looked: Vec<String>,
}

/// Roots in a place.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PlaceRoots {
    /// The place.
    pub place: String,
    /// Living ones that are rooted.
    pub rooted: u16,
    /// Living ones.
    pub alive: u16,
}

/// What a look for roots told of propagules that went before it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct HadRoots {
    /// Living ones that were rooted at the look before.
    pub were: u16,
    /// Now.
    pub now: u16,
    /// Went between the two looks.
    pub went: u16,
    /// Ever rooted, the fewest that the counts allow.
    pub ever: u16,
}

/// A whole trial on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Total {
    /// Started.
    pub started: u32,
    /// Alive.
    pub alive: u32,
    /// Of them, in places that the entry does not name.
    pub carried: u32,
    /// Ever rooted, in the places that were looked at and in the others.
    pub ever_rooted_at_least: u32,
    /// Started of the places in which roots were looked for.
    pub looked_for: u32,
}
