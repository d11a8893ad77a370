//! What commands ask of an open home, and what comes back. Both travel over the local socket.

use propagule_protocol::place::Place;
use propagule_protocol::{NetworkId, RecordId};
use serde::{Deserialize, Serialize};

use crate::evidence::{Grouping, Question};

/// One command, with everything that it needs.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(tag = "request", rename_all = "snake_case")]
pub enum Request {
    /// Describe a place.
    PlaceSet {
        /// The grower's name for it.
        name: String,
        /// What is known of it.
        place: Place,
    },
    /// Show the places, and what would be published of them.
    PlaceShow,
    /// Read trials from a table.
    TrialImport {
        /// Name of the file, for messages only.
        file: String,
        /// Its content.
        table: String,
        /// Say what would happen, and change nothing.
        dry_run: bool,
    },
    /// List the trials.
    TrialList,
    /// Show one trial.
    TrialShow {
        /// Its code.
        trial: String,
    },
    /// Publish a trial, or show what would leave.
    Publish {
        /// Its code.
        trial: String,
        /// The grower has seen what leaves and said yes.
        confirmed: bool,
    },
    /// Pool the evidence of a species.
    Pool(PoolRequest),
    /// Plan how many to start of a species.
    Plan(super::PlanRequest),
    /// Compare an own trial with growers in a similar climate.
    Compare {
        /// Its code.
        trial: String,
        /// Stage and outcome.
        question: Question,
        /// Columns to write to.
        width: usize,
    },
    /// Records of the set, in parts.
    BundleOut {
        /// Go on behind this record.
        after: Option<RecordId>,
    },
    /// Take in records of a bundle.
    BundleIn {
        /// Bytes of each record, as hex.
        records: Vec<String>,
    },
    /// The id of the home's network.
    NetworkId,
    /// Add a peer by address or invite.
    PeersAdd {
        /// Address or invite.
        address: String,
    },
    /// Show the peers.
    PeersList,
    /// Make an invite.
    PeersInvite,
}

/// What to pool.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct PoolRequest {
    /// Plant name.
    pub species: String,
    /// Stage and outcome.
    pub question: Question,
    /// How to group.
    pub grouping: Grouping,
    /// Which records count.
    pub scope: super::Scope,
    /// Leave contrasts of trials with one replicate an arm out.
    pub replicated_only: bool,
    /// Also influence, classical results and sensitivity.
    pub detail: bool,
    /// Columns to write to.
    pub width: usize,
}

/// Words for the terminal and the same as data.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct Report {
    /// Plain text, wrapped to the width asked for.
    pub text: String,
    /// The shape of `--json`.
    pub json: serde_json::Value,
}

/// What a command gets back.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reply {
    /// Something to show.
    Report(Report),
    /// Something to show, after which a yes is needed.
    Preview(Report),
    /// A part of the set.
    Records {
        /// Bytes of each record, as hex.
        records: Vec<String>,
        /// Where to go on; `None` at the end.
        next: Option<RecordId>,
    },
    /// The id of a network.
    NetworkId(NetworkId),
}

impl Reply {
    /// Something to show.
    pub fn report(text: impl Into<String>, json: serde_json::Value) -> Self {
        Self::Report(Report { text: text.into(), json })
    }
}
