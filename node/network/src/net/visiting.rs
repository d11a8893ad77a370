//! Peers that come: when they get a place, when they are met, and who makes way for them.

use libp2p::PeerId;
use libp2p::core::ConnectedPoint;
use libp2p::swarm::ConnectionId;

use super::event_loop::EventLoop;
use super::peers::Origin;
use crate::limits::{ANTEROOM, CONNECTIONS, CONNECTIONS_IN};
use crate::spread::Seats;
use propagule_files::clock::Moment;

/// Places among so many connections, in the shares that the limits have.
pub(super) fn room(connections: u32) -> Seats {
    let share = |limit: u32| (connections.min(CONNECTIONS) * limit / CONNECTIONS) as usize;
    Seats { places: share(CONNECTIONS_IN), anteroom: share(ANTEROOM) }
}

impl EventLoop {
    pub(super) fn on_connected(&mut self, peer: PeerId, id: ConnectionId, endpoint: &ConnectedPoint) {
        let (now, origin) = (self.now(), Origin::of(endpoint));
        self.ledger.met(peer, origin, now);
        let is_surplus = origin.is_some_and(|origin| {
            self.ledger.is_narrowed(&origin, now) && !self.peers.from(origin).is_empty()
        });
        let is_friend = self.is_friend(&peer);
        if is_surplus || !self.peers.connected(peer, id, (endpoint, is_friend)) {
            self.swarm.close_connection(id);
            return;
        }
        if endpoint.is_dialer() {
            self.meet(peer, id);
            return;
        }
        // A relay's circuit takes longer to carry the first word.
        let patience = self.setup.timing.greeting * if endpoint.is_relayed() { 3 } else { 1 };
        let group = self.peers.connection(&peer, id).and_then(|one| one.group);
        let close = self.doors.came(id, (group, is_friend), (now, patience));
        self.make_way(close);
        if is_friend {
            self.meet(peer, id);
        }
    }

    /// A peer has said that it belongs to this network, or asked as its nodes do.
    pub(super) fn has_spoken(&mut self, peer: PeerId, id: ConnectionId, is_exchange: bool) {
        let was_silent = self.doors.is_silent(id);
        let close = if is_exchange { self.doors.exchanged(id) } else { self.doors.named(id) };
        let is_refused = close.contains(&id);
        self.make_way(close);
        if was_silent && !is_refused {
            self.meet(peer, id);
            // Whoever answers is a node, and is not moved for one that only says so.
            self.ask_for_peers(peer);
        }
    }

    /// A peer has answered a question.
    pub(super) fn has_answered(&mut self, peer: &PeerId) {
        for one in self.peers.connections(peer) {
            let close = self.doors.exchanged(one);
            self.make_way(close);
        }
    }

    /// Closes the connections of those that have said nothing for too long.
    pub(super) fn close_overdue(&mut self, now: Moment) {
        let overdue = self.doors.overdue(now);
        self.make_way(overdue);
    }

    fn make_way(&mut self, close: Vec<ConnectionId>) {
        for one in close {
            self.doors.left(one);
            self.swarm.close_connection(one);
        }
    }

    fn meet(&mut self, peer: PeerId, id: ConnectionId) {
        let Some(connection) = self.peers.connection(&peer, id) else { return };
        self.schedule.met(peer, self.now());
        let is_chosen = connection.dialled.is_some() || self.setup.book.is_growers(&peer);
        self.spread.met(peer, is_chosen, &connection.place());
        self.on_met(peer, connection.dialled.as_ref());
    }
}
