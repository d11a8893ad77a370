//! Who of the peers that came by themselves keeps a place when another comes.
//!
//! Peers cost nothing to make, addresses in many places do. So whoever has not said yet that it belongs to this network
//! waits apart, for a short time, and takes no place of one that has; and where places are full, one of the most crowded
//! group of addresses goes. A few that nobody can outdo at will are never moved: those that stand longest, that brought
//! records last, that answer most quickly, and those of groups drawn in secret.

use std::cmp::Reverse;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Debug;
use std::hash::{DefaultHasher, Hash, Hasher};
use std::time::Duration;

use super::PeerName;
use crate::limits::SHIELDED;
use propagule_files::clock::Moment;

/// How far a peer has shown what it is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
enum Shown {
    /// Nothing was heard of it.
    Nothing,
    /// It named this network.
    Network,
    /// It asked or answered as nodes do.
    Exchange,
}

/// What there is room for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Seats {
    /// Peers that have said that they belong here.
    pub places: usize,
    /// Peers that have not yet.
    pub anteroom: usize,
}

#[derive(Clone, Debug)]
struct Visitor<G> {
    group: Option<G>,
    since: Moment,
    /// By when it has to have said something.
    patience: Moment,
    is_friend: bool,
    shown: Shown,
    brought: Option<Moment>,
    answers_in: Option<Duration>,
}

/// Connections that others opened; `C` tells them apart, and `G` is where they come from.
#[derive(Clone, Debug)]
pub struct Visitors<C, G> {
    room: Seats,
    secret: u64,
    here: BTreeMap<C, Visitor<G>>,
}

impl<C: PeerName, G: Copy + Eq + Hash + Debug> Visitors<C, G> {
    /// Nobody is here; `secret` decides whose groups are shielded.
    pub fn new(room: Seats, secret: u64) -> Self {
        Self { room, secret, here: BTreeMap::new() }
    }

    /// A connection that somebody opened; it waits for so long. Gives those to close.
    pub fn came(
        &mut self,
        id: C,
        (group, is_friend): (Option<G>, bool),
        (now, patience): (Moment, Duration),
    ) -> Vec<C> {
        let visitor = Visitor {
            group,
            since: now,
            patience: now.plus(patience),
            is_friend,
            shown: Shown::Nothing,
            brought: None,
            answers_in: None,
        };
        self.here.insert(id, visitor);
        if is_friend {
            return self.show(id, Shown::Network);
        }
        let silent = self.here.iter().filter(|(_, one)| one.shown == Shown::Nothing);
        let silent: Vec<(C, &Visitor<G>)> = silent.map(|(id, one)| (*id, one)).collect();
        if silent.len() <= self.room.anteroom {
            return Vec::new();
        }
        // The one that had the most time to say something.
        let crowd = |one: &Visitor<G>| silent.iter().filter(|(_, other)| is_same(one, other)).count().max(1);
        let oldest = silent.iter().max_by_key(|(id, one)| (crowd(one), Reverse(one.since), Reverse(*id)));
        oldest.map(|(id, _)| *id).into_iter().collect()
    }

    /// It has said that it belongs to this network. Gives those to close.
    pub fn named(&mut self, id: C) -> Vec<C> {
        self.show(id, Shown::Network)
    }

    /// It has asked or answered as nodes do. Gives those to close.
    pub fn exchanged(&mut self, id: C) -> Vec<C> {
        self.show(id, Shown::Exchange)
    }

    /// It has brought records that were wanted.
    pub fn brought(&mut self, id: C, now: Moment) {
        if let Some(visitor) = self.here.get_mut(&id) {
            visitor.brought = Some(now);
        }
    }

    /// It has answered to a sign of life after so long; the best time counts.
    pub fn answered(&mut self, id: C, took: Duration) {
        if let Some(visitor) = self.here.get_mut(&id) {
            visitor.answers_in = Some(visitor.answers_in.map_or(took, |best| best.min(took)));
        }
    }

    /// A connection has ended.
    pub fn left(&mut self, id: C) {
        self.here.remove(&id);
    }

    /// Whether nothing was heard yet of who opened it; what was opened here is never silent.
    pub fn is_silent(&self, id: C) -> bool {
        self.here.get(&id).is_some_and(|one| one.shown == Shown::Nothing)
    }

