//! Who may be connected, and which addresses may be dialled: asked before anything else sees a connection.

use std::collections::{HashMap, HashSet};
use std::convert::Infallible;
use std::task::{Context, Poll};

use libp2p::core::Endpoint;
use libp2p::core::transport::PortUse;
use libp2p::swarm::dial_opts::DialOpts;
use libp2p::swarm::{
    ConnectionDenied, ConnectionId, FromSwarm, NetworkBehaviour, THandler, THandlerInEvent, THandlerOutEvent,
    ToSwarm, dummy,
};
use libp2p::{Multiaddr, PeerId};

use super::address::{Reach, ip_of, is_relayed, reach_of};
use super::peers::Group;
use crate::limits::PENDING_PER_GROUP;

/// Refuses whoever is not on the list, where there is one, and dials into private networks that this node
/// did not decide on: a peer may ask for a dial (a check of its address, a hole to punch), and could
/// otherwise send this node to the machines around it.
#[derive(Debug, Default)]
pub(super) struct Doorkeeper {
    allowed: Option<HashSet<PeerId>>,
    /// Dials that this node decided on, until they are made.
    decided: HashSet<ConnectionId>,
    /// Relays at addresses that the grower gave.
    relays: HashSet<PeerId>,
    /// Handshakes that others began, and where they come from.
    begun: HashMap<ConnectionId, Group>,
    loopback_exempt: bool,
}

/// Why a connection is refused.
#[derive(Clone, Copy, Debug, thiserror::Error)]
enum Refused {
    #[error("this peer is not on the list of those that may connect")]
    NotAllowed,
    #[error("a peer asked for a dial into a private network")]
    Private,
    #[error("crowd")]
    Crowd,
}

impl Doorkeeper {
    pub(super) fn new(allowed: Option<HashSet<PeerId>>, loopback_exempt: bool) -> Self {
        Self { allowed, loopback_exempt, ..Self::default() }
    }

    pub(super) fn is_allowed(&self, peer: &PeerId) -> bool {
        self.allowed.as_ref().is_none_or(|allowed| allowed.contains(peer))
    }

    /// Whether there is a list, and the peer is on it.
    pub(super) fn is_named(&self, peer: &PeerId) -> bool {
        self.allowed.as_ref().is_some_and(|allowed| allowed.contains(peer))
    }

    /// Replaces the list; connections that stand already are for the caller to close.
    pub(super) fn set_allowed(&mut self, allowed: Option<HashSet<PeerId>>) {
        self.allowed = allowed;
    }

    /// Lets a dial pass that this node decided on by itself.
    pub(super) fn decide(&mut self, options: &DialOpts) {
        self.decided.insert(options.connection_id());
    }

    /// Lets dials to a relay pass at whatever address the grower gave.
    pub(super) fn trust_relay(&mut self, relay: PeerId) {
        self.relays.insert(relay);
    }

    fn check(&self, peer: PeerId) -> Result<dummy::ConnectionHandler, ConnectionDenied> {
        if self.is_allowed(&peer) {
            Ok(dummy::ConnectionHandler)
        } else {
            Err(ConnectionDenied::new(Refused::NotAllowed))
        }
    }
}

impl NetworkBehaviour for Doorkeeper {
    type ConnectionHandler = dummy::ConnectionHandler;
    type ToSwarm = Infallible;

    /// One place may not take all the room for handshakes, which cost whoever begins them nothing.
    fn handle_pending_inbound_connection(
        &mut self,
        connection: ConnectionId,
        _: &Multiaddr,
        remote: &Multiaddr,
    ) -> Result<(), ConnectionDenied> {
        let group = ip_of(remote).and_then(|ip| Group::of(ip, self.loopback_exempt));
        let Some(group) = group.filter(|_| !is_relayed(remote)) else { return Ok(()) };
        if self.begun.values().filter(|other| **other == group).count() >= PENDING_PER_GROUP {
            return Err(ConnectionDenied::new(Refused::Crowd));
        }
        self.begun.insert(connection, group);
        Ok(())
    }

    fn handle_pending_outbound_connection(
        &mut self,
        connection: ConnectionId,
        peer: Option<PeerId>,
        addresses: &[Multiaddr],
        _: Endpoint,
    ) -> Result<Vec<Multiaddr>, ConnectionDenied> {
        if let Some(peer) = peer {
            self.check(peer)?;
        }
        let is_decided =
            self.decided.remove(&connection) || peer.is_some_and(|peer| self.relays.contains(&peer));
        let leads_inside =
            |address: &Multiaddr| !is_relayed(address) && reach_of(address) != Some(Reach::World);
        if !is_decided && addresses.iter().any(leads_inside) {
            return Err(ConnectionDenied::new(Refused::Private));
        }
        Ok(Vec::new())
    }

