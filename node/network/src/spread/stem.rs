//! Handing records from node to node before one of them gossips: own ones and those of others.

use std::collections::BTreeMap;
use std::hash::{DefaultHasher, Hasher};
use std::time::Duration;

use propagule_protocol::RecordId;

use super::{Dice, Outbox, PeerName, PeerQuota, Stage};
use crate::limits::{STEM_BURST, STEM_EPOCH, STEM_PASS_ON, STEM_PER_MINUTE, STEM_TRIES, STEMMED};
use crate::timing::Timing;
use propagule_files::clock::Moment;

/// What the shell has to do, in this order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Act<P> {
    /// Write the stage of an own record down before anything that follows.
    Note(RecordId, Stage),
    /// Write down that an own record is done with: everybody may have it.
    Done(RecordId),
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
        /// Whether the next node must pass it on too.
        must_pass: bool,
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

/// A record of somebody else under way.
#[derive(Clone, Debug)]
struct Relayed<P> {
    bytes: Vec<u8>,
    from: P,
    embargo: Moment,
    tries: u32,
}

/// The state of everything that leaves from here or passes through.
#[derive(Debug)]
pub struct Spread<P> {
    timing: Timing,
    dice: Box<dyn Dice>,
    /// Own records.
    outbox: Outbox,
    /// Whom own records were handed to and who has not answered, with the tries so far.
    own_tries: BTreeMap<RecordId, u32>,
    relayed: BTreeMap<RecordId, Relayed<P>>,
    /// Connected peers; true for those that this node chose to dial.
    peers: BTreeMap<P, bool>,
    busy: BTreeMap<P, Moment>,
    quota: PeerQuota<P>,
    /// Orders peers in a way that only this node knows.
    secret: u64,
}

impl<P: PeerName> Spread<P> {
    /// Nothing under way; `secret` stays the same over restarts, so that next hops do.
    pub fn new(timing: Timing, secret: u64, dice: Box<dyn Dice>) -> Self {
        Self {
            timing,
            dice,
            outbox: Outbox::default(),
            own_tries: BTreeMap::new(),
            relayed: BTreeMap::new(),
            peers: BTreeMap::new(),
            busy: BTreeMap::new(),
            quota: PeerQuota::new(STEM_BURST, Duration::from_mins(1) / STEM_PER_MINUTE),
            secret,
        }
    }

    /// Takes over what the store remembers of own records.
    pub fn load(&mut self, rows: impl IntoIterator<Item = (RecordId, Stage)>, now: Moment) {
        self.outbox.load(rows, now, &self.timing);
    }

