//! Gossip: each node hands what is new to the peers that it is linked with. The mesh is a stand-in for the
//! library's; quotas, conduct and what follows from a record's being seen are the node's own.

use propagule_files::clock::Moment;
use propagule_network::spread::{Consequence, Offence};
use propagule_protocol::AuthorKey;

use super::events::{Event, Name};
use super::liars::Lie;
use super::node::Role;
use super::records::Number;
use super::world::World;

/// Peers that a node gossips with.
const MESH: usize = 6;

impl World {
    /// `name` hands a record to its peers.
    pub(super) fn gossip(&mut self, name: Name, number: Number, not: Option<Name>) -> bool {
        let links = &self.nodes[name as usize].links;
        let peers: Vec<Name> = links.iter().copied().filter(|peer| Some(*peer) != not).take(MESH).collect();
        for peer in &peers {
            if !self.is_lost() {
                let wait = self.latency();
                self.plan(*peer, wait, Event::Gossip { from: name, number });
            }
        }
        !peers.is_empty()
    }

    /// `name` gets a record by gossip.
    pub(super) fn on_gossip(&mut self, name: Name, from: Name, number: Number) {
        if !self.can_talk(name, from) || !self.nodes[name as usize].is_honest() {
            return;
        }
        let Some(record) = self.records.get(number).copied() else { return };
        let now = self.now;
        if let Some(consequence) = self.nodes[name as usize].ledger.gossiped(from, now) {
            self.follow(name, from, consequence);
        }
        let node = &mut self.nodes[name as usize];
        let is_known = node.set.known.has(number);
        if is_known && node.outbox.is_empty() && node.spread.relaying() == 0 {
            return;
        }
        if !node.gossip_quota.admit(from, now) || (!is_known && !node.authors.admit(key(record.author), now))
        {
            self.figures.delayed += 1;
            return;
        }
        if self.take_in(name, number) {
            self.figures.by_gossip += 1;
            if self.nodes[name as usize].set.visible.has(number) {
                self.gossip(name, number, Some(from));
            }
        }
        let acts = self.nodes[name as usize].spread.seen(&record.id);
        self.act(name, acts);
    }

    pub(super) fn on_garbage(&mut self, name: Name, from: Name) {
        self.charge(name, from, Offence::Refused, 1);
    }

    /// `name` charges a peer, and leaves it when that blocks it.
    pub(super) fn charge(&mut self, name: Name, peer: Name, offence: Offence, times: u32) {
        let now = self.now;
        let consequence = self.nodes[name as usize].ledger.charge(peer, offence, times, now);
        self.follow(name, peer, consequence);
    }

    fn follow(&mut self, name: Name, peer: Name, consequence: Consequence<Name>) {
        if consequence.is_blocked {
            self.figures.blocked += 1;
            self.figures.blocked_honest += u64::from(self.nodes[peer as usize].is_honest());
            self.disconnect(name, peer);
        }
    }

    /// Liars of one kind send bytes that mean nothing, every day.
    pub(super) fn send_garbage(&mut self) {
        for name in 0..self.nodes.len() as Name {
            if self.nodes[name as usize].role != Role::Liar(Lie::Garbage) {
                continue;
            }
            let links: Vec<Name> = self.nodes[name as usize].links.iter().copied().collect();
            for peer in links {
                for _ in 0..6 {
                    let wait = self.latency();
                    self.plan(peer, wait, Event::Garbage { from: name });
                }
            }
        }
    }
}

/// The key of a node's author.
fn key(author: u32) -> AuthorKey {
    let mut key = [0; 32];
    key[..4].copy_from_slice(&author.to_be_bytes());
    AuthorKey(key)
}

/// Midnight before `now`.
pub(super) fn day_of(now: Moment) -> u64 {
    now.0 / 86_400_000
}
