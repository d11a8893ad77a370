//! What the address book holds of one peer.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::limits::FAILURES_OF_STRANGERS;
use propagule_files::clock::Moment;

/// Who added an address.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Origin<'a> {
    /// The grower, by hand or by invite.
    Grower,
    /// A peer, by its name.
    Told(&'a str),
}

/// One peer in the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Entry {
    /// Address with the peer's id at its end.
    pub address: String,
    /// When it was last connected, as an RFC 3339 timestamp in universal time.
    pub last_met: Option<String>,
    /// Dials since then that failed.
    pub failures: u32,
    /// The peer that told of it; none when the grower added it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_by: Option<String>,
}

impl Entry {
    /// A stranger that never answered is forgotten in the end.
    pub(super) fn is_forgotten(&self) -> bool {
        self.told_by.is_some() && self.last_met.is_none() && self.failures >= FAILURES_OF_STRANGERS
    }
}

/// What decides about dialling an entry, without its words: all of it is gone through at every look.
#[derive(Clone, Copy, Debug)]
pub(super) struct Line<P> {
    pub(super) peer: P,
    pub(super) next_try: Moment,
    pub(super) failures: u32,
    pub(super) is_told: bool,
    pub(super) is_met: bool,
    pub(super) group: Option<GroupNumber>,
}

/// A number for each group of addresses that one holder has many of.
pub type GroupNumber = u64;
