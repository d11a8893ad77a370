//! Whose results count.

use propagule_bench::KnownGrower;
use propagule_protocol::{AuthorKey, RecordId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::publish::Departure;
use crate::Change;

/// Who is trusted, why, and with what weight; whom this home does not hear.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Circle {
    /// The reader's own key.
    pub key: AuthorKey,
    /// By key.
    pub members: Vec<Member>,
    /// Growers that are not heard.
    pub muted: Vec<AuthorKey>,
    /// The same by what they are called.
    pub muted_growers: Vec<Called>,
    /// What this home knows of other growers.
    pub growers: Vec<KnownGrower>,
}

impl Circle {
    /// The members, the nearest first.
    pub fn nearest_first(&self) -> Vec<&Member> {
        let mut members: Vec<&Member> = self.members.iter().collect();
        members.sort_by_key(|member| (member.path.len(), member.grower));
        members
    }
}

/// One trusted grower.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Member {
    /// The key.
    pub grower: AuthorKey,
    /// The name that this home calls the grower by.
    pub name: Option<String>,
    /// Steps from the reader; friends stand at 1.
    pub steps: u8,
    /// What flowed in.
    pub received: f64,
    /// With what weight the results count.
    pub weight: f64,
    /// Whether the reader's own vouch stands.
    pub vouched: bool,
    /// Whether the reader trusts the grower at home.
    pub trusted: bool,
    /// From the reader to the grower.
    pub path: Vec<AuthorKey>,
    /// The same by what they are called.
    pub path_growers: Vec<Called>,
    /// What the grower is called.
    pub called: Called,
    /// From whom what flowed in came.
    pub from: Vec<Flow>,
}

/// What flowed in from a grower.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Flow {
    /// The key.
    pub grower: AuthorKey,
    /// How much.
    pub part: f64,
}

/// By what a grower goes at this home.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Called {
    /// The key.
    pub key: AuthorKey,
    /// The name that was given.
    pub name: Option<String>,
    /// Whether it is the reader.
    pub is_reader: bool,
}

impl From<&KnownGrower> for Called {
    fn from(known: &KnownGrower) -> Self {
        Self { key: known.key, name: known.name.clone(), is_reader: false }
    }
}

/// What this home knows of a grower has changed.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct GrowerKept {
    /// As it now stands.
    pub grower: KnownGrower,
    /// What changed.
    pub change: Change,
    /// Whether the reader's vouch for the grower stands.
    pub vouched: bool,
}

/// A vouch, or its end.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Vouched {
    /// For whom.
    pub grower: AuthorKey,
    /// Whether the reader's vouch stands now.
    pub vouches: bool,
    /// The record that says so, where one was signed.
    pub record: Option<RecordId>,
    /// What the grower is called.
    pub called: Called,
    /// How far it went.
    #[serde(flatten)]
    pub step: VouchStep,
}

/// How far a vouch or its end went.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum VouchStep {
    /// A vouch would be published.
    Preview,
    /// The vouch stood before.
    Stands,
    /// The vouch is signed.
    Signed {
        /// How it leaves.
        departure: Departure,
    },
    /// Its end is signed.
    Ended {
        /// How that leaves.
        departure: Departure,
    },
}