    /// A peer is connected.
    pub fn met(&mut self, peer: P, was_dialled: bool) {
        let known = self.peers.entry(peer).or_insert(was_dialled);
        *known |= was_dialled;
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

    /// Number of records of others that pass through.
    pub fn relaying(&self) -> usize {
        self.relayed.len()
    }

    /// Whether `from` may hand over one more record now; the shell asks before it judges the bytes.
    pub fn admits(&mut self, from: P, now: Moment) -> bool {
        self.quota.admit(from, now) && self.relayed.len() < STEMMED
    }

    /// `from` handed a valid record over. `is_public` says that it is in the set already.
    ///
    /// The answer does not show whether the record is an own one, was here before, or is public.
    pub fn handed(
        &mut self,
        from: P,
        id: RecordId,
        bytes: Vec<u8>,
        must_pass: bool,
        is_public: bool,
        now: Moment,
    ) -> (Answer, Vec<Act<P>>) {
        if is_public {
            return (Answer::Taken, Vec::new());
        }
        if self.relayed.len() >= STEMMED {
            return (Answer::Busy, Vec::new());
        }
        let embargo = now.plus(self.dice.between(self.timing.embargo));
        self.relayed.entry(id).or_insert(Relayed { bytes, from, embargo, tries: 0 });
        let acts = if must_pass { self.pass_on(id, now) } else { self.release(id) };
        (Answer::Taken, acts)
    }

    /// How the peer that a record was handed to has answered; no answer counts as busy.
    pub fn answered(&mut self, to: P, id: RecordId, answer: Answer, now: Moment) -> Vec<Act<P>> {
        if answer == Answer::Taken {
            self.own_tries.remove(&id);
            return Vec::new();
        }
        self.busy.insert(to, now.plus(self.timing.embargo.0));
        if let Some(tries) = self.own_tries.get(&id).copied() {
            return self.try_own_again(id, tries, now);
        }
        match self.relayed.get_mut(&id) {
            Some(relayed) if relayed.tries < STEM_TRIES => {
                relayed.tries += 1;
                self.pass_on(id, now)
            }
            _ => Vec::new(),
        }
    }

    /// A record came by gossip: it is public, whoever sent it.
    pub fn seen(&mut self, id: &RecordId) -> Vec<Act<P>> {
        self.relayed.remove(id);
        self.own_tries.remove(id);
        if self.outbox.done(id) { vec![Act::Done(*id)] } else { Vec::new() }
    }

    /// Whether gossip has taken an own record; alone, it stays in the outbox.
    pub fn gossiped(&mut self, id: &RecordId, is_taken: bool) -> Vec<Act<P>> {
        if is_taken && self.outbox.done(id) { vec![Act::Done(*id)] } else { Vec::new() }
    }

    /// Everything whose time has come.
    pub fn tick(&mut self, now: Moment) -> Vec<Act<P>> {
        self.busy.retain(|_, until| *until > now);
        let mut acts = Vec::new();
        for (id, stage) in self.outbox.due(now) {
            acts.extend(match stage {
                Stage::Waiting(_) => self.begin_stem(id, now),
                Stage::Stemmed(_) => self.open(id),
                Stage::Open => vec![Act::GossipOwn(id)],
            });
        }
        let over: Vec<RecordId> =
            self.relayed.iter().filter(|(_, relayed)| relayed.embargo <= now).map(|(id, _)| *id).collect();
        acts.extend(over.into_iter().flat_map(|id| self.release(id)));
        acts
    }

    /// An own record leaves; without a peer it goes on waiting.
    fn begin_stem(&mut self, id: RecordId, now: Moment) -> Vec<Act<P>> {
        let Some(to) = self.next_hop(None, now) else { return Vec::new() };
        let stage = Stage::Stemmed(now.plus(self.dice.between(self.timing.embargo)));
        self.outbox.set(id, stage);
        self.own_tries.insert(id, 0);
        vec![Act::Note(id, stage), Act::SendOwn(to, id)]
    }

    /// The next hop was busy: another one, and after some tries the embargo decides.
    fn try_own_again(&mut self, id: RecordId, tries: u32, now: Moment) -> Vec<Act<P>> {
        let next = self.next_hop(None, now).filter(|_| tries < STEM_TRIES);
        let Some(to) = next else {
            self.own_tries.remove(&id);
            return Vec::new();
        };
        self.own_tries.insert(id, tries + 1);
        vec![Act::SendOwn(to, id)]
    }

    fn open(&mut self, id: RecordId) -> Vec<Act<P>> {
        self.outbox.set(id, Stage::Open);
        self.own_tries.remove(&id);
        vec![Act::Note(id, Stage::Open), Act::GossipOwn(id)]
    }

    /// Hands a record of somebody else on; with nobody else to hand it to, the stem ends here.
    fn pass_on(&mut self, id: RecordId, now: Moment) -> Vec<Act<P>> {
        let Some(relayed) = self.relayed.get(&id) else { return Vec::new() };
        let (from, bytes) = (relayed.from, relayed.bytes.clone());
        let Some(to) = self.next_hop(Some(from), now) else { return self.release(id) };
        let must_pass = self.dice.below(256) < STEM_PASS_ON;
        vec![Act::SendOn { to, id, bytes, must_pass }]
    }

    /// Ends a stem here; an own record that came round is gossiped as any other would be.
    fn release(&mut self, id: RecordId) -> Vec<Act<P>> {
        match self.relayed.remove(&id) {
            Some(_) if self.outbox.stage(&id).is_some_and(Stage::is_hidden) => self.open(id),
            Some(relayed) => vec![Act::Release(relayed.bytes)],
            None => Vec::new(),
        }
    }

    /// The same peer for a whole epoch, while it is there: the first in an order that only this node
    /// knows, peers that it dialled before those that came by themselves.
    fn next_hop(&self, not: Option<P>, now: Moment) -> Option<P> {
        let epoch = now.0 / (STEM_EPOCH.as_millis() as u64);
        let rank = |peer: &P| {
            let mut hasher = DefaultHasher::new();
            hasher.write_u64(self.secret);
            hasher.write_u64(epoch);
            peer.hash(&mut hasher);
            hasher.finish()
        };
        let free = self.peers.iter().filter(|(peer, _)| Some(**peer) != not && !self.busy.contains_key(peer));
        free.min_by_key(|(peer, dialled)| (!**dialled, rank(peer))).map(|(peer, _)| *peer)
    }
}

#[cfg(test)]
#[path = "stem_tests.rs"]
mod tests;