    /// Those that have said nothing for too long.
    pub fn overdue(&self, now: Moment) -> Vec<C> {
        let late = |one: &Visitor<G>| one.shown == Shown::Nothing && one.patience <= now;
        self.here.iter().filter(|(_, one)| late(one)).map(|(id, _)| *id).collect()
    }

    fn show(&mut self, id: C, shown: Shown) -> Vec<C> {
        let Some(visitor) = self.here.get_mut(&id) else { return Vec::new() };
        let was = visitor.shown;
        visitor.shown = was.max(shown);
        if was != Shown::Nothing || self.placed().count() <= self.room.places {
            return Vec::new();
        }
        self.gives_way_to(id).into_iter().collect()
    }

    fn placed(&self) -> impl Iterator<Item = (C, &Visitor<G>)> {
        self.here.iter().filter(|(_, one)| one.shown != Shown::Nothing).map(|(id, one)| (*id, one))
    }

    /// Who goes for a newcomer: one of a more crowded group, or else the newcomer itself. Who exchanges as nodes do
    /// goes only where that makes groups more alike; others would take turns in pushing each other out.
    fn gives_way_to(&self, newcomer: C) -> Option<C> {
        let new = &self.here[&newcomer];
        let (shielded, before) = (self.shielded(newcomer), self.crowd(new) - 1);
        let open =
            self.placed().filter(|(id, one)| *id != newcomer && !one.is_friend && !shielded.contains(id));
        let victim = open.max_by_key(|(id, one)| (self.crowd(one), Reverse(one.shown), turn(one), *id));
        let gives_way = victim.filter(|(_, one)| {
            let least = if one.shown == Shown::Exchange { before + 1 } else { before };
            self.crowd(one) > least
        });
        match gives_way {
            Some((id, _)) => Some(id),
            None => (!new.is_friend).then_some(newcomer),
        }
    }

    /// How many of a visitor's group have a place, itself among them.
    fn crowd(&self, of: &Visitor<G>) -> usize {
        self.placed().filter(|(_, one)| is_same(of, one)).count().max(1)
    }

    /// Those that are never moved.
    fn shielded(&self, newcomer: C) -> BTreeSet<C> {
        let nodes: Vec<(C, &Visitor<G>)> =
            self.placed().filter(|(id, one)| *id != newcomer && one.shown == Shown::Exchange).collect();
        let mut shielded = BTreeSet::new();
        let mut shield = |mut ranked: Vec<(u64, C)>| {
            ranked.sort_unstable();
            shielded.extend(ranked.into_iter().take(SHIELDED).map(|(_, id)| id));
        };
        shield(nodes.iter().map(|(id, one)| (one.since.0, *id)).collect());
        let by = |rank: &dyn Fn(&Visitor<G>) -> Option<u64>| {
            nodes.iter().filter_map(|(id, one)| Some((rank(one)?, *id))).collect()
        };
        shield(by(&|one| one.brought.map(|when| u64::MAX - when.0)));
        shield(by(&|one| one.answers_in.map(|took| took.as_micros() as u64)));
        // One of each group, or a crowd of a lucky group would be shielded whole.
        let mut groups = BTreeMap::new();
        for (id, one) in &nodes {
            if let Some(group) = one.group {
                groups.entry(self.draw(group)).or_insert(*id);
            }
        }
        shield(groups.into_iter().collect());
        shielded
    }

    fn draw(&self, group: G) -> u64 {
        let mut hasher = DefaultHasher::new();
        (self.secret, group).hash(&mut hasher);
        hasher.finish()
    }
}

/// Of nodes the youngest goes first; of those that are only named, the one that had most time to show more.
fn turn<G>(one: &Visitor<G>) -> u64 {
    if one.shown == Shown::Exchange { one.since.0 } else { u64::MAX - one.since.0 }
}

/// Whether two come from the same place; who comes from no place that counts stands for itself.
fn is_same<G: Copy + Eq>(one: &Visitor<G>, other: &Visitor<G>) -> bool {
    one.group.is_some() && one.group == other.group
}

#[cfg(test)]
#[path = "doors_tests.rs"]
mod tests;
