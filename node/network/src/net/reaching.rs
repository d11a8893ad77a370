//! How this node comes to be reached: who tried, places at relays, relaying for others, nodes nearby, and
//! another network under the same machine.

use libp2p::multiaddr::Protocol;
use libp2p::swarm::behaviour::toggle::Toggle;
use libp2p::swarm::{ConnectionId, SwarmEvent};
use libp2p::{Multiaddr, PeerId, autonat, identify, mdns, relay};

use super::address::{Reach, is_relayed, reach_of, without_peer};
use super::behaviour::{BehaviourEvent, protocol_version};
use super::event_loop::EventLoop;
use super::{ReachedFrom, RelayForOthers};
use crate::limits::{INVITE_ADDRESSES, SOUGHT_CONNECTIONS};
use propagule_files::clock::Moment;

impl EventLoop {
    /// What concerns being reached; gives back what does not.
    pub(super) fn on_reach_event(
        &mut self,
        event: SwarmEvent<BehaviourEvent>,
    ) -> Option<SwarmEvent<BehaviourEvent>> {
        match event {
            SwarmEvent::NewListenAddr { address, .. } => self.on_listening(&address),
            SwarmEvent::ExpiredListenAddr { address, .. } => self.on_moved(&address),
            SwarmEvent::ListenerClosed { listener_id, addresses, .. } => {
                for address in &addresses {
                    self.on_moved(address);
                }
                let patience = self.setup.timing.redial;
                self.relays.ended(listener_id, self.now(), patience);
            }
            SwarmEvent::ExternalAddrConfirmed { address } => self.reached.is_confirmed(address),
            SwarmEvent::ExternalAddrExpired { address } => self.reached.expired(&address),
            SwarmEvent::Behaviour(BehaviourEvent::Identify(identify::Event::Received {
                connection_id,
                peer_id,
                info,
            })) => self.on_identified(peer_id, connection_id, &info),
            SwarmEvent::Behaviour(BehaviourEvent::ReachClient(autonat::v2::client::Event {
                result: Err(_),
                ..
            })) => self.reached.tried_in_vain(),
            SwarmEvent::Behaviour(BehaviourEvent::RelayClient(
                relay::client::Event::ReservationReqAccepted { relay_peer_id, .. },
            )) => self.relays.given(&relay_peer_id),
            SwarmEvent::Behaviour(BehaviourEvent::RelayServer(event)) => self.on_relaying(&event),
            SwarmEvent::Behaviour(BehaviourEvent::Nearby(event)) => self.on_nearby(event),
            other => return Some(other),
        }
        None
    }

    fn on_listening(&mut self, address: &Multiaddr) {
        let is_new = self.reached.listens(address);
        if is_new && self.setup.ways.relay == RelayForOthers::Always {
            self.swarm.add_external_address(address.clone());
        }
        if is_new && reach_of(address) != Some(Reach::Machine) {
            self.hurry_dials();
        }
    }

    /// An address of this machine is gone: what was tried holds no more, and connections over it are dead
    /// without knowing it.
    fn on_moved(&mut self, address: &Multiaddr) {
        if self.setup.ways.relay == RelayForOthers::Always {
            self.swarm.remove_external_address(address);
        }
        let Some(stale) = self.reached.listens_no_more(address) else { return };
        for address in &stale {
            self.swarm.remove_external_address(address);
        }
        for connection in self.peers.away() {
            self.swarm.close_connection(connection);
        }
        self.hurry_dials();
    }

    fn hurry_dials(&mut self) {
        self.setup.book.hurry();
        self.next_dial =
            self.now().plus(super::dialling::jitter(self.setup.timing.dial_jitter, &mut self.dice));
    }

    /// A peer has said what it is, and where it sees this node.
    fn on_identified(&mut self, peer: PeerId, connection: ConnectionId, info: &identify::Info) {
        if info.protocol_version != protocol_version(self.setup.network) {
            self.nearby.forget(&peer);
            // Its own end, too, finds nothing here to talk about.
            let _ = self.swarm.disconnect_peer_id(peer);
            return;
        }
        self.has_spoken(peer, connection, false);
        let Some(known) = self.peers.connection(&peer, connection) else { return };
        let observed = without_peer(info.observed_addr.clone());
        if self.reached.witnessed(&known, &observed) {
            self.swarm.add_external_address(observed.clone());
            self.reached.is_confirmed(observed);
        }
        let told: Vec<Multiaddr> = info.listen_addrs.iter().take(INVITE_ADDRESSES).cloned().collect();
        let named = |address: &Multiaddr| without_peer(address.clone()).with(Protocol::P2p(peer)).to_string();
        self.on_told(peer, &told.iter().map(named).collect::<Vec<_>>());
        let relays = info.protocols.contains(&relay::HOP_PROTOCOL_NAME);
        let dialled = known.dialled.filter(|address| !is_relayed(address));
        let own_address = dialled.or_else(|| told.into_iter().find(|address| !is_relayed(address)));
        match own_address.filter(|_| relays) {
            Some(address) => self.relays.found(peer, without_peer(address)),
            None if !relays => self.lose_relay(peer),
            None => {}
        }
    }

