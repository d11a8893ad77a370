//! Whom this node exchanges records with.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;
use propagule_files::clock::Moment;
use propagule_network::intake::Counts;
use propagule_network::net::{Allowed, NetStatus, ReachedFrom};
use propagule_network::spread::{Entry, Stage};
use propagule_network::timing::Timing;

/// Addresses were added.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PeersAdded {
    /// Which.
    pub added: Vec<String>,
    /// Whether the node runs, so that it dials them now.
    pub is_running: bool,
}

/// Connected peers, the book, and what came in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Peers {
    /// Whether exchange with others works.
    pub health: Health,
    /// None while the node is not running.
    pub running: Option<NetStatus>,
    /// From where the running node is reached, and ways to change it.
    pub how_reached: Option<Vec<Said>>,
    /// The nodes that may connect; all where there is no list.
    pub allowed: Option<Vec<Allowed>>,
    /// Addresses known.
    pub book: Vec<Entry>,
    /// Records held.
    pub records: u64,
    /// Records deferred for a later version or month.
    pub aside: usize,
    /// Own records on their way out.
    pub outbox: usize,
    /// Those of them that are not public yet.
    pub hidden: usize,
    /// The same by how far they have come.
    pub on_the_way: OnTheWay,
    /// Bytes of records on disk.
    pub disk_bytes: u64,
    /// The most there may be.
    pub quota_bytes: u64,
    /// What came in since the node started.
    pub counts: Counts,
}

/// Whether exchange with others works, and if not, what is in the way first.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "state", rename_all = "snake_case")]
pub enum Health {
    /// The node is not running.
    Stopped,
    /// No other computer is known.
    NobodyKnown,
    /// None of those known is connected.
    NobodyThere {
        /// How many are known.
        known: usize,
    },
    /// Connected, and nothing has been exchanged since the start.
    NothingYet {
        /// With how many computers.
        connected: usize,
    },
    /// Connected, and exchanging.
    Well {
        /// With how many computers.
        connected: usize,
        /// When the last exchange ended, as an RFC 3339 timestamp.
        last_exchange: String,
    },
}

impl Health {
    /// Judged by who is connected, else by who is known.
    pub fn of(running: Option<&NetStatus>, known: usize) -> Self {
        let Some(status) = running else { return Self::Stopped };
        let connected = status.peers.len();
        match (connected, status.peers.iter().filter_map(|peer| peer.last_exchange.as_deref()).max()) {
            (0, _) if known == 0 => Self::NobodyKnown,
            (0, _) => Self::NobodyThere { known },
            (_, None) => Self::NothingYet { connected },
            (_, Some(last)) => Self::Well { connected, last_exchange: last.to_owned() },
        }
    }
}

/// Own records on their way out, by how far they have come.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct OnTheWay {
    /// Waiting for their random time to leave.
    pub waiting: usize,
    /// Travelling by stem.
    pub stemmed: usize,
    /// Of both, those that have not become public for weeks: their grower is asked whether to gossip them from here.
    pub stuck: usize,
    /// Public, waiting for a peer that listens.
    pub open: usize,
}

impl OnTheWay {
    /// All of them.
    pub fn all(self) -> usize {
        self.hidden() + self.open
    }

    /// Those that nobody else may learn of here.
    pub fn hidden(self) -> usize {
        self.waiting + self.stemmed
    }

    /// Counted.
    pub fn of(stages: &[Stage], now: Moment, timing: &Timing) -> Self {
        let count = |wanted: fn(&Stage) -> bool| stages.iter().filter(|stage| wanted(stage)).count();
        Self {
            stuck: stages.iter().filter(|stage| stage.is_stuck(now, timing)).count(),
            waiting: count(|stage| matches!(stage, Stage::Waiting(_))),
            stemmed: count(|stage| matches!(stage, Stage::Stemmed(_))),
            open: count(|stage| matches!(stage, Stage::Open)),
        }
    }
}

/// Text that lets a friend's node find this one.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Invite {
    /// The text.
    pub invite: String,
    /// From where this node is reached.
    pub reached_from: ReachedFrom,
}

/// Which nodes may connect, after a change.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct PeersAllowed {
    /// The list; none where every node may connect.
    pub allowed: Option<Vec<Allowed>>,
    /// What changed.
    #[serde(flatten)]
    pub change: AllowedChange,
}

/// A change of who may connect.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "change", rename_all = "snake_case")]
pub enum AllowedChange {
    /// A node may connect.
    Allowed {
        /// Its id.
        peer: String,
        /// Whether there was no list before.
        is_first: bool,
    },
    /// A node may connect no more.
    Disallowed {
        /// Its id.
        peer: String,
        /// The line that was taken off.
        before: Vec<Allowed>,
    },
    /// There is no list any more.
    AllAllowed {
        /// The list that there was.
        before: Vec<Allowed>,
    },
}

/// From where a node is reached, or a way to change that.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "reach", rename_all = "snake_case")]
pub enum ReachLine {
    /// Others reach it from anywhere.
    FromAnywhere,
    /// Others reach it by way of relays.
    ByRelay {
        /// How many.
        relays: usize,
    },
    /// It listens on this machine only.
    MachineOnly,
    /// What lets others in.
    LetOthersIn,
    /// A node outside tried and did not come through.
    LocalNetworkOnly,
    /// No node outside has tried.
    NotKnown,
    /// A port of the router that leads to it.
    RouterPort {
        /// The port.
        port: u16,
    },
    /// A friend can relay for it.
    FriendCanRelay,
    /// Records can travel in a file.
    RecordsInFile,
    /// It relays for others.
    RelaysForOthers {
        /// For how many now.
        places: usize,
    },
}
