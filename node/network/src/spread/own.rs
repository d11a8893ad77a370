//! Own records: they go to a guard, and this node never gossips one first.

use propagule_protocol::RecordId;

use super::{Act, Link, Spread};
use crate::spread::PeerName;
use crate::spread::guards::Candidate;
use crate::spread::outbox::{Handing, Stage};
use propagule_files::clock::Moment;

impl<P: PeerName> Spread<P> {
    /// Whether gossip has taken an own record; alone, it stays in the outbox.
    pub fn gossiped(&mut self, id: &RecordId, is_taken: bool) -> Vec<Act<P>> {
        if is_taken && self.outbox.done(id) { vec![Act::Done(*id)] } else { Vec::new() }
    }

    /// Peers that are connected are met once more today.
    pub(super) fn count_days(&mut self, now: Moment) -> Vec<Act<P>> {
        let mut is_changed = false;
        for (peer, link) in &self.peers {
            is_changed |= self.guards.meet(*peer, link.is_chosen, now);
        }
        if is_changed { vec![Act::KeepGuards] } else { Vec::new() }
    }

    pub(super) fn move_own(&mut self, now: Moment) -> Vec<Act<P>> {
        let mut acts = Vec::new();
        for (id, stage) in self.outbox.due(now) {
            match stage {
                Stage::Open => acts.push(Act::GossipOwn(id)),
                _ if self.under_way.contains_key(&id) => {}
                Stage::Waiting(since) => {
                    let to = self.first_guard(since, now, &mut acts);
                    acts.extend(to.into_iter().flat_map(|to| self.hand(to, id, stage, since, 0, now)));
                }
                Stage::Stemmed(handing) => {
                    let to = self.next_guard(handing.times, now, &mut acts);
                    let Handing { since, times, .. } = handing;
                    acts.extend(to.into_iter().flat_map(|to| self.hand(to, id, stage, since, times, now)));
                }
            }
        }
        acts
    }

    /// The peer took nothing: as if it had not been asked.
    pub(super) fn put_back(&mut self, id: RecordId, before: Stage) -> Vec<Act<P>> {
        self.outbox.set(id, before);
        vec![Act::Note(id, before)]
    }

    /// The record is in the set from now on, and is gossiped.
    pub(super) fn open(&mut self, id: RecordId) -> Vec<Act<P>> {
        self.outbox.set(id, Stage::Open);
        self.under_way.remove(&id);
        vec![Act::Note(id, Stage::Open), Act::GossipOwn(id)]
    }

    fn hand(
        &mut self,
        to: P,
        id: RecordId,
        before: Stage,
        since: Moment,
        times: u8,
        now: Moment,
    ) -> Vec<Act<P>> {
        let until = now.plus(self.dice.between(self.timing.hand_again));
        let stage = Stage::Stemmed(Handing { since, until, times: times.saturating_add(1) });
        self.outbox.set(id, stage);
        self.under_way.insert(id, before);
        vec![Act::Note(id, stage), Act::SendOwn(to, id)]
    }

    /// Whom a record goes to that nobody has yet: the first guard, and for each [`guard_wait`] that it has waited in vain
    /// one more.
    ///
    /// [`guard_wait`]: crate::timing::Timing::guard_wait
    fn first_guard(&mut self, since: Moment, now: Moment, acts: &mut Vec<Act<P>>) -> Option<P> {
        let waited = now.since(since).as_millis() / self.timing.guard_wait.as_millis().max(1);
        let allowed = usize::try_from(waited).unwrap_or(usize::MAX).saturating_add(1);
        let standing = self.guards.standing(now, &self.timing);
        let there = standing.iter().take(allowed).find(|peer| self.is_free(peer)).copied();
        if there.is_none() && standing.len() < allowed {
            return self.choose_guard(allowed > 1, now, acts);
        }
        there
    }

    /// Whom a record goes to that some guards have had: the next one after them, and where all have, a new one.
    fn next_guard(&mut self, times: u8, now: Moment, acts: &mut Vec<Act<P>>) -> Option<P> {
        let standing = self.guards.standing(now, &self.timing);
        if usize::from(times) >= standing.len()
            && let Some(new) = self.choose_guard(true, now, acts)
        {
            return Some(new);
        }
        let begin = usize::from(times) % standing.len().max(1);
        let order = standing[begin..].iter().chain(&standing[..begin]);
        order.copied().find(|peer| self.is_free(peer))
    }

    /// One more guard, of this node's own choice. Where none of these is connected, and `in_need`, one that came by itself:
    /// the record of who is only ever dialled would otherwise never leave.
    fn choose_guard(&mut self, in_need: bool, now: Moment, acts: &mut Vec<Act<P>>) -> Option<P> {
        let is_alone = !self.peers.values().any(|link| link.is_chosen);
        let free = self.peers.iter().filter(|(peer, _)| !self.busy.contains_key(peer));
        let candidates = free
            .map(|(peer, Link { is_chosen, place })| Candidate { peer: *peer, is_chosen: *is_chosen, place })
            .filter(|one| one.is_chosen || (in_need && is_alone));
        let chosen = self.guards.choose(candidates, now, &self.timing, &mut *self.dice)?;
        acts.push(Act::KeepGuards);
        Some(chosen)
    }
}
