//! Handing records from node to node before one of them gossips: own ones by guards (`own.rs`), and those of others
//! (`relayed.rs`).

use std::collections::BTreeMap;
use std::hash::Hasher;
use std::time::Duration;

use propagule_protocol::RecordId;
use sha2::{Digest, Sha256};

use super::{Dice, Guards, Outbox, PeerName, PeerQuota, Stage};
use crate::limits::{STEM_BURST, STEM_PER_MINUTE, STEM_QUARTER};
use crate::timing::Timing;
use propagule_files::clock::Moment;
use relayed::Relayed;

#[path = "own.rs"]
mod own;
#[path = "relayed.rs"]
mod relayed;

/// What the shell has to do, in this order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act<P> {
    /// Write the stage of an own record down before anything that follows.
    Note(RecordId, Stage),
    /// Write down that an own record is done with: everybody may have it.
    Done(RecordId),
    /// Write the guards down.
    KeepGuards,
    /// Hand an own record on; report with [`Spread::answered`].
    SendOwn(P, RecordId),
    /// Hand a record of somebody else on; report with [`Spread::answered`].
    SendOn {
        /// To whom.
        to: P,
        /// The record.
        id: RecordId,
        /// Its bytes.
        bytes: Vec<u8>,
    },
    /// Gossip an own record that is in the set; report with [`Spread::gossiped`].
    GossipOwn(RecordId),
    /// Take a record of somebody else into the set, and gossip it.
    Release(Vec<u8>),
}

/// What a node answers to the one that handed a record over.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Answer {
    /// It goes on from here.
    Taken,
    /// Try another node.
    Busy,
}

/// A connected peer.
#[derive(Clone, Debug)]
struct Link {
    /// Whether this node dialled it, or its grower named it.
    is_chosen: bool,
    /// Where it is, for telling whether two are in one place; empty where that does not count.
    place: String,
}

/// The state of everything that leaves from here or passes through.
#[derive(Debug)]
pub struct Spread<P> {
    timing: Timing,
    dice: Box<dyn Dice>,
    /// Own records.
    outbox: Outbox,
    /// Own records handed to a peer that has not answered, with the stage before.
    under_way: BTreeMap<RecordId, Stage>,
    guards: Guards<P>,
    relayed: BTreeMap<RecordId, Relayed<P>>,
    peers: BTreeMap<P, Link>,
    busy: BTreeMap<P, Moment>,
    quota: PeerQuota<P>,
    /// What no other node can foresee is drawn by this.
    secret: u64,
}

impl<P: PeerName> Spread<P> {
    /// Nothing under way; `secret` stays the same over restarts, so that next hops do.
    pub fn new(timing: Timing, secret: u64, dice: Box<dyn Dice>) -> Self {
        Self {
            timing,
            dice,
            outbox: Outbox::default(),
            under_way: BTreeMap::new(),
            guards: Guards::default(),
            relayed: BTreeMap::new(),
            peers: BTreeMap::new(),
            busy: BTreeMap::new(),
            quota: PeerQuota::new(STEM_BURST, Duration::from_mins(1) / STEM_PER_MINUTE),
            secret,
        }
    }

    /// Takes over the guards that were kept.
    #[must_use]
    pub fn guarded(self, guards: Guards<P>) -> Self {
        Self { guards, ..self }
    }

    /// The guards, to be kept over restarts.
    pub fn guards(&self) -> &Guards<P> {
        &self.guards
    }

    /// Guards to be connected with.
    pub fn sought(&self, now: Moment) -> Vec<P> {
        self.guards.standing(now, &self.timing)
    }

    /// Takes over what the store remembers of own records.
    pub fn load(&mut self, rows: impl IntoIterator<Item = (RecordId, Stage)>, now: Moment) {
        self.outbox.load(rows, now, &self.timing);
    }

    /// A peer is connected. `is_chosen` says that this node dialled it or that its grower named it; `place` is where it
    /// is, empty where that does not count.
    pub fn met(&mut self, peer: P, is_chosen: bool, place: &str) {
        let link = self.peers.entry(peer).or_insert(Link { is_chosen, place: place.to_owned() });
        link.is_chosen |= is_chosen;
    }

    /// A peer is gone.
    pub fn gone(&mut self, peer: &P) {
        self.peers.remove(peer);
        self.busy.remove(peer);
    }

    /// Whether a record is hidden here: own and waiting, or passing through.
    pub fn is_hidden(&self, id: &RecordId) -> bool {
        self.outbox.stage(id).is_some_and(Stage::is_hidden) || self.relayed.contains_key(id)
    }

    /// Whether nothing waits, is under way or passes through.
    pub fn is_idle(&self) -> bool {
        self.outbox.is_empty() && self.relayed.is_empty()
    }

    /// How the peer that a record was handed to has answered; no answer counts as busy.
    pub fn answered(&mut self, to: P, id: RecordId, answer: Answer, now: Moment) -> Vec<Act<P>> {
        if answer == Answer::Busy {
            self.busy.insert(to, now.plus(self.timing.stem_end.1));
        }
        match (self.under_way.remove(&id), answer) {
            (_, Answer::Taken) => Vec::new(),
            (Some(before), Answer::Busy) => self.put_back(id, before),
            (None, Answer::Busy) => self.pass_on(id, now),
        }
    }

    /// A record came by gossip: it is public, whoever sent it.
    pub fn seen(&mut self, id: &RecordId) -> Vec<Act<P>> {
        self.relayed.remove(id);
        self.under_way.remove(id);
        if self.outbox.done(id) { vec![Act::Done(*id)] } else { Vec::new() }
    }

    /// A peer has own records in its set: they are public, unless it is a guard, which may have them from here only.
    pub fn offered(&mut self, by: &P, ids: &[RecordId]) -> Vec<Act<P>> {
        if self.guards.is_guard(by) {
            return Vec::new();
        }
        ids.iter().flat_map(|id| self.seen(id)).collect()
    }

    /// Everything whose time has come.
    pub fn tick(&mut self, now: Moment) -> Vec<Act<P>> {
        self.busy.retain(|_, until| *until > now);
        let mut acts = self.count_days(now);
        acts.extend(self.move_own(now));
        acts.extend(self.end_stems(now));
        acts
    }

    fn is_free(&self, peer: &P) -> bool {
        self.peers.contains_key(peer) && !self.busy.contains_key(peer)
    }

    /// A number that stays the same for a peer and a quarter of a year, and that only this node knows.
    fn drawn(&self, what: u8, peer: &P, now: Moment) -> u64 {
        let mut drawn = Drawn(Sha256::new());
        drawn.write_u8(what);
        drawn.write_u64(self.secret);
        drawn.write_u64(now.0 / (STEM_QUARTER.as_millis() as u64));
        peer.hash(&mut drawn);
        drawn.finish()
    }
}

/// A hash that tells nothing of what went into it.
struct Drawn(Sha256);

impl Hasher for Drawn {
    fn write(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    fn finish(&self) -> u64 {
        let digest = self.0.clone().finalize();
        u64::from_be_bytes(digest[..8].try_into().expect("a digest has 32 bytes"))
    }
}

#[cfg(test)]
#[path = "stem_tests.rs"]
mod tests;
