//! Names of plants.

use propagule_protocol::Note;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// What the list knows of a name, and what is counted with it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Plants {
    /// Plants of the list that have the name.
    pub plants: Vec<PlantFacts>,
    /// Names that the grower takes for the same species.
    pub synonyms: Vec<String>,
    /// What the name that was asked for is counted as, or may be the same as.
    #[serde(default)]
    pub counted_as: Option<CountedAs>,
}

/// What a name is counted as.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CountedAs {
    /// The name.
    pub name: String,
    /// The other one.
    pub accepted: String,
    /// Whether it is counted so; else some lists keep them apart, and it is for the grower to say.
    pub is_sure: bool,
}

/// A plant of the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PlantFacts {
    /// Scientific name.
    pub name: String,
    /// Common names, the most usual first.
    pub common: Vec<String>,
    /// Other scientific names that are counted with it.
    #[serde(default)]
    pub other_names: Vec<String>,
    /// Usual wood stage or way.
    pub usual: String,
    /// What to mind.
    pub cautions: Vec<Said>,
}

/// Names that are taken for another one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Synonyms {
    /// In order of the names.
    pub synonyms: Vec<SynonymPair>,
    /// Names kept apart that the list of the program takes for others.
    #[serde(default)]
    pub apart: Vec<String>,
    /// How many names the list of the program takes for others.
    #[serde(default)]
    pub listed: usize,
    /// Version of that list.
    #[serde(default)]
    pub list_version: u32,
}

/// A name and the one that it is taken for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SynonymPair {
    /// The name.
    pub synonym: String,
    /// What it is counted as.
    pub accepted: String,
}

/// A name is counted otherwise from now on.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct SynonymSaved {
    /// The name.
    pub synonym: String,
    /// What it is counted as; none where it is counted by itself.
    pub accepted: Option<String>,
    /// What it was counted as before.
    pub before: Option<String>,
}

/// How a plant name that was typed was taken.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NameTaken {
    /// As it is shown and published.
    pub name: String,
    /// What was changed or left out on the way.
    pub notes: Vec<Note>,
}
