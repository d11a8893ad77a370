//! Connected peers: how many connections an address group has, and what is shown of each.

use std::collections::HashMap;
use std::fmt;
use std::net::IpAddr;

use libp2p::core::ConnectedPoint;
use libp2p::swarm::ConnectionId;
use libp2p::{Multiaddr, PeerId};

use super::address::{Range, Reach, ip_of, is_relayed, relay_of};
use crate::limits::{CONNECTIONS_PER_ADDRESS_GROUP, CONNECTIONS_PER_RELAY};
use crate::sync::Outcome;

/// What is known of one connected peer.
#[derive(Debug, Default)]
pub(super) struct Peer {
    connections: HashMap<ConnectionId, Connection>,
    /// When the last session ended.
    pub last_exchange: Option<String>,
    /// Whether the last session found nothing left to fetch.
    pub is_in_step: bool,
}

impl Peer {
    /// Whether this node opened a connection to it.
    pub(super) fn is_chosen(&self) -> bool {
        self.connections.values().any(|one| one.dialled.is_some())
    }

    /// Whether something holds for one of its connections.
    pub(super) fn any(&self, holds: impl Fn(ConnectionId) -> bool) -> bool {
        self.connections.keys().any(|id| holds(*id))
    }

    /// Whether every connection goes by way of a relay.
    pub(super) fn is_relayed(&self) -> bool {
        !self.connections.is_empty() && self.connections.values().all(|one| one.is_relayed)
    }
}

/// One connection, as far as limits and the question who reaches whom need it.
#[derive(Clone, Debug)]
pub(super) struct Connection {
    pub(super) group: Option<Group>,
    origin: Option<Origin>,
    /// Where the peer is; nothing when a relay hides it.
    pub(super) ip: Option<IpAddr>,
    /// The address that was dialled, where it was.
    pub(super) dialled: Option<Multiaddr>,
    /// Where it was received; nothing when it was dialled.
    pub(super) received_at: Option<IpAddr>,
    pub(super) is_relayed: bool,
    /// A relay connected the two before, so that this one may owe itself to a hole punched.
    pub(super) came_by_relay: bool,
}

/// Connections that count together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Group {
    Range(Range),
    /// In the local network each machine counts for itself.
    Machine(IpAddr),
    Relay(PeerId),
}

impl Group {
    /// Of an address; none where this machine is left out.
    pub(super) fn of(ip: IpAddr, loopback_exempt: bool) -> Option<Self> {
        match Reach::of(ip) {
            Reach::Machine if loopback_exempt => None,
            Reach::Neighbourhood => Some(Self::Machine(ip)),
            Reach::Machine | Reach::World => Some(Self::Range(Range::of(ip))),
        }
    }

    fn limit(self) -> usize {
        match self {
            Self::Range(_) | Self::Machine(_) => CONNECTIONS_PER_ADDRESS_GROUP,
            Self::Relay(_) => CONNECTIONS_PER_RELAY,
        }
    }
}

/// Where a peer comes from, as its conduct is charged.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(super) enum Origin {
    Range(Range),
    Relay(PeerId),
}

impl Origin {
    /// Of a connection; none where its address names no place.
    pub(super) fn of(endpoint: &ConnectedPoint) -> Option<Self> {
        let remote = endpoint.get_remote_address();
        if !endpoint.is_relayed() {
            return ip_of(remote).map(Range::of).map(Self::Range);
        }
        relay_between(endpoint).map(Self::Relay)
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Range(range) => write!(f, "{range}"),
            Self::Relay(relay) => write!(f, "{relay}"),
        }
    }
}

/// The relay that carries a connection.
fn relay_between(endpoint: &ConnectedPoint) -> Option<PeerId> {
    let local = match endpoint {
        ConnectedPoint::Listener { local_addr, .. } => local_addr,
        ConnectedPoint::Dialer { address, .. } => address,
    };
    relay_of(endpoint.get_remote_address()).or_else(|| relay_of(local))
}

impl Connection {
    /// Where it leads, for telling whether two lead to one place; empty where that does not count.
    pub(super) fn place(&self) -> String {
        self.group.and(self.origin).map(|origin| origin.to_string()).unwrap_or_default()
    }
}

/// All connected peers.
#[derive(Debug)]
pub(super) struct Peers {
    loopback_exempt: bool,
    connected: HashMap<PeerId, Peer>,
}

impl Peers {
    pub(super) fn new(loopback_exempt: bool) -> Self {
        Self { loopback_exempt, connected: HashMap::new() }
    }

