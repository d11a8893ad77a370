//! Connected peers: when to pull from which, and how many connections an address group has.

use std::collections::HashMap;
use std::net::IpAddr;
use std::time::{Duration, Instant};

use libp2p::multiaddr::Protocol;
use libp2p::swarm::ConnectionId;
use libp2p::{Multiaddr, PeerId};

use super::limits::{CONNECTIONS_PER_ADDRESS_GROUP, SESSIONS};
use crate::clock::Timing;
use crate::sync::Outcome;

/// What is known of one connected peer.
#[derive(Debug)]
pub(crate) struct Peer {
    connections: HashMap<ConnectionId, Option<AddressGroup>>,
    next_session: Instant,
    back_off: Duration,
    is_in_session: bool,
    /// When the last session ended.
    pub(crate) last_exchange: Option<String>,
    /// Whether the last session found nothing left to fetch.
    pub(crate) is_in_step: bool,
}

/// An IPv4 address, or the first 48 bits of an IPv6 address.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub(crate) struct AddressGroup([u8; 6]);

/// All connected peers.
#[derive(Debug)]
pub(crate) struct Peers {
    timing: Timing,
    loopback_exempt: bool,
    connected: HashMap<PeerId, Peer>,
}

impl Peers {
    pub(crate) fn new(timing: Timing, loopback_exempt: bool) -> Self {
        Self { timing, loopback_exempt, connected: HashMap::new() }
    }

    /// Counts a connection in; false when its address group has too many.
    pub(crate) fn connected(
        &mut self,
        peer: PeerId,
        connection: ConnectionId,
        address: &Multiaddr,
        now: Instant,
    ) -> bool {
        let group = group_of(address, self.loopback_exempt);
        let in_group = self.connected.values().flat_map(|peer| peer.connections.values());
        if group.is_some()
            && in_group.filter(|other| **other == group).count() >= CONNECTIONS_PER_ADDRESS_GROUP
        {
            return false;
        }
        let known = self.connected.entry(peer).or_insert_with(|| Peer {
            connections: HashMap::new(),
            next_session: now,
            back_off: self.timing.back_off,
            is_in_session: false,
            last_exchange: None,
            is_in_step: false,
        });
        known.connections.insert(connection, group);
        true
    }

    pub(crate) fn disconnected(&mut self, peer: PeerId, connection: ConnectionId) {
        let Some(known) = self.connected.get_mut(&peer) else { return };
        known.connections.remove(&connection);
        if known.connections.is_empty() {
            self.connected.remove(&peer);
        }
    }

    pub(crate) fn is_connected(&self, peer: &PeerId) -> bool {
        self.connected.contains_key(peer)
    }

    pub(crate) fn iter(&self) -> impl Iterator<Item = (&PeerId, &Peer)> {
        self.connected.iter()
    }

    /// Peers to begin a session with now, as many as may run at once; they count as in session.
    pub(crate) fn due(&mut self, now: Instant) -> Vec<PeerId> {
        let running = self.connected.values().filter(|peer| peer.is_in_session).count();
        let mut waiting: Vec<(Instant, PeerId)> = self
            .connected
            .iter()
            .filter(|(_, peer)| !peer.is_in_session && peer.next_session <= now)
            .map(|(id, peer)| (peer.next_session, *id))
            .collect();
        waiting.sort_unstable();
        waiting.truncate(SESSIONS.saturating_sub(running));
        for (_, id) in &waiting {
            self.connected.entry(*id).and_modify(|peer| peer.is_in_session = true);
        }
        waiting.into_iter().map(|(_, id)| id).collect()
    }

    /// Plans the next session after one has ended.
    ///
    /// A session that brought something goes on after the ordinary gap, since budgets may have cut it
    /// short; one that brought nothing and did not end well backs off, each time twice as long.
    pub(crate) fn session_over(&mut self, id: PeerId, outcome: Outcome, now: Instant, when: String) {
        let timing = self.timing;
        let Some(peer) = self.connected.get_mut(&id) else { return };
        peer.is_in_session = false;
        peer.last_exchange = Some(when);
        peer.is_in_step = outcome.is_complete && outcome.wanted == 0;
        let brought_something = outcome.came > 0;
        let wait = if outcome.is_complete || (brought_something && !outcome.is_peer_at_fault) {
            peer.back_off = timing.back_off;
            timing.session_gap
        } else {
            let wait = peer.back_off;
            peer.back_off = (wait * 2).min(timing.back_off_limit);
            wait
        };
        peer.next_session = now + wait;
    }
}

/// The group that an address counts in; `None` where none is limited.
fn group_of(address: &Multiaddr, loopback_exempt: bool) -> Option<AddressGroup> {
    let ip: IpAddr = address.iter().find_map(|part| match part {
        Protocol::Ip4(ip) => Some(ip.into()),
        Protocol::Ip6(ip) => Some(ip.into()),
        _ => None,
    })?;
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

    fn connect(peers: &mut Peers, number: usize, address: &str) -> bool {
        let address: Multiaddr = address.parse().expect("an address");
        peers.connected(PeerId::random(), ConnectionId::new_unchecked(number), &address, Instant::now())
    }

    #[test]
    fn an_address_group_has_a_limit_and_loopback_only_when_configured() {
        for (address, exempt, admitted) in [
            ("/ip4/192.0.2.1/tcp/1", true, CONNECTIONS_PER_ADDRESS_GROUP),
            ("/ip6/2001:db8:1::1/tcp/1", true, CONNECTIONS_PER_ADDRESS_GROUP),
            ("/ip4/127.0.0.1/tcp/1", true, 20),
            ("/ip4/127.0.0.1/tcp/1", false, CONNECTIONS_PER_ADDRESS_GROUP),
        ] {
            let mut peers = Peers::new(Timing::home(), exempt);
            assert_eq!(
                (0..20).filter(|number| connect(&mut peers, *number, address)).count(),
                admitted,
                "{address}"
            );
        }
    }

    #[test]
    fn at_most_four_sessions_run_and_failures_back_off_twice_as_long_each_time() {
        let mut peers = Peers::new(Timing::home(), true);
        (0..10).for_each(|number| assert!(connect(&mut peers, number, "/ip4/127.0.0.1/tcp/1")));
        let start = Instant::now() + Duration::from_secs(1);
        let running = peers.due(start);
        assert_eq!((running.len(), peers.due(start).len()), (SESSIONS, 0));
        let failed = Outcome::default();
        let mut at = start;
        for wait in [600, 1_200, 2_400] {
            peers.session_over(running[0], failed, at, String::new());
            peers.connected.retain(|id, _| *id == running[0]);
            assert_eq!(peers.due(at + Duration::from_secs(wait - 1)), []);
            at += Duration::from_secs(wait);
            assert_eq!(peers.due(at), [running[0]]);
        }
    }
}
