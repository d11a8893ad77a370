//! What leaves this home, signed, and what takes it back.

use propagule_bench::kind::Kind;
use propagule_bench::summarise::NotInRecord;
use propagule_protocol::RecordId;
use propagule_protocol::anonymise::Item;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// A trial and the network.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Publish {
    /// Its code.
    pub trial: String,
    /// Whether it was signed now.
    pub published: bool,
    /// The update that this is about.
    pub revision: u8,
    /// How far it went.
    #[serde(flatten)]
    pub step: PublishStep,
}

/// How far publishing went.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum PublishStep {
    /// What would leave.
    Preview(PublishPreview),
    /// It is published as it stands.
    Stands,
    /// It waited to leave, and leaves at once now.
    Hurried {
        /// Always.
        at_once: bool,
    },
    /// Signed and kept for the network.
    Published {
        /// Its id.
        record: RecordId,
        /// Whether nothing was published under this key before.
        first_under_this_key: bool,
        /// Whether it leaves at once.
        at_once: bool,
        /// How it leaves.
        departure: Departure,
    },
}

/// What would leave, and what would not.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PublishPreview {
    /// Every field of the record.
    pub leaves: Vec<RecordItem>,
    /// What was entered and nobody gets.
    pub stays: Vec<RecordItem>,
    /// What a record has no room for.
    pub has_no_room: Vec<Said>,
    /// What to mind.
    pub cautions: Vec<Said>,
}

/// A field with its value.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RecordItem {
    /// What it is.
    pub what: String,
    /// Its value.
    pub value: String,
    /// Both in the words of the trial's kind.
    pub words: [Said; 2],
}

impl RecordItem {
    /// Of a trial of a kind.
    pub fn of(item: &Item, kind: Kind) -> Self {
        let Item { what, value } = item.clone();
        let words = [
            Said::RecordField { what: what.clone(), kind },
            Said::RecordValue { value: value.clone(), kind },
        ];
        Self { what, value, words }
    }
}

impl PublishPreview {
    /// What a record of this kind has no room for.
    pub fn no_room(all: Vec<NotInRecord>, kind: Kind) -> Vec<Said> {
        all.into_iter().map(|one| Said::NotInRecord { one, kind }).collect()
    }
}

/// A published trial is withdrawn.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Withdraw {
    /// Its code.
    pub trial: String,
    /// Whether it is withdrawn now.
    pub withdrawn: bool,
    /// How far it went.
    #[serde(flatten)]
    pub step: WithdrawStep,
}

/// How far taking back went.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum WithdrawStep {
    /// It would be withdrawn for ever.
    Preview,
    /// It had been withdrawn before.
    Stands,
    /// Signed and kept for the network.
    Withdrawn {
        /// The record that says so.
        record: RecordId,
        /// How that leaves.
        departure: Departure,
    },
}

/// How an own record leaves this home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "way", rename_all = "snake_case")]
pub enum Departure {
    /// To connected peers now, to others as they come.
    Now,
    /// From the outbox, once the node runs and meets a peer.
    OnceServed,
    /// By itself at a random time, by way of other nodes.
    Delayed {
        /// The most that it waits, in milliseconds.
        within_ms: u64,
        /// Whether the node runs.
        is_running: bool,
        /// Days until it can leave, where no other node has been met on enough days to get it first.
        wait_days: Option<u32>,
    },
}
