//! How the network stands.

use libp2p::multiaddr::Protocol;
use libp2p::{Multiaddr, PeerId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::ReachedFrom;
use super::address::without_peer;
use super::event_loop::EventLoop;
use super::peers::Peer;
use crate::limits::INVITE_ADDRESSES;

/// How the network stands, for `peers list` and tests.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct NetStatus {
    /// This node's id on the network.
    pub peer_id: String,
    /// Addresses that it listens on, each with the id at its end.
    pub addresses: Vec<String>,
    /// From where others reach it.
    #[serde(default)]
    pub reached_from: ReachedFrom,
    /// Addresses at which it is known to be reached from elsewhere: its own that were tried, and those at
    /// relays.
    #[serde(default)]
    pub external: Vec<String>,
    /// Addresses for an invite.
    #[serde(default)]
    pub to_hand_out: Vec<String>,
    /// Relays at which it has a place.
    #[serde(default)]
    pub relays: Vec<String>,
    /// Whether it relays for others.
    #[serde(default)]
    pub is_relaying: bool,
    /// Peers that have a place here.
    #[serde(default)]
    pub places: usize,
    /// Circuits that went through this node so far.
    #[serde(default)]
    pub circuits: u64,
    /// Peers that are connected now.
    pub peers: Vec<PeerStatus>,
    /// Peers that are blocked for a while.
    pub blocked: usize,
    /// Records of others that pass through on a stem.
    pub relaying: usize,
}

/// One connected peer.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct PeerStatus {
    /// Its id on the network.
    pub peer_id: String,
    /// When the last session of pulling from it ended, as an RFC 3339 timestamp.
    pub last_exchange: Option<String>,
    /// Whether that session found nothing left to fetch.
    pub is_in_step: bool,
    /// Whether a relay stands between.
    #[serde(default)]
    pub is_relayed: bool,
}

impl EventLoop {
    pub(super) fn status(&self) -> NetStatus {
        let own = *self.swarm.local_peer_id();
        let with_id =
            |address: &Multiaddr| without_peer(address.clone()).with(Protocol::P2p(own)).to_string();
        let peer = |(id, peer): (&PeerId, &Peer)| PeerStatus {
            peer_id: id.to_string(),
            last_exchange: peer.last_exchange.clone(),
            is_in_step: peer.is_in_step,
            is_relayed: peer.is_relayed(),
        };
        let is_heard = |(_, peer): &(&PeerId, &Peer)| peer.any(|one| !self.doors.is_silent(one));
        let mut peers: Vec<PeerStatus> = self.peers.iter().filter(is_heard).map(peer).collect();
        peers.sort_unstable_by(|a, b| a.peer_id.cmp(&b.peer_id));
        NetStatus {
            peer_id: own.to_string(),
            addresses: self.reached.listening().iter().map(with_id).collect(),
            reached_from: self.reached_from(),
            external: self.reached.external().map(with_id).collect(),
            to_hand_out: self.reached.to_hand_out(INVITE_ADDRESSES).into_iter().map(with_id).collect(),
            relays: self.relays.places().map(|relay| relay.to_string()).collect(),
            is_relaying: self.is_relaying,
            places: self.places.len(),
            circuits: self.circuits,
            peers,
            blocked: self.ledger.blocked(),
            relaying: self.spread.relaying(),
        }
    }
}
