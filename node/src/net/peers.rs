//! Connected peers: how many connections an address group has, and what is shown of each.

use std::collections::HashMap;
use std::net::IpAddr;

use libp2p::multiaddr::Protocol;
use libp2p::swarm::ConnectionId;
use libp2p::{Multiaddr, PeerId};

use crate::limits::CONNECTIONS_PER_ADDRESS_GROUP;
use crate::sync::Outcome;

/// What is known of one connected peer.
#[derive(Debug, Default)]
pub(crate) struct Peer {
    connections: HashMap<ConnectionId, Connection>,
    /// When the last session ended.
    pub(crate) last_exchange: Option<String>,
    /// Whether the last session found nothing left to fetch.
    pub(crate) is_in_step: bool,
}

#[derive(Debug)]
struct Connection {
    group: Option<AddressGroup>,
    ip: Option<IpAddr>,
}

/// An IPv4 address, or the first 48 bits of an IPv6 address.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct AddressGroup([u8; 6]);

/// All connected peers.
#[derive(Debug)]
pub(crate) struct Peers {
    loopback_exempt: bool,
    connected: HashMap<PeerId, Peer>,
}

impl Peers {
    pub(crate) fn new(loopback_exempt: bool) -> Self {
        Self { loopback_exempt, connected: HashMap::new() }
    }

    /// Counts a connection in; false when its address group has too many.
    pub(crate) fn connected(&mut self, peer: PeerId, connection: ConnectionId, address: &Multiaddr) -> bool {
        let group = group_of(address, self.loopback_exempt);
        let in_group = self.connected.values().flat_map(|peer| peer.connections.values());
        if group.is_some()
            && in_group.filter(|other| other.group == group).count() >= CONNECTIONS_PER_ADDRESS_GROUP
        {
            return false;
        }
        let connections = &mut self.connected.entry(peer).or_default().connections;
        connections.insert(connection, Connection { group, ip: ip_of(address) });
        true
    }

    /// Counts a connection out, and says whether the peer is gone with it.
    pub(crate) fn disconnected(&mut self, peer: PeerId, connection: ConnectionId) -> bool {
        let Some(known) = self.connected.get_mut(&peer) else { return false };
        known.connections.remove(&connection);
        let is_gone = known.connections.is_empty();
        if is_gone {
            self.connected.remove(&peer);
        }
        is_gone
    }

    pub(crate) fn is_connected(&self, peer: &PeerId) -> bool {
        self.connected.contains_key(peer)
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = (&PeerId, &Peer)> {
        self.connected.iter()
    }

    /// Notes how a session with a peer ended.
    pub(crate) fn session_over(&mut self, id: PeerId, outcome: Outcome, when: String) {
        if let Some(peer) = self.connected.get_mut(&id) {
            peer.last_exchange = Some(when);
            peer.is_in_step = outcome.is_complete && outcome.wanted == 0;
        }
    }

    /// Whether a peer may be told an address: a public one always, one of this machine or of a private
    /// network only when the peer is there too.
    pub(crate) fn may_be_told(&self, peer: &PeerId, address: &str) -> bool {
        let Some(ip) = address.parse().ok().and_then(|address| ip_of(&address)) else { return false };
        let theirs = self.connected.get(peer).into_iter().flat_map(|peer| peer.connections.values());
        let reach = Reach::of(ip);
        reach == Reach::World || theirs.filter_map(|one| one.ip).any(|ip| Reach::of(ip) <= reach)
    }
}

/// From where an address can be reached.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Reach {
    Machine,
    Neighbourhood,
    World,
}

impl Reach {
    fn of(ip: IpAddr) -> Self {
        let is_near = match ip {
            IpAddr::V4(ip) => ip.is_private() || ip.is_link_local() || ip.is_unspecified(),
            IpAddr::V6(ip) => ip.is_unique_local() || ip.is_unicast_link_local() || ip.is_unspecified(),
        };
        if ip.is_loopback() {
            Self::Machine
        } else if is_near {
            Self::Neighbourhood
        } else {
            Self::World
        }
    }
}

fn ip_of(address: &Multiaddr) -> Option<IpAddr> {
    address.iter().find_map(|part| match part {
        Protocol::Ip4(ip) => Some(ip.into()),
        Protocol::Ip6(ip) => Some(ip.into()),
        _ => None,
    })
}

/// The group that an address counts in; `None` where none is limited.
fn group_of(address: &Multiaddr, loopback_exempt: bool) -> Option<AddressGroup> {
    let ip = ip_of(address)?;
    if ip.is_loopback() && loopback_exempt {
        return None;
    }
    let mut group = [0; 6];
    match ip {
        IpAddr::V4(ip) => group[..4].copy_from_slice(&ip.octets()),
        IpAddr::V6(ip) => group.copy_from_slice(&ip.octets()[..6]),
    }
    Some(AddressGroup(group))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn connect(peers: &mut Peers, peer: PeerId, number: usize, address: &str) -> bool {
        let address: Multiaddr = address.parse().expect("an address");
        peers.connected(peer, ConnectionId::new_unchecked(number), &address)
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
    fn a_peer_is_gone_with_its_last_connection() {
        let (mut peers, peer) = (Peers::new(true), PeerId::random());
        connect(&mut peers, peer, 1, "/ip4/127.0.0.1/tcp/1");
        connect(&mut peers, peer, 2, "/ip4/127.0.0.1/tcp/1");
        assert!(!peers.disconnected(peer, ConnectionId::new_unchecked(1)));
        assert!(peers.disconnected(peer, ConnectionId::new_unchecked(2)));
        assert!(!peers.is_connected(&peer));
    }
}
