//! Records of others that pass through. Whether one goes on or ends here depends on the neighbour it came from and the
//! quarter of the year alone, so nothing about a record, and no flag beside it, tells whose it is.

use propagule_protocol::RecordId;

use super::{Act, Answer, Spread, Stage};
use crate::limits::{STEM_OUTLETS, STEMMED, STEMS_ENDED};
use crate::spread::PeerName;
use propagule_files::clock::Moment;

/// What the draws of a quarter are for.
const PASSES: u8 = 1;
const OUTLET: u8 = 2;
const TURN: u8 = 3;

/// A record of somebody else under way.
#[derive(Clone, Debug)]
pub(super) struct Relayed<P> {
    bytes: Vec<u8>,
    from: P,
    /// When it is released unless it is public by then.
    until: Moment,
}

impl<P: PeerName> Spread<P> {
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
    /// Neither the answer nor what follows shows whether the record is an own one: one that has been here before ends
    /// here, own or not.
    pub fn handed(
        &mut self,
        from: P,
        id: RecordId,
        bytes: Vec<u8>,
        is_public: bool,
        now: Moment,
    ) -> (Answer, Vec<Act<P>>) {
        if is_public {
            return (Answer::Taken, Vec::new());
        }
        if self.relayed.len() >= STEMMED {
            return (Answer::Busy, Vec::new());
        }
        let (came_round, passes) = (self.is_hidden(&id), self.passes(&from, now));
        let wait = if passes && !came_round { self.timing.embargo } else { self.timing.stem_end };
        let until = now.plus(self.dice.between(wait));
        let relayed = self.relayed.entry(id).or_insert(Relayed { bytes, from, until });
        relayed.until = relayed.until.min(until);
        let acts = if passes && !came_round { self.pass_on(id, now) } else { Vec::new() };
        (Answer::Taken, acts)
    }

    /// Hands a record of somebody else on. Where there is nobody else its stem ends here; where nobody is free, the
    /// embargo decides.
    pub(super) fn pass_on(&mut self, id: RecordId, now: Moment) -> Vec<Act<P>> {
        let Some(relayed) = self.relayed.get(&id) else { return Vec::new() };
        let outlets = self.outlets(&relayed.from, now);
        if let Some(to) = outlets.iter().find(|peer| self.is_free(peer)) {
            return vec![Act::SendOn { to: *to, id, bytes: relayed.bytes.clone() }];
        }
        if outlets.is_empty() {
            let end = now.plus(self.dice.between(self.timing.stem_end));
            if let Some(relayed) = self.relayed.get_mut(&id) {
                relayed.until = relayed.until.min(end);
            }
        }
        Vec::new()
    }

    pub(super) fn end_stems(&mut self, now: Moment) -> Vec<Act<P>> {
        let over: Vec<RecordId> =
            self.relayed.iter().filter(|(_, relayed)| relayed.until <= now).map(|(id, _)| *id).collect();
        over.into_iter().flat_map(|id| self.release(id)).collect()
    }

    /// Ends a stem here; an own record that came round is gossiped as any other would be.
    fn release(&mut self, id: RecordId) -> Vec<Act<P>> {
        match self.relayed.remove(&id) {
            Some(_) if self.outbox.stage(&id).is_some_and(Stage::is_hidden) => self.open(id),
            Some(relayed) => vec![Act::Release(relayed.bytes)],
            None => Vec::new(),
        }
    }

    /// Whether what comes from a peer goes on from here this quarter.
    pub(super) fn passes(&self, from: &P, now: Moment) -> bool {
        self.drawn(PASSES, from, now).to_be_bytes()[0] >= STEMS_ENDED
    }

    /// Whom what comes from a peer goes on to this quarter, the one whose turn it is first: of few among those that this
    /// node dialled, never the peer itself.
    pub(super) fn outlets(&self, from: &P, now: Moment) -> Vec<P> {
        let chosen = self.peers.iter().filter(|(_, link)| link.is_chosen).map(|(peer, _)| *peer);
        let mut ranked: Vec<(u64, P)> = chosen.map(|peer| (self.drawn(OUTLET, &peer, now), peer)).collect();
        ranked.sort_unstable();
        let mut outlets: Vec<P> = ranked.into_iter().take(STEM_OUTLETS).map(|(_, peer)| peer).collect();
        if self.drawn(TURN, from, now) & 1 == 1 {
            outlets.reverse();
        }
        outlets.retain(|peer| peer != from);
        outlets
    }
}
