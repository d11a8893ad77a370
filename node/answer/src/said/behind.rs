//! Who stands behind an answer, as it is said.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Which figure an answer leads with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Leads {
    /// That of all: no stranger is among them.
    All,
    /// That without growers not known here yet.
    WithoutNew,
    /// None: too few stand behind it.
    Nothing,
}

/// Growers of an answer by how they stand, and what follows.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct BehindFacts {
    /// The reader, and growers of the growers it trusts.
    pub backed: usize,
    /// Growers known here for a month.
    pub known: usize,
    /// Growers not known here yet.
    pub new: usize,
    /// Which figure leads.
    pub leads: Leads,
    /// Whether the reader has named anybody it trusts.
    pub has_circle: bool,
    /// Whether the reader asked for the figure of all the same.
    pub unchecked: bool,
    /// Successes that all of them report.
    pub rooted: u64,
    /// Propagules that all of them started.
    pub started: u64,
    /// Keys that appeared together; null where none did.
    pub burst: Option<Burst>,
}

/// Keys that appeared together.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Burst {
    /// How many.
    pub keys: usize,
    /// The first day.
    pub from: String,
    /// The last day.
    pub to: String,
}
