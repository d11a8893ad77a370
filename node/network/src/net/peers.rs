//! Connected peers: how many connections an address group has, and what is shown of each.

use std::collections::HashMap;
use std::fmt;
use std::net::IpAddr;

use libp2p::core::ConnectedPoint;
use libp2p::swarm::ConnectionId;
use libp2p::{Multiaddr, PeerId};

use super::address::{AddressGroup, Range, Reach, ip_of, is_relayed, relay_of};
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
    /// Whether every connection goes by way of a relay.
    pub(super) fn is_relayed(&self) -> bool {
        !self.connections.is_empty() && self.connections.values().all(|one| one.is_relayed)
    }
}

/// One connection, as far as limits and the question who reaches whom need it.
#[derive(Clone, Debug)]
pub(super) struct Connection {
    group: Option<Group>,
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
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Group {
    Address(AddressGroup),
    Relay(PeerId),
}

impl Group {
    fn limit(self) -> usize {
        match self {
            Self::Address(_) => CONNECTIONS_PER_ADDRESS_GROUP,
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

    /// Counts a connection in; false when its group has too many, or a relayed one comes beside a direct one.
    pub(super) fn connected(&mut self, peer: PeerId, id: ConnectionId, endpoint: &ConnectedPoint) -> bool {
        let (is_relayed, group) = (endpoint.is_relayed(), self.group_of(endpoint));
        let in_group = self.connected.values().flat_map(|peer| peer.connections.values());
        let is_full = group
            .is_some_and(|group| in_group.filter(|one| one.group == Some(group)).count() >= group.limit());
        let others = self.connected.get(&peer).map(|known| &known.connections);
        let has = |wanted: bool| others.is_some_and(|all| all.values().any(|one| one.is_relayed == wanted));
        if is_full || (is_relayed && has(false)) {
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
        let ip = ip_of(remote)?;
        let is_exempt = ip.is_loopback() && self.loopback_exempt;
        (!is_exempt).then(|| Group::Address(AddressGroup::of(ip)))
    }

    /// Where a connection leads, for telling whether two lead to one place; empty where that does not count.
    pub(super) fn place_of(&self, endpoint: &ConnectedPoint) -> String {
        let origin = self.group_of(endpoint).and_then(|_| Origin::of(endpoint));
        origin.map(|origin| origin.to_string()).unwrap_or_default()
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
mod tests {
    use libp2p::core::Endpoint;
    use libp2p::core::transport::PortUse;

    use super::*;

    fn connect(peers: &mut Peers, peer: PeerId, number: usize, address: &str) -> bool {
        peers.connected(peer, ConnectionId::new_unchecked(number), &dialled(address))
    }

    fn dialled(address: &str) -> ConnectedPoint {
        ConnectedPoint::Dialer {
            address: address.parse().expect("an address"),
            role_override: Endpoint::Dialer,
            port_use: PortUse::Reuse,
        }
    }

    fn received(local: &str, remote: &str) -> ConnectedPoint {
        ConnectedPoint::Listener {
            local_addr: local.parse().expect("an address"),
            send_back_addr: remote.parse().expect("an address"),
        }
    }

    #[test]
    fn connections_by_way_of_one_relay_are_limited_both_ways() {
        let (relay, other) = (PeerId::random(), PeerId::random());
        let mut peers = Peers::new(true);
        let by = |relay: PeerId, number: usize| {
            let circuit = format!("/ip4/127.0.0.1/tcp/1/p2p/{relay}/p2p-circuit");
            let peer = PeerId::random();
            let endpoint = match number % 2 {
                0 => dialled(&format!("{circuit}/p2p/{peer}")),
                _ => received(&circuit, &format!("/p2p/{peer}")),
            };
            (peer, endpoint)
        };
        let mut admits = |relay: PeerId, number: usize| {
            let (peer, endpoint) = by(relay, number);
            peers.connected(peer, ConnectionId::new_unchecked(number), &endpoint)
        };
        assert_eq!((0..20).filter(|number| admits(relay, *number)).count(), CONNECTIONS_PER_RELAY);
        assert!(admits(other, 20), "another relay has its own");
    }

    #[test]
    fn a_direct_connection_takes_the_place_of_a_relayed_one() {
        let (mut peers, peer) = (Peers::new(true), PeerId::random());
        let circuit = format!("/ip4/203.0.113.1/tcp/1/p2p/{}/p2p-circuit/p2p/{peer}", PeerId::random());
        assert!(connect(&mut peers, peer, 1, &circuit));
        assert!(peers.is_relayed(&peer) && peers.replaced(&peer).is_empty());
        assert!(connect(&mut peers, peer, 2, "/ip4/198.51.100.9/tcp/1"));
        assert!(!peers.is_relayed(&peer));
        assert_eq!(peers.replaced(&peer), [ConnectionId::new_unchecked(1)]);
        assert!(peers.connection(&peer, ConnectionId::new_unchecked(2)).is_some_and(|one| one.came_by_relay));
        assert!(!connect(&mut peers, peer, 3, &circuit), "a relayed one beside a direct one is of no use");
    }

    #[test]
    fn a_relay_nearby_does_not_make_its_peers_neighbours() {
        let (mut peers, peer) = (Peers::new(true), PeerId::random());
        let circuit = format!("/ip4/192.168.1.1/tcp/1/p2p/{}/p2p-circuit/p2p/{peer}", PeerId::random());
        connect(&mut peers, peer, 1, &circuit);
        assert!(!peers.may_be_told(&peer, "/ip4/192.168.1.4/tcp/1"));
        assert!(peers.may_be_told(&peer, "/ip4/203.0.113.4/tcp/1"));
    }

    #[test]
    fn an_address_group_has_a_limit_and_loopback_only_when_configured() {
        for (address, exempt, admitted) in [
            ("/ip4/192.0.2.1/tcp/1", true, CONNECTIONS_PER_ADDRESS_GROUP),
            ("/ip6/2001:db8:1::1/tcp/1", true, CONNECTIONS_PER_ADDRESS_GROUP),
            ("/ip4/127.0.0.1/tcp/1", true, 20),
            ("/ip4/127.0.0.1/tcp/1", false, CONNECTIONS_PER_ADDRESS_GROUP),
        ] {
            let mut peers = Peers::new(exempt);
            let admits = |number: &usize| connect(&mut peers, PeerId::random(), *number, address);
            assert_eq!((0..20).filter(admits).count(), admitted, "{address}");
        }
    }

    #[test]
    fn addresses_of_a_machine_or_a_home_network_stay_there() {
        let (far, near, here) = (PeerId::random(), PeerId::random(), PeerId::random());
        let mut peers = Peers::new(true);
        connect(&mut peers, far, 1, "/ip4/198.51.100.9/tcp/1");
        connect(&mut peers, near, 2, "/ip4/192.168.1.9/tcp/1");
        connect(&mut peers, here, 3, "/ip4/127.0.0.1/tcp/1");
        for (address, told) in [
            ("/ip4/203.0.113.5/tcp/1", [true, true, true]),
            ("/ip4/192.168.1.4/tcp/1", [false, true, true]),
            ("/ip4/127.0.0.1/tcp/9", [false, false, true]),
            ("/dns4/example.org/tcp/9", [false, false, false]),
        ] {
            assert_eq!([far, near, here].map(|peer| peers.may_be_told(&peer, address)), told, "{address}");
        }
    }

    #[test]
    fn conduct_is_charged_to_where_a_peer_comes_from() {
        let from = |address: &str| Origin::of(&dialled(address)).expect("it names a place");
        assert_eq!(from("/ip4/198.51.100.9/tcp/1"), from("/ip4/198.51.100.200/tcp/2"));
        assert_ne!(from("/ip4/198.51.100.9/tcp/1"), from("/ip4/198.51.101.9/tcp/1"));
        assert_ne!(from("/ip4/127.0.0.1/tcp/1"), from("/ip4/127.0.1.1/tcp/1"));
        assert_eq!(from("/ip6/2001:db8:1:2::1/tcp/1"), from("/ip6/2001:db8:1:3::1/tcp/1"));
        assert_ne!(from("/ip6/2001:db8:1::1/tcp/1"), from("/ip6/2001:db8:2::1/tcp/1"));
        let relay = PeerId::random();
        let circuit = format!("/ip4/127.0.0.1/tcp/1/p2p/{relay}/p2p-circuit");
        let (out, inward) = (from(&format!("{circuit}/p2p/{relay}")), received(&circuit, "/ip4/192.0.2.1"));
        assert_eq!((Some(out), Origin::of(&inward)), (Some(Origin::Relay(relay)), Some(out)));

        let mut peers = Peers::new(true);
        for (number, address) in [(2, "198.51.100.1"), (1, "198.51.100.2"), (3, "203.0.113.1")] {
            connect(&mut peers, PeerId::random(), number, &format!("/ip4/{address}/tcp/1"));
        }
        let standing = peers.from(from("/ip4/198.51.100.77/tcp/1"));
        assert_eq!(standing, [1, 2].map(ConnectionId::new_unchecked));
    }

    #[test]
    fn who_is_in_the_same_network_is_a_neighbour_and_who_is_on_this_machine_is_not() {
        for (address, is_near) in
            [("192.168.1.9", true), ("10.0.0.4", true), ("127.0.0.1", false), ("198.51.100.9", false)]
        {
            let (mut peers, peer) = (Peers::new(true), PeerId::random());
            connect(&mut peers, peer, 1, &format!("/ip4/{address}/tcp/1"));
            assert_eq!(peers.is_neighbour(&peer), is_near, "{address}");
        }
    }

    #[test]
    fn a_peer_is_gone_with_its_last_connection() {
        let (mut peers, peer) = (Peers::new(true), PeerId::random());
        connect(&mut peers, peer, 1, "/ip4/127.0.0.1/tcp/1");
        connect(&mut peers, peer, 2, "/ip4/127.0.0.1/tcp/1");
        assert!(!peers.disconnected(peer, ConnectionId::new_unchecked(1)));
        assert!(peers.disconnected(peer, ConnectionId::new_unchecked(2)));
        assert!(!peers.is_connected(&peer));
    }
}
