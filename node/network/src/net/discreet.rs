//! Telling peers who we are without telling them more: identify, kept from private addresses both ways.

use std::task::{Context, Poll};

use libp2p::core::Endpoint;
use libp2p::core::transport::PortUse;
use libp2p::swarm::{
    ConnectionDenied, ConnectionId, FromSwarm, NetworkBehaviour, THandler, THandlerInEvent, THandlerOutEvent,
    ToSwarm,
};
use libp2p::{Multiaddr, PeerId, identify};

use super::address::{Reach, is_relayed, reach_of};
use crate::limits::{CANDIDATE_GAP, CANDIDATES};
use crate::spread::PeerQuota;
use propagule_files::clock::{Clock, Moment, Ticker};

/// Identify, of which listen addresses are hidden by its own setting, and private external ones here.
///
/// What it reports as an address that others see this node at goes to whoever checks addresses and punches
/// holes, and so to peers: only public ones pass, and not too many.
pub(super) struct Discreet {
    inner: identify::Behaviour,
    ticker: Ticker,
    /// One bucket for all peers.
    candidates: PeerQuota<u8>,
}

impl Discreet {
    pub(super) fn new(config: identify::Config, clock: Clock) -> Self {
        Self {
            inner: identify::Behaviour::new(config),
            ticker: Ticker::new(clock),
            candidates: PeerQuota::new(CANDIDATES, CANDIDATE_GAP),
        }
    }

    fn passes(&mut self, address: &Multiaddr, now: Moment) -> bool {
        is_public(address) && !is_relayed(address) && self.candidates.admit(0, now)
    }
}

fn is_public(address: &Multiaddr) -> bool {
    reach_of(address) == Some(Reach::World)
}

impl NetworkBehaviour for Discreet {
    type ConnectionHandler = <identify::Behaviour as NetworkBehaviour>::ConnectionHandler;
    type ToSwarm = identify::Event;

    fn handle_established_inbound_connection(
        &mut self,
        connection: ConnectionId,
        peer: PeerId,
        local: &Multiaddr,
        remote: &Multiaddr,
    ) -> Result<THandler<Self>, ConnectionDenied> {
        self.inner.handle_established_inbound_connection(connection, peer, local, remote)
    }

    fn handle_established_outbound_connection(
        &mut self,
        connection: ConnectionId,
        peer: PeerId,
        address: &Multiaddr,
        role: Endpoint,
        port: PortUse,
    ) -> Result<THandler<Self>, ConnectionDenied> {
        self.inner.handle_established_outbound_connection(connection, peer, address, role, port)
    }

    fn on_swarm_event(&mut self, event: FromSwarm<'_>) {
        match event {
            FromSwarm::ExternalAddrConfirmed(confirmed) if !is_public(confirmed.addr) => {}
            event => self.inner.on_swarm_event(event),
        }
    }

    fn on_connection_handler_event(
        &mut self,
        peer: PeerId,
        connection: ConnectionId,
        event: THandlerOutEvent<Self>,
    ) {
        self.inner.on_connection_handler_event(peer, connection, event);
    }

    fn poll(&mut self, context: &mut Context<'_>) -> Poll<ToSwarm<Self::ToSwarm, THandlerInEvent<Self>>> {
        let now = self.ticker.now();
        loop {
            match self.inner.poll(context) {
                Poll::Ready(ToSwarm::NewExternalAddrCandidate(address)) if !self.passes(&address, now) => {}
                other => return other,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use libp2p::identity::Keypair;

    use super::*;

    #[test]
    fn only_public_addresses_are_taken_up_and_not_without_end() {
        let clock = Clock::Fixed("2026-11-26T12:00:00Z".parse().expect("a timestamp"));
        let config = identify::Config::new("/test/1".to_owned(), Keypair::generate_ed25519().public());
        let mut discreet = Discreet::new(config, clock);
        let now = discreet.ticker.now();
        let mut passes_at = |text: &str, at| discreet.passes(&text.parse().expect("an address"), at);
        let mut passes = |text: &str| passes_at(text, now);
        let relay = PeerId::random();
        for kept in
            ["/ip4/192.168.1.4/tcp/1", "/ip4/127.0.0.1/tcp/1", "/ip4/100.64.1.1/tcp/1", "/dns4/home/tcp/1"]
        {
            assert!(!passes(kept), "{kept}");
        }
        assert!(!passes(&format!("/ip4/203.0.113.7/tcp/1/p2p/{relay}/p2p-circuit")));
        let named = (0..CANDIDATES * 2).filter(|port| passes(&format!("/ip4/203.0.113.7/tcp/{port}")));
        assert_eq!(named.count(), CANDIDATES as usize);
        let one_more = "/ip4/203.0.113.7/tcp/9";
        assert!(!passes_at(one_more, Moment(now.plus(CANDIDATE_GAP).0 - 1)));
        assert!(
            passes_at(one_more, now.plus(CANDIDATE_GAP)) && !passes_at(one_more, now.plus(CANDIDATE_GAP))
        );
    }
}
