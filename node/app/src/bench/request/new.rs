//! A trial to be set up.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::arm::{ArmFacts, ArmGiven, DoneBy};
use propagule_bench::Relation;
use propagule_bench::dates::When;

/// A trial to be set up.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
pub struct NewTrial {
    /// The grower's code.
    pub code: String,
    /// Plant name.
    pub species: String,
    /// What it is to show.
    pub question: Option<String>,
    /// The day it is to be started.
    pub on: When,
    /// What is the same for all treatments.
    #[serde(default)]
    pub common: ArmFacts,
    /// Treatments; none is a batch.
    pub arms: Vec<ArmGiven>,
    /// Pots of a treatment that does not say.
    pub pots: Option<u16>,
    /// Propagules of a pot, or of a treatment without pots.
    pub pieces: Option<u16>,
    /// Pots that hold propagules of every treatment: how many, and places in each.
    pub shared_pots: Option<(u16, u16)>,
    /// Number of stock plants.
    pub stock_plants: Option<u16>,
    /// The grower it is entered for, where it is not the own one.
    pub entered_for: Option<String>,
    /// Name of the place.
    pub place: Option<String>,
    /// Lift day, set in advance.
    pub lift_on: Option<When>,
    /// The trial that it follows.
    pub parent: Option<String>,
    /// How it follows that.
    #[serde(default)]
    pub relation: Option<Relation>,
    /// The grower's rule for rooted.
    pub rooted_rule: Option<String>,
    /// The grower's grade of finished plants.
    pub grade: Option<String>,
    /// Private note.
    pub note: Option<String>,
    /// Show what it would be, and save nothing.
    pub dry_run: bool,
    /// Take the plant name even where words of it are left out.
    #[serde(default)]
    pub yes: bool,
    /// Code of a trial whose treatments, pots, propagules, place, grade and rule it takes where nothing else is said.
    #[serde(default)]
    pub like: Option<String>,
    /// Label of the treatment that the others are held against.
    #[serde(default)]
    pub control: Option<String>,
    /// Who did which pots.
    #[serde(default)]
    pub done_by: Vec<DoneBy>,
    /// Each propagule is placed by itself.
    #[serde(default)]
    pub is_single_pieces: bool,
}

impl NewTrial {
    /// One batch of a plant, of which nothing else is said.
    pub fn lot(code: &str, species: &str, on: When) -> Self {
        Self {
            code: code.to_owned(),
            species: species.to_owned(),
            question: None,
            on,
            common: ArmFacts::default(),
            arms: Vec::new(),
            pots: None,
            pieces: None,
            shared_pots: None,
            stock_plants: None,
            entered_for: None,
            place: None,
            lift_on: None,
            parent: None,
            rooted_rule: None,
            grade: None,
            note: None,
            dry_run: false,
            yes: false,
            relation: None,
            like: None,
            control: None,
            done_by: Vec::new(),
            is_single_pieces: false,
        }
    }
}
