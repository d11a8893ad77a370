//! The trials and lots of a home, a line each.

use propagule_bench::Stage;
use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// All trials, or those that were looked for.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TrialList {
    /// The words that stand in each of them, as typed; empty where all are listed.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    pub looked_for: String,
    /// In the order in which they were set up.
    pub trials: Vec<TrialLine>,
}

/// A trial in one line of a list.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own, said in the line")]
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TrialLine {
    /// Its code.
    #[serde(rename = "trial")]
    pub code: String,
    /// The plant.
    pub species: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// Whether it has one treatment and asks no question.
    #[serde(rename = "lot")]
    pub is_lot: bool,
    /// Nothing is started yet.
    #[serde(rename = "planned")]
    pub is_planned: bool,
    /// Year in which it was started.
    pub season: u16,
    /// The day.
    pub started_on: When,
    /// Propagules started.
    pub started: u32,
    /// How many treatments it has.
    pub arms: usize,
    /// Propagules here and alive.
    pub alive: u32,
    /// Those of them with the outcome; none until it was looked for everywhere.
    pub rooted: Option<u32>,
    /// The last stage at which it was counted.
    #[serde(rename = "counted_at")]
    pub stage: Option<Stage>,
    /// The same in words.
    #[serde(rename = "stage")]
    pub reached: Said,
    /// The day of the last check, where one was made.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub checked_on: Option<When>,
    /// The last update that was published.
    #[serde(rename = "published_revision")]
    pub published: Option<u8>,
    /// It stays at home.
    #[serde(rename = "private")]
    pub is_private: bool,
    /// Nothing is due or counted there any more.
    #[serde(rename = "closed")]
    pub is_closed: bool,
}