    fn handle_established_inbound_connection(
        &mut self,
        connection: ConnectionId,
        peer: PeerId,
        _: &Multiaddr,
        _: &Multiaddr,
    ) -> Result<THandler<Self>, ConnectionDenied> {
        self.begun.remove(&connection);
        self.check(peer)
    }

    fn handle_established_outbound_connection(
        &mut self,
        _: ConnectionId,
        peer: PeerId,
        _: &Multiaddr,
        _: Endpoint,
        _: PortUse,
    ) -> Result<THandler<Self>, ConnectionDenied> {
        self.check(peer)
    }

    fn on_swarm_event(&mut self, event: FromSwarm<'_>) {
        if let FromSwarm::ListenFailure(failure) = event {
            self.begun.remove(&failure.connection_id);
        }
    }

    fn on_connection_handler_event(&mut self, _: PeerId, _: ConnectionId, event: THandlerOutEvent<Self>) {
        match event {}
    }

    fn poll(&mut self, _: &mut Context<'_>) -> Poll<ToSwarm<Self::ToSwarm, THandlerInEvent<Self>>> {
        Poll::Pending
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn dials(keeper: &mut Doorkeeper, options: &DialOpts, addresses: &[&str]) -> bool {
        let addresses: Vec<Multiaddr> =
            addresses.iter().map(|text| text.parse().expect("an address")).collect();
        let (connection, peer) = (options.connection_id(), options.get_peer_id());
        keeper.handle_pending_outbound_connection(connection, peer, &addresses, Endpoint::Dialer).is_ok()
    }

    #[test]
    fn nobody_sends_this_node_to_the_machines_around_it() {
        let (mut keeper, peer) = (Doorkeeper::default(), PeerId::random());
        let asked = || DialOpts::peer_id(peer).build();
        assert!(dials(&mut keeper, &asked(), &["/ip4/203.0.113.5/tcp/1"]));
        for inside in
            ["/ip4/192.168.1.1/tcp/80", "/ip4/127.0.0.1/tcp/22", "/ip6/fd00::1/tcp/1", "/dns4/router/tcp/80"]
        {
            assert!(!dials(&mut keeper, &asked(), &["/ip4/203.0.113.5/tcp/1", inside]), "{inside}");
            let own = asked();
            keeper.decide(&own);
            assert!(dials(&mut keeper, &own, &[inside]), "{inside} was decided here");
            assert!(!dials(&mut keeper, &own, &[inside]), "once only");
        }
        keeper.trust_relay(peer);
        assert!(dials(&mut keeper, &asked(), &["/ip4/192.168.1.1/tcp/80"]));
    }

    #[test]
    fn one_place_begins_a_few_handshakes_at_a_time() {
        let mut keeper = Doorkeeper::default();
        let here: Multiaddr = "/ip4/127.0.0.1/tcp/1".parse().expect("an address");
        let begins = |keeper: &mut Doorkeeper, number, from: &str| {
            let from: Multiaddr = from.parse().expect("an address");
            let connection = ConnectionId::new_unchecked(number);
            keeper.handle_pending_inbound_connection(connection, &here, &from).is_ok()
        };
        let crowd = (0..20).filter(|n| begins(&mut keeper, *n, &format!("/ip4/192.0.2.{n}/tcp/1")));
        let begun: Vec<usize> = crowd.collect();
        assert_eq!(begun, (0..PENDING_PER_GROUP).collect::<Vec<_>>());
        assert!(begins(&mut keeper, 20, "/ip4/192.0.3.1/tcp/1"), "another place");
        let done = ConnectionId::new_unchecked(0);
        let let_in = keeper.handle_established_inbound_connection(done, PeerId::random(), &here, &here);
        assert!(let_in.is_ok() && begins(&mut keeper, 21, "/ip4/192.0.2.1/tcp/1"), "one of them is done");
    }

    #[test]
    fn a_list_keeps_out_all_others_and_none_keeps_out_nobody() {
        let (friend, stranger) = (PeerId::random(), PeerId::random());
        let mut keeper = Doorkeeper::default();
        assert!(keeper.check(stranger).is_ok() && !keeper.is_named(&stranger));
        keeper.set_allowed(Some([friend].into()));
        assert!(keeper.check(friend).is_ok() && keeper.check(stranger).is_err());
        assert!(keeper.is_named(&friend) && !keeper.is_named(&stranger));
        let options = DialOpts::peer_id(stranger).build();
        assert!(!dials(&mut keeper, &options, &["/ip4/203.0.113.5/tcp/1"]));
        keeper.set_allowed(Some(HashSet::new()));
        assert!(keeper.check(friend).is_err(), "an empty list is a list");
    }
}
