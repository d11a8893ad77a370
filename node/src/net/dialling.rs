//! Whom to dial, and telling peers of each other.

use std::time::Duration;

use libp2p::request_response::ResponseChannel;
use libp2p::swarm::dial_opts::{DialOpts, PeerCondition};
use libp2p::{Multiaddr, PeerId};

use super::event_loop::EventLoop;
use super::{Command, peer_of};
use crate::clock::Moment;
use crate::limits::SOUGHT_CONNECTIONS;
use crate::spread::Dice;
use crate::sync::{Question, Reply};

impl EventLoop {
    pub(super) fn on_met(&mut self, peer: PeerId) {
        let when = self.setup.clock.now().to_string();
        if let Err(failure) = self.setup.book.met(peer, &when) {
            tracing::warn!(%failure, "the peer book could not be written");
        }
        if self.peers.iter().count() < SOUGHT_CONNECTIONS {
            self.ask_for_peers(peer);
        }
    }

    /// Asks for addresses of others; no answer is as good as none.
    fn ask_for_peers(&self, peer: PeerId) {
        let client = self.client.clone();
        tokio::spawn(async move {
            if let Some(Reply::Peers(addresses)) = client.ask(peer, Question::Peers).await {
                let _ = client.send(Command::Told { by: peer, addresses }).await;
            }
        });
    }

    pub(super) fn on_told(&mut self, by: PeerId, addresses: &[String]) {
        let own = *self.swarm.local_peer_id();
        self.setup.book.told(by, own, addresses);
    }

    pub(super) fn tell_peers(&mut self, asker: PeerId, channel: ResponseChannel<Reply>) {
        let peers = &self.peers;
        let may_tell = |peer: &PeerId, address: &str| *peer != asker && peers.may_be_told(&asker, address);
        let addresses = self.setup.book.tell(may_tell, &mut self.dice);
        // A peer that left meanwhile needs no reply.
        let _ = self.swarm.behaviour_mut().exchange.send_response(channel, Reply::Peers(addresses));
    }

    pub(super) fn add_peer(&mut self, address: &Multiaddr) {
        if let Err(failure) = self.setup.book.add(address) {
            tracing::warn!(%failure, "a peer could not be added to the book");
        }
        if let Some(peer) = peer_of(address) {
            self.dial(peer, address.clone());
        }
    }

    pub(super) fn dial_when_due(&mut self, now: Moment) {
        if now < self.next_dial {
            return;
        }
        let timing = self.setup.timing;
        self.next_dial = now.plus(timing.redial + jitter(timing.dial_jitter, &mut self.dice));
        let peers = &self.peers;
        let due = self.setup.book.due(now, &timing, |peer| peers.is_connected(peer), &mut self.dice);
        for (peer, address) in due {
            self.dial(peer, address);
        }
    }

    fn dial(&mut self, peer: PeerId, address: Multiaddr) {
        let options = DialOpts::peer_id(peer)
            .condition(PeerCondition::DisconnectedAndNotDialing)
            .addresses(vec![address])
            .build();
        if let Err(error) = self.swarm.dial(options) {
            tracing::debug!(%peer, %error, "not dialled");
        }
    }
}

/// A random part of `most`.
pub(super) fn jitter(most: Duration, dice: &mut dyn Dice) -> Duration {
    dice.between((Duration::ZERO, most))
}