    /// Counts a connection in; false when a relayed one comes beside a direct one, or its group has too many, which does
    /// not hold for friends.
    pub(super) fn connected(
        &mut self,
        peer: PeerId,
        id: ConnectionId,
        (endpoint, is_friend): (&ConnectedPoint, bool),
    ) -> bool {
        let (is_relayed, group) = (endpoint.is_relayed(), self.group_of(endpoint));
        let in_group = self.connected.values().flat_map(|peer| peer.connections.values());
        let is_full = group
            .is_some_and(|group| in_group.filter(|one| one.group == Some(group)).count() >= group.limit());
        let others = self.connected.get(&peer).map(|known| &known.connections);
        let has = |wanted: bool| others.is_some_and(|all| all.values().any(|one| one.is_relayed == wanted));
        if (is_full && !is_friend) || (is_relayed && has(false)) {
            return false;
        }
        let (dialled, received_at) = match endpoint {
            ConnectedPoint::Listener { local_addr, .. } => (None, ip_of(local_addr)),
            ConnectedPoint::Dialer { address, .. } => (Some(address.clone()), None),
        };
        let ip = if is_relayed { None } else { ip_of(endpoint.get_remote_address()) };
        let (origin, came_by_relay) = (Origin::of(endpoint), has(true));
        let connection = Connection { group, origin, ip, dialled, received_at, is_relayed, came_by_relay };
        self.connected.entry(peer).or_default().connections.insert(id, connection);
        true
    }

    /// The group that a connection counts in; `None` where none is limited.
    fn group_of(&self, endpoint: &ConnectedPoint) -> Option<Group> {
        let remote = endpoint.get_remote_address();
        if endpoint.is_relayed() {
            return relay_between(endpoint).map(Group::Relay);
        }
        Group::of(ip_of(remote)?, self.loopback_exempt)
    }

    pub(super) fn connection(&self, peer: &PeerId, id: ConnectionId) -> Option<Connection> {
        self.connected.get(peer)?.connections.get(&id).cloned()
    }

    /// Relayed connections to a peer that is reached directly too.
    pub(super) fn replaced(&self, peer: &PeerId) -> Vec<ConnectionId> {
        let Some(known) = self.connected.get(peer).filter(|known| !known.is_relayed()) else {
            return Vec::new();
        };
        known.connections.iter().filter(|(_, one)| one.is_relayed).map(|(id, _)| *id).collect()
    }

    /// Connections from one place, the longest standing first.
    pub(super) fn from(&self, origin: Origin) -> Vec<ConnectionId> {
        let all = self.connected.values().flat_map(|peer| &peer.connections);
        let mut from: Vec<ConnectionId> =
            all.filter(|(_, one)| one.origin == Some(origin)).map(|(id, _)| *id).collect();
        from.sort_unstable();
        from
    }

    /// Whether a peer is in the same local network.
    pub(super) fn is_neighbour(&self, peer: &PeerId) -> bool {
        let near = |one: &Connection| one.ip.is_some_and(|ip| Reach::of(ip) == Reach::Neighbourhood);
        self.connected.get(peer).is_some_and(|peer| peer.connections.values().any(near))
    }

    /// Connections that do not stay within this machine.
    pub(super) fn away(&self) -> Vec<ConnectionId> {
        let all = self.connected.values().flat_map(|peer| &peer.connections);
        all.filter(|(_, one)| one.ip.is_none_or(|ip| !ip.is_loopback())).map(|(id, _)| *id).collect()
    }

    pub(super) fn is_relayed(&self, peer: &PeerId) -> bool {
        self.connected.get(peer).is_some_and(Peer::is_relayed)
    }

    /// Counts a connection out, and says whether the peer is gone with it.
    pub(super) fn disconnected(&mut self, peer: PeerId, connection: ConnectionId) -> bool {
        let Some(known) = self.connected.get_mut(&peer) else { return false };
        known.connections.remove(&connection);
        let is_gone = known.connections.is_empty();
        if is_gone {
            self.connected.remove(&peer);
        }
        is_gone
    }

    pub(super) fn is_connected(&self, peer: &PeerId) -> bool {
        self.connected.contains_key(peer)
    }

    pub(super) fn iter(&self) -> impl Iterator<Item = (&PeerId, &Peer)> {
        self.connected.iter()
    }

    /// All connections to a peer.
    pub(super) fn connections(&self, peer: &PeerId) -> Vec<ConnectionId> {
        self.connected.get(peer).map(|known| known.connections.keys().copied().collect()).unwrap_or_default()
    }

    /// How many peers this node chose itself: whoever comes by itself takes no place of those.
    pub(super) fn chosen(&self) -> usize {
        self.connected.values().filter(|peer| peer.is_chosen()).count()
    }

    /// Notes how a session with a peer ended.
    pub(super) fn session_over(&mut self, id: PeerId, outcome: Outcome, when: String) {
        if let Some(peer) = self.connected.get_mut(&id) {
            peer.last_exchange = Some(when);
            peer.is_in_step = outcome.is_complete && outcome.wanted == 0;
        }
    }

    /// Whether a peer may be told an address: a public one always, one of this machine or of a private
    /// network only when the peer is there too.
    pub(super) fn may_be_told(&self, peer: &PeerId, address: &str) -> bool {
        let Ok(address) = address.parse::<Multiaddr>() else { return false };
        let Some(ip) = ip_of(&address) else { return false };
        // What stands behind a relay is the peer's own affair.
        if is_relayed(&address) && relay_of(&address).is_none() {
            return false;
        }
        let theirs = self.connected.get(peer).into_iter().flat_map(|peer| peer.connections.values());
        let reach = Reach::of(ip);
        reach == Reach::World || theirs.filter_map(|one| one.ip).any(|ip| Reach::of(ip) <= reach)
    }
}

#[cfg(test)]
#[path = "peers_tests.rs"]
mod tests;
