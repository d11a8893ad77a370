//! What commands ask of an open home, and what comes back. Both travel over the local socket.

use propagule_protocol::place::Place;
use propagule_protocol::record::Code;
use propagule_protocol::{Month, NetworkId, RecordId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::BenchRequest;
use super::outcome::Outcome;
use super::outcome::bundle::Tally;
use super::outcome::export::BenchExport;
use super::outcome::paper::Paper;
use propagule_answer::question::{CompareQuestion, PlanQuestion, PoolQuestion};
use propagule_network::store::MonthRow;

/// One command, with everything that it needs.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "request", rename_all = "snake_case")]
pub enum Request {
    /// Describe a place.
    PlaceSet {
        /// The grower's name for it.
        name: String,
        /// What is known of it.
        place: Place,
        /// Degrees, south negative, of which the day length is told and nothing is kept.
        #[serde(default)]
        latitude: Option<f64>,
    },
    /// Show the places, and what would be published of them.
    PlaceShow,
    /// Read trials from a table: a preview, and saved on a yes.
    TrialImport(Box<super::import::Table>),
    /// List the trials in which all of these words stand; without words all of them.
    TrialList {
        /// As typed.
        #[serde(default)]
        words: String,
    },
    /// Show one trial.
    TrialShow {
        /// Its code.
        trial: String,
        /// With what only an adviser asks for.
        detail: bool,
    },
    /// Work at the bench.
    Bench(Box<BenchRequest>),
    /// Publish a trial, or show what would leave.
    Publish {
        /// Its code.
        trial: String,
        /// The grower has seen what leaves and said yes.
        confirmed: bool,
        /// Without a delay and by gossip at once.
        #[serde(default)]
        at_once: bool,
    },
    /// Take a published trial back, or say what that means.
    Withdraw {
        /// Its code.
        trial: String,
        /// Why.
        reason: Code,
        /// The grower knows that it is final.
        confirmed: bool,
        /// Without a delay and by gossip at once.
        #[serde(default)]
        at_once: bool,
    },
    /// Show or change the key that signs.
    Key(super::KeyRequest),
    /// Show what is known of a plant's name.
    PlantShow {
        /// Scientific or common name.
        name: String,
    },
    /// Take one name for another species.
    PlantSame {
        /// The name.
        name: String,
        /// What it is taken for.
        accepted: String,
    },
    /// Take a name for itself again.
    PlantApart {
        /// The name.
        name: String,
    },
    /// Show all names that are taken for another one.
    Synonyms,
    /// Pool the evidence of a species.
    Pool(PoolQuestion),
    /// The rows that [`Request::Pool`] counts, as a table.
    PoolEvidence(PoolQuestion),
    /// Plan how many to start of a species.
    Plan(PlanQuestion),
    /// Compare an own trial with growers in a similar climate.
    Compare(CompareQuestion),
    /// Whose results count.
    Circle(super::CircleRequest),
    /// Records of the set, in parts.
    BundleOut {
        /// Go on behind this record.
        after: Option<RecordId>,
        /// Begin with this signed month.
        since: Month,
    },
    /// Everything that this home cannot get back from others, as one file.
    Archive {
        /// With the keys that sign.
        with_keys: bool,
    },
    /// The archive is on the disk of whoever asked for it.
    ArchiveWritten,
    /// Count and fingerprint of every month of the set.
    Months,
    /// The first eight bytes of every id of a month.
    ShortIds {
        /// Signed month.
        month: Month,
    },
    /// Take in records of a bundle.
    BundleIn {
        /// Bytes of each record, as hex.
        records: Vec<String>,
        /// Their authors are known here from now on, by the grower's word.
        as_known: bool,
    },
    /// The id of the home's network.
    NetworkId,
    /// Look after the files of the home.
    Store(StoreWork),
    /// Add a peer by address or invite.
    PeersAdd {
        /// Address or invite.
        address: String,
    },
    /// Show the peers.
    PeersList,
    /// Make an invite.
    PeersInvite,
    /// Look whether everything is well.
    Doctor {
        /// Read every file whole and judge every record again.
        full: bool,
    },
    /// Let a node connect, and from then on only such nodes.
    PeersAllow {
        /// Its id, an address of it, or its invite.
        node: String,
        /// Whose it is.
        name: String,
    },
    /// Let a node connect no more.
    PeersDisallow {
        /// Its id, an address of it, or its invite.
        node: String,
    },
    /// Do without a list: every node may connect.
    PeersAllowAll,
}

/// Work on the files of a home.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "work", rename_all = "snake_case")]
pub enum StoreWork {
    /// Look at everything and change nothing.
    Verify,
    /// Salvage what is whole, and fetch from peers what is lost.
    Repair,
    /// Leave out what is not needed.
    Compact,
}

/// What a command gets back.
#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reply {
    /// What came of it.
    Done(Box<Outcome>),
    /// What would come of it, to be agreed to.
    Proposed(Box<Outcome>),
    /// What came of it, and what followed from that.
    Followed {
        /// What was asked for.
        first: Box<Outcome>,
        /// What followed.
        by: Box<Outcome>,
    },
    /// A part of the set.
    Records {
        /// Bytes of each record, as hex.
        records: Vec<String>,
        /// Where to go on; `None` at the end.
        next: Option<RecordId>,
    },
    /// What was looked at, and how it stands.
    Findings(Vec<super::doctor::Finding>),
    /// What became of records that were handed in.
    Taken(Tally),
    /// The id of a network.
    NetworkId(NetworkId),
    /// Months of a set, rising.
    Months(Vec<MonthRow>),
    /// The first eight bytes of ids, one behind the other, as hex.
    ShortIds(String),
    /// Something to print, of which the asking side makes a file.
    Page {
        /// Name of the file.
        name: String,
        /// What is on it.
        page: Box<Paper>,
    },
    /// An archive.
    Archive {
        /// The ZIP file, in Base64.
        zip: String,
        /// What is in it.
        made: Box<Outcome>,
    },
    /// It was remembered.
    Noted,
    /// The whole bench record.
    Bench(Box<BenchExport>),
    /// Tables.
    Export {
        /// Name and rows of each table.
        files: Vec<(String, Vec<Vec<String>>)>,
        /// Name and text of each other file.
        texts: Vec<(String, String)>,
        /// The same and more as data.
        json: serde_json::Value,
    },
    /// Rows of a table, of which the asking side makes a file; the first one names the columns.
    Table(Vec<Vec<String>>),
}

impl Reply {
    /// What came of a request.
    pub fn done(outcome: Outcome) -> Self {
        Self::Done(Box::new(outcome))
    }

    /// What would come of a request, to be agreed to.
    pub fn proposed(outcome: Outcome) -> Self {
        Self::Proposed(Box::new(outcome))
    }
}
