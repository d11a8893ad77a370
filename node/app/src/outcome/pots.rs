//! What each pot of a trial holds.

use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// The pots of a trial, as they stood after a day, or as they stand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Pots {
    /// Its code.
    pub trial: String,
    /// In whose words it is told.
    pub kind: Kind,
    /// The day; none is now.
    pub on: Option<When>,
    /// Each pot, in the order of their tags.
    pub pots: Vec<PotHolds>,
    /// Each treatment.
    pub arms: Vec<ArmHolds>,
    /// All of it.
    pub total: PiecesHeld,
}

/// A pot.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PotHolds {
    /// Its code, as on its tag.
    pub pot: String,
    /// Label of its treatment.
    pub arm: String,
    /// Its block.
    pub block: Option<String>,
    /// Where its propagules come from.
    pub stock_plant: Option<String>,
    /// Who put them in.
    pub operator: Option<String>,
    /// The last day on which anybody looked at it.
    pub last_look: Option<When>,
    /// Its propagules.
    #[serde(flatten)]
    pub holds: PiecesHeld,
}

/// A treatment.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ArmHolds {
    /// Its label.
    pub arm: String,
    /// Its propagules.
    #[serde(flatten)]
    pub holds: PiecesHeld,
}

/// Propagules, each in one state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PiecesHeld {
    /// Started.
    pub started: u32,
    /// Living ones that are here.
    pub alive: u32,
    /// Of them, without roots.
    pub waiting: u32,
    /// Of them, rooted.
    pub rooted_alive: u32,
    /// Neither known alive nor known dead.
    pub not_known: u32,
    /// Dead.
    pub dead: u32,
    /// Of them, rooted.
    pub dead_rooted: u32,
    /// Lost.
    pub lost: u32,
    /// Of them, rooted.
    pub lost_rooted: u32,
    /// Left at the grower's grade.
    pub left_finished: u32,
    /// Gone before that.
    pub left_below: u32,
    /// Ever rooted; none until they were looked for everywhere.
    pub ever_rooted: Option<u32>,
    /// Ever rooted, where they were looked for and where not.
    pub ever_rooted_at_least: u32,
    /// Started of the places in which roots were looked for.
    pub looked_for: u32,
}

impl PiecesHeld {
    /// Propagules that the next count has to account for.
    pub fn left_to_count(&self) -> u32 {
        self.alive + self.not_known
    }
}
