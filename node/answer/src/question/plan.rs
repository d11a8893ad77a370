//! How many to start, and what could be learned.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{Exact, Scope};
use propagule_evidence::{Grouping, Question};

/// How many to start of a species.
#[derive(Clone, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct PlanQuestion {
    /// Plant name.
    pub species: String,
    /// Which count, and what is a success in it.
    pub count: Question,
    /// What is one method.
    pub grouping: Grouping,
    /// Which records count.
    pub scope: Scope,
    /// What is wanted, and what can be spared for it.
    pub aim: Aim,
    /// How the propagules of a treatment stand.
    pub layout: Layout,
}

impl PlanQuestion {
    /// The usual question about a species: 5 successes with a chance of 80 %.
    pub fn about(species: impl Into<String>) -> Self {
        Self {
            species: species.into(),
            count: Question::default(),
            grouping: Grouping::default(),
            scope: Scope::default(),
            aim: Aim::default(),
            layout: Layout::default(),
        }
    }
}

/// What is wanted, and what can be spared for it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
pub struct Aim {
    /// Successes wanted, at least 1.
    pub want: u32,
    /// With which probability, above 0 and below 1.
    pub sure: Exact,
    /// Propagules that can be spared for one trial; half of them go into each of two treatments.
    pub pieces: Option<u32>,
    /// Money a propagule, in the reader's own currency.
    pub cost: Option<Exact>,
    /// Minutes a propagule.
    pub minutes: Option<Exact>,
}

impl Default for Aim {
    /// 5 successes with a chance of 80 %.
    fn default() -> Self {
        Self { want: 5, sure: Exact::from(0.8), pieces: None, cost: None, minutes: None }
    }
}

/// How the propagules of each treatment stand in a trial of two treatments.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Layout {
    /// Nothing is said: in pots of a usual size.
    #[default]
    NotSaid,
    /// In so many pots of so many propagules.
    Pots {
        /// Pots of each treatment.
        pots: u32,
        /// Propagules in each.
        pieces: u32,
    },
    /// Each propagule by itself.
    Pieces,
}
