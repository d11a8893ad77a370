//! Whom to dial, and telling peers of each other.

use std::collections::BTreeMap;
use std::time::Duration;

use libp2p::swarm::dial_opts::{DialOpts, PeerCondition};
use libp2p::{Multiaddr, PeerId};
use propagule_files::system::SHARES_LISTENING_PORTS;

use super::address::relay_of;
use super::client::Command;
use super::event_loop::EventLoop;
use super::peer_of;
use crate::limits::{SOUGHT_CONNECTIONS, TOLD_ADDRESSES};
use crate::spread::Dice;
use crate::sync::{Question, Reply};
use propagule_files::clock::Moment;

impl EventLoop {
    pub(super) fn on_met(&mut self, peer: PeerId, dialled: Option<&Multiaddr>) {
        let when = self.setup.clock.now().to_string();
        for relayed in self.peers.replaced(&peer) {
            self.swarm.close_connection(relayed);
        }
        if let Err(failure) = self.setup.book.met(peer, dialled, &when) {
            tracing::warn!(%failure, "the peer book could not be written");
        }
        if dialled.is_some() && self.seeks() {
            self.ask_for_peers(peer);
        }
    }

    /// Whether addresses of others are of use.
    fn seeks(&self) -> bool {
        self.peers.chosen() < SOUGHT_CONNECTIONS && !self.setup.book.is_full()
    }

    /// Asks for addresses of others; no answer is as good as none.
    pub(super) fn ask_for_peers(&self, peer: PeerId) {
        let client = self.client.clone();
        tokio::spawn(async move {
            if let Some(Reply::Peers(addresses)) = client.ask(peer, Question::Peers).await {
                let _ = client.send(Command::Told { by: peer, addresses }).await;
            }
        });
    }

    pub(super) fn on_told(&mut self, by: PeerId, addresses: &[String]) {
        if self.peers.chosen() >= SOUGHT_CONNECTIONS {
            return;
        }
        let own = *self.swarm.local_peer_id();
        let peers = &self.peers;
        let believed = addresses.iter().filter(|address| peers.may_be_told(&by, address));
        self.setup.book.told(by, own, believed);
    }

    /// Addresses of others, for a peer that asks.
    pub(super) fn addresses_for(&mut self, asker: PeerId) -> Reply {
        let peers = &self.peers;
        let may_tell = |peer: &PeerId, address: &str| *peer != asker && peers.may_be_told(&asker, address);
        let mut addresses = self.setup.book.tell(may_tell, &mut self.dice);
        addresses.extend(self.addresses_of_places(&asker));
        addresses.truncate(TOLD_ADDRESSES);
        Reply::Peers(addresses)
    }

    /// Adds what the grower gave, and dials it.
    pub(super) fn add_peers(&mut self, addresses: &[Multiaddr]) {
        let mut by_peer: BTreeMap<PeerId, Vec<Multiaddr>> = BTreeMap::new();
        for address in addresses {
            if let Err(failure) = self.setup.book.add(address) {
                tracing::warn!(%failure, "a peer could not be added to the book");
            }
            if let Some(peer) = peer_of(address) {
                by_peer.entry(peer).or_default().push(address.clone());
            }
        }
        for (peer, addresses) in by_peer {
            self.dial(peer, addresses);
        }
    }

    pub(super) fn dial_when_due(&mut self, now: Moment) {
        if now < self.next_dial {
            return;
        }
        let timing = self.setup.timing;
        self.next_dial = now.plus(timing.redial + jitter(timing.dial_jitter, &mut self.dice));
        let connected = self.peers.iter().map(|(peer, known)| (*peer, known.is_chosen()));
        let due = self.setup.book.due(now, &timing, connected, &mut self.dice);
        let mut by_peer: BTreeMap<PeerId, Vec<Multiaddr>> = BTreeMap::new();
        for (peer, address) in due {
            by_peer.entry(peer).or_default().push(address);
        }
        for (peer, addresses) in by_peer {
            self.dial(peer, addresses);
        }
        self.dial_nearby();
        self.ask_again(now);
    }

    /// Asks somebody for addresses once more while connections are sought: others have come meanwhile.
    fn ask_again(&mut self, now: Moment) {
        let connected: Vec<PeerId> = self.peers.iter().map(|(peer, _)| *peer).collect();
        if now < self.next_question || connected.is_empty() || !self.seeks() {
            return;
        }
        self.next_question = now.plus(self.setup.timing.back_off);
        let drawn = self.dice.below(connected.len() as u64) as usize;
        self.ask_for_peers(connected[drawn]);
    }

    /// Dials all addresses of a peer at once; the first that answers wins.
    pub(super) fn dial(&mut self, peer: PeerId, addresses: Vec<Multiaddr>) {
        let relays = addresses.iter().filter_map(relay_of).collect::<Vec<_>>();
        let options =
            DialOpts::peer_id(peer).condition(PeerCondition::DisconnectedAndNotDialing).addresses(addresses);
        let options = if SHARES_LISTENING_PORTS { options } else { options.allocate_new_port() }.build();
        let doorkeeper = &mut self.swarm.behaviour_mut().doorkeeper;
        doorkeeper.decide(&options);
        for relay in relays {
            doorkeeper.trust_relay(relay);
        }
        if let Err(error) = self.swarm.dial(options) {
            tracing::debug!(%peer, %error, "not dialled");
        }
    }
}

/// A random part of `most`.
pub(super) fn jitter(most: Duration, dice: &mut dyn Dice) -> Duration {
    dice.between((Duration::ZERO, most))
}