    pub(super) fn lose_relay(&mut self, peer: PeerId) {
        if let Some(listener) = self.relays.lost(&peer) {
            self.swarm.remove_listener(listener);
        }
    }

    /// Who has a place here; told to others, so that they find each other.
    fn on_relaying(&mut self, event: &relay::Event) {
        match event {
            relay::Event::ReservationReqAccepted { src_peer_id, .. } => {
                self.places.insert(*src_peer_id);
            }
            relay::Event::ReservationClosed { src_peer_id }
            | relay::Event::ReservationTimedOut { src_peer_id } => {
                self.places.remove(src_peer_id);
            }
            relay::Event::CircuitReqAccepted { .. } => self.circuits += 1,
            other => tracing::debug!(?other, "relaying"),
        }
    }

    fn on_nearby(&mut self, event: mdns::Event) {
        match event {
            mdns::Event::Discovered(found) => {
                let own = *self.swarm.local_peer_id();
                if !self.nearby.found(own, found) {
                    tracing::warn!(
                        "somebody floods the local network with announcements: no longer looked for"
                    );
                    self.swarm.behaviour_mut().nearby = Toggle::from(None);
                }
                self.dial_nearby();
            }
            mdns::Event::Expired(gone) => self.nearby.expired(gone),
        }
    }

    pub(super) fn dial_nearby(&mut self) {
        let room = SOUGHT_CONNECTIONS.saturating_sub(self.peers.chosen());
        let near = self.nearby.all().filter(|(peer, _)| !self.peers.is_connected(peer));
        for (peer, addresses) in near.take(room).collect::<Vec<_>>() {
            self.dial(peer, addresses);
        }
    }

    /// Relays while it can be reached, and seeks a place at a relay while it cannot.
    pub(super) fn look_after_reach(&mut self, now: Moment) {
        let should_relay = match self.setup.ways.relay {
            RelayForOthers::Never => false,
            RelayForOthers::Always => true,
            RelayForOthers::WhenReached => self.reached.is_public(),
        };
        if should_relay != self.is_relaying {
            self.is_relaying = should_relay;
            let status = if should_relay { relay::Status::Enable } else { relay::Status::Disable };
            self.swarm.behaviour_mut().relay_server.set_status(Some(status));
        }
        if self.reached.is_public() {
            for listener in self.relays.give_up() {
                self.swarm.remove_listener(listener);
            }
        } else if self.reached.wants_relay()
            && let Some((peer, address)) = self.relays.due(now)
        {
            self.ask_for_place(peer, address);
        }
    }

    fn ask_for_place(&mut self, relay: PeerId, address: Multiaddr) {
        let circuit = address.with(Protocol::P2p(relay)).with(Protocol::P2pCircuit);
        match self.swarm.listen_on(circuit) {
            Ok(listener) => self.relays.asked(&relay, listener),
            Err(error) => {
                tracing::debug!(%relay, %error, "no place at a relay");
                self.relays.lost(&relay);
            }
        }
    }

    /// Addresses at this node of those that have a place here, for a peer that asks.
    pub(super) fn addresses_of_places(&self, asker: &PeerId) -> Vec<String> {
        let own = *self.swarm.local_peer_id();
        let may_tell = |address: &&Multiaddr| self.peers.may_be_told(asker, &address.to_string());
        let Some(here) = self.reached.external().chain(self.reached.listening()).find(may_tell) else {
            return Vec::new();
        };
        let circuit = here.clone().with(Protocol::P2p(own)).with(Protocol::P2pCircuit);
        let others = self.places.iter().filter(|peer| *peer != asker);
        others.map(|peer| circuit.clone().with(Protocol::P2p(*peer)).to_string()).collect()
    }

    pub(super) fn reached_from(&self) -> ReachedFrom {
        self.reached.standing()
    }
}
