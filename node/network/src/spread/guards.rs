//! Guards: the few peers that own records are handed to first. A guard learns what is this node's own, so there are few
//! of them, they stay for a year or so, and nobody becomes one by dialling this node while it has peers of its own choice.

use std::time::Duration;

use serde::{Deserialize, Serialize};

use super::{Dice, PeerName};
use crate::limits::{GUARD_CANDIDATES, GUARDS_A_YEAR};
use crate::timing::Timing;
use propagule_files::clock::Moment;

const YEAR: Duration = Duration::from_hours(365 * 24);

/// One peer that own records may be handed to.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Guard<P> {
    peer: P,
    /// Where it was then; two guards are never in one place.
    place: String,
    since: Moment,
    until: Moment,
}

/// On how many days a peer was connected.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
struct Met<P> {
    peer: P,
    /// Whether this node dialled it, or its grower named it.
    is_chosen: bool,
    days: u32,
    last: u32,
}

/// A connected peer that may become a guard.
#[derive(Clone, Copy, Debug)]
pub(super) struct Candidate<'a, P> {
    pub(super) peer: P,
    pub(super) is_chosen: bool,
    /// Where it is; empty where that does not count.
    pub(super) place: &'a str,
}

/// Guards, and the peers that may become one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Guards<P> {
    /// In the order chosen; those whose time is over stay for as long as they count against the year.
    chosen: Vec<Guard<P>>,
    met: Vec<Met<P>>,
}

impl<P> Default for Guards<P> {
    fn default() -> Self {
        Self { chosen: Vec::new(), met: Vec::new() }
    }
}

impl<P> Guards<P> {
    /// The same with other names; whoever has none is left out.
    pub fn renamed<Q>(&self, name: impl Fn(&P) -> Option<Q>) -> Guards<Q> {
        let chosen = self.chosen.iter().filter_map(|Guard { peer, place, since, until }| {
            Some(Guard { peer: name(peer)?, place: place.clone(), since: *since, until: *until })
        });
        let met = self.met.iter().filter_map(|Met { peer, is_chosen, days, last }| {
            Some(Met { peer: name(peer)?, is_chosen: *is_chosen, days: *days, last: *last })
        });
        Guards { chosen: chosen.collect(), met: met.collect() }
    }
}

impl<P: PeerName> Guards<P> {
    /// Counts the day on which a peer is connected; says whether that is new.
    ///
    /// When there are too many, one that came by itself is forgotten before one that this node chose, and of these the
    /// one longest away.
    pub(super) fn meet(&mut self, peer: P, is_chosen: bool, now: Moment) -> bool {
        let today = now.day();
        if let Some(met) = self.met.iter_mut().find(|met| met.peer == peer) {
            let (is_better, is_new) = (is_chosen && !met.is_chosen, today > met.last);
            met.is_chosen |= is_chosen;
            // A clock that went back does not make one day two.
            if is_new {
                met.last = today;
                met.days = met.days.saturating_add(1);
            }
            return is_better || is_new;
        }
        if self.met.len() >= GUARD_CANDIDATES {
            let others = (0..self.met.len()).filter(|at| !self.is_guard(&self.met[*at].peer));
            let rank = |at: &usize| (self.met[*at].is_chosen, self.met[*at].last, self.met[*at].days);
            let Some(worst) = others.min_by_key(rank) else { return false };
            if self.met[worst].is_chosen && !is_chosen {
                return false;
            }
            self.met.swap_remove(worst);
        }
        self.met.push(Met { peer, is_chosen, days: 1, last: today });
        true
    }

    /// Guards whose time has not come, those that were met lately before those that seem to be gone.
    pub(super) fn standing(&self, now: Moment, timing: &Timing) -> Vec<P> {
        let missed = Moment(0).plus(timing.guard_missed).day();
        let is_missed = |peer: &P| {
            let last = self.met.iter().find(|met| met.peer == *peer).map_or(0, |met| met.last);
            last + missed < now.day()
        };
        let standing = self.chosen.iter().filter(|guard| guard.until > now).map(|guard| guard.peer);
        let (missed, mut guards): (Vec<P>, Vec<P>) = standing.partition(is_missed);
        guards.extend(missed);
        guards
    }

    /// Whether own records may be handed to a peer, now or not long ago.
    pub fn is_guard(&self, peer: &P) -> bool {
        self.chosen.iter().any(|guard| guard.peer == *peer)
    }

    /// Takes one more guard out of those connected, by a fair draw; none where nobody is known long enough, or enough were
    /// chosen within a year.
    pub(super) fn choose<'a>(
        &mut self,
        connected: impl Iterator<Item = Candidate<'a, P>>,
        now: Moment,
        timing: &Timing,
        dice: &mut dyn Dice,
    ) -> Option<P> {
        self.chosen.retain(|guard| guard.until > now || guard.since.plus(YEAR) > now);
        if self.chosen.iter().filter(|guard| guard.since.plus(YEAR) > now).count() >= GUARDS_A_YEAR {
            return None;
        }
        let fit: Vec<Candidate<'_, P>> =
            connected.filter(|one| self.is_known(&one.peer, timing) && self.may_join(one, now)).collect();
        if fit.is_empty() {
            return None;
        }
        let Candidate { peer, place, .. } = fit[dice.below(fit.len() as u64) as usize];
        let until = now.plus(dice.between(timing.guard_life));
        self.chosen.push(Guard { peer, place: place.to_owned(), since: now, until });
        Some(peer)
    }

    fn is_known(&self, peer: &P, timing: &Timing) -> bool {
        self.met.iter().any(|met| met.peer == *peer && met.days >= timing.guard_days)
    }

    /// Whether a peer is no guard, and in no place of one.
    fn may_join(&self, one: &Candidate<'_, P>, now: Moment) -> bool {
        let is_there = |guard: &Guard<P>| guard.until > now && guard.place == one.place;
        !self.is_guard(&one.peer) && (one.place.is_empty() || !self.chosen.iter().any(is_there))
    }

    /// When there can be a guard at the earliest, if those connected now are there on the days that come; the moment
    /// given where there is one.
    pub fn ready_at(&self, now: Moment, timing: &Timing) -> Moment {
        if self.chosen.iter().any(|guard| guard.until > now) {
            return now;
        }
        let chosen = self.met.iter().filter(|met| met.is_chosen);
        let most = chosen.map(|met| met.days).max().unwrap_or_default();
        now.plus(Duration::from_hours(24) * timing.guard_days.saturating_sub(most))
    }
}

#[cfg(test)]
#[path = "guards_tests.rs"]
mod tests;
