//! The address book: whom to dial, when, and whom to tell others of.

use std::collections::{BTreeMap, HashMap};

use super::entry::{Entry, GroupNumber, Line, Origin};
use super::{Dice, PeerName};
use crate::limits::{
    ADDRESS_BYTES, BOOK_ADDRESSES, BOOK_ADDRESSES_PER_GROUP, BOOK_ADDRESSES_PER_SOURCE, SOUGHT_CONNECTIONS,
    SOUGHT_PER_GROUP, TOLD_ADDRESSES,
};
use crate::timing::Timing;
use propagule_files::clock::Moment;

/// Peers of the last time that are dialled before all others, so that nobody who fills the book with
/// addresses can surround a node that starts anew.
const ANCHORS: usize = 2;

/// Addresses of peers.
#[derive(Clone, Debug)]
pub struct Book<P> {
    entries: Vec<Entry>,
    /// One for each entry, made from it.
    lines: Vec<Line<P>>,
    /// Where each peer's entries are, sorted.
    places: Vec<(P, usize)>,
    /// Entries that each source told of.
    told: BTreeMap<String, usize>,
    /// Places of the peers that were met last, the latest first.
    anchors: Vec<usize>,
    /// Guards, which are dialled as if the grower had added them.
    guards: Vec<P>,
    /// The group of an address; none where none counts.
    group_of: fn(&str) -> Option<GroupNumber>,
}

impl<P> Default for Book<P> {
    fn default() -> Self {
        Self {
            entries: Vec::new(),
            lines: Vec::new(),
            places: Vec::new(),
            told: BTreeMap::new(),
            anchors: Vec::new(),
            guards: Vec::new(),
            group_of: |_| None,
        }
    }
}

impl<P: PeerName> Book<P> {
    /// An empty book that tells groups of addresses apart.
    pub fn grouped(group_of: fn(&str) -> Option<GroupNumber>) -> Self {
        Self { group_of, ..Self::default() }
    }

    /// Takes over entries that were kept.
    #[must_use]
    pub fn load(mut self, entries: impl IntoIterator<Item = (P, Entry)>) -> Self {
        entries.into_iter().for_each(|(peer, entry)| self.push(peer, Moment(0), entry));
        self
    }

    fn line(&self, peer: P, next_try: Moment, entry: &Entry) -> Line<P> {
        let (is_told, is_met) = (entry.told_by.is_some(), entry.last_met.is_some());
        let group = (self.group_of)(&entry.address);
        Line { peer, next_try, failures: entry.failures, is_told, is_met, group }
    }

    fn push(&mut self, peer: P, next_try: Moment, entry: Entry) {
        let place = self.entries.len();
        let sorted = self.places.partition_point(|other| *other < (peer, place));
        self.places.insert(sorted, (peer, place));
        if let Some(source) = &entry.told_by {
            *self.told.entry(source.clone()).or_default() += 1;
        }
        let line = self.line(peer, next_try, &entry);
        self.lines.push(line);
        self.entries.push(entry);
        self.anchor(place);
    }

    /// Keeps an entry among the anchors if it was met late enough.
    fn anchor(&mut self, place: usize) {
        let Some(met) = &self.entries[place].last_met else { return };
        self.anchors.retain(|other| *other != place);
        let met_since = |other: &usize| self.entries[*other].last_met.as_ref() >= Some(met);
        let at = self.anchors.partition_point(met_since);
        self.anchors.insert(at, place);
        self.anchors.truncate(ANCHORS);
    }

    /// Keeps the entries that `keeps` says.
    fn retain(&mut self, keeps: impl Fn(&Entry) -> bool) {
        let Self { entries, lines, guards, group_of, .. } = std::mem::take(self);
        (self.guards, self.group_of) = (guards, group_of);
        for (entry, line) in entries.into_iter().zip(lines).filter(|(entry, _)| keeps(entry)) {
            self.push(line.peer, line.next_try, entry);
        }
    }

    /// Places of one peer's entries.
    fn of_peer(&self, peer: P) -> impl Iterator<Item = usize> {
        let from = self.places.partition_point(|(other, _)| *other < peer);
        self.places[from..].iter().take_while(move |(other, _)| *other == peer).map(|(_, place)| *place)
    }

    /// Changes one entry, and with it the line that is made from it.
    fn change(&mut self, place: usize, act: impl FnOnce(&mut Entry)) {
        act(&mut self.entries[place]);
        let Line { peer, next_try, .. } = self.lines[place];
        self.lines[place] = self.line(peer, next_try, &self.entries[place]);
    }

    /// The entries, in the order added.
    pub fn entries(&self) -> &[Entry] {
        &self.entries
    }

    /// Number of entries.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// Whether there is no entry.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }

    /// Whether the grower added the peer.
    pub fn is_growers(&self, peer: P) -> bool {
        self.of_peer(peer).any(|place| self.entries[place].told_by.is_none())
    }

    /// Whether there is no room for what peers tell of.
    pub fn is_full(&self) -> bool {
        self.len() >= BOOK_ADDRESSES
    }

    /// Adds an address; says whether the book has changed. `None` when it is full.
    ///
    /// What the grower adds takes the place of a stranger's when the book is full.
    pub fn add(&mut self, peer: P, address: &str, origin: Origin<'_>) -> Option<bool> {
        let known = self.of_peer(peer).find(|place| self.entries[*place].address == address);
        if let Some(place) = known {
            return Some(origin == Origin::Grower && self.own(place));
        }
        let told_by = match origin {
            Origin::Grower if self.is_full() && !self.drop_stranger() => return None,
            Origin::Grower => None,
            Origin::Told(by) if self.has_room_for(by, address) && address.len() <= ADDRESS_BYTES => {
                Some(by.to_owned())
            }
            Origin::Told(_) => return None,
        };
        let entry = Entry { address: address.to_owned(), last_met: None, failures: 0, told_by };
        self.push(peer, Moment(0), entry);
        Some(true)
    }

    /// Makes an entry the grower's own, and says whether it was not.
    fn own(&mut self, place: usize) -> bool {
        let Some(source) = self.entries[place].told_by.take() else { return false };
        self.lines[place].is_told = false;
        self.told.entry(source).and_modify(|entries| *entries -= 1);
        true
    }

    fn has_room_for(&self, source: &str, address: &str) -> bool {
        let of_source = || self.told.get(source).copied().unwrap_or_default();
        let group = (self.group_of)(address);
        let of_group = || self.lines.iter().filter(|line| line.is_told && line.group == group).count();
        !self.is_full()
            && of_source() < BOOK_ADDRESSES_PER_SOURCE
            && (group.is_none() || of_group() < BOOK_ADDRESSES_PER_GROUP)
    }

    /// Drops the stranger that failed most often.
    fn drop_stranger(&mut self) -> bool {
        let strangers = self.entries.iter().filter(|entry| entry.told_by.is_some());
        let worst = strangers.max_by_key(|entry| (entry.last_met.is_none(), entry.failures));
        let Some(address) = worst.map(|entry| entry.address.clone()) else { return false };
        self.retain(|entry| entry.address != address);
        true
    }

    /// Notes that a peer is connected. Of addresses that a peer told of only the one that was dialled is
    /// known to be right.
    pub fn met(&mut self, peer: P, dialled: Option<&str>, when: &str) {
        let is_right = |entry: &Entry| entry.told_by.is_none() || dialled == Some(&entry.address);
        let right: Vec<usize> = self.of_peer(peer).filter(|place| is_right(&self.entries[*place])).collect();
        for place in right {
            self.change(place, |entry| {
                entry.last_met = Some(when.to_owned());
                entry.failures = 0;
            });
            self.anchor(place);
        }
    }

    /// Peers to be connected with while they can be reached, beyond those that are sought.
    pub fn seek(&mut self, guards: Vec<P>) {
        self.guards = guards;
    }

    /// Lets every peer be dialled now: this machine is in another network.
    pub fn hurry(&mut self) {
        self.lines.iter_mut().for_each(|line| line.next_try = Moment(0));
    }

    /// Counts a failed dial. A stranger that never answered is forgotten in the end.
    pub fn failed(&mut self, peer: P) {
        let mut forgets = false;
        for place in self.of_peer(peer).collect::<Vec<_>>() {
            self.change(place, |entry| entry.failures = entry.failures.saturating_add(1));
            forgets |= self.entries[place].is_forgotten();
        }
        if forgets {
            self.retain(|entry| !entry.is_forgotten());
        }
    }

    /// Whom to dial now: all that the grower added, guards, and others as far as connections are sought. Of who is
    /// connected it is said whether this node chose it; peers that came by themselves leave the room for such as it is.
    pub fn due(
        &mut self,
        now: Moment,
        timing: &Timing,
        connected: impl IntoIterator<Item = (P, bool)>,
        dice: &mut dyn Dice,
    ) -> Vec<(P, String)> {
        let mut waits: Vec<bool> = self.lines.iter().map(|line| line.next_try <= now).collect();
        let mut room = SOUGHT_CONNECTIONS;
        let mut crowds: HashMap<GroupNumber, usize> = HashMap::new();
        for (peer, is_chosen) in connected {
            for place in self.of_peer(peer) {
                waits[place] = false;
                if !is_chosen {
                    continue;
                }
                room = room.saturating_sub(1);
                if let Some(group) = self.lines[place].group {
                    *crowds.entry(group).or_default() += 1;
                }
            }
        }
        self.thin(&mut waits, crowds, dice);
        let mut chosen = Vec::new();
        for (is_told, place) in self.ranked(&waits, room, dice) {
            if is_told && room == 0 {
                continue;
            }
            room = room.saturating_sub(1);
            let line = &mut self.lines[place];
            let patience = timing.redial * 2_u32.pow(line.failures.min(10));
            line.next_try = now.plus(patience.min(timing.back_off.max(timing.redial)));
            chosen.push((line.peer, self.entries[place].address.clone()));
        }
        chosen
    }

    /// Leaves of each group as many that wait as may be sought there, drawn at random: who has many addresses is dialled
    /// no more often for it.
    fn thin(&self, waits: &mut [bool], mut crowds: HashMap<GroupNumber, usize>, dice: &mut dyn Dice) {
        let of_groups = |(place, line): (usize, &Line<P>)| {
            let is_asked = waits[place] && line.is_told && !self.guards.contains(&line.peer);
            line.group.filter(|_| is_asked).map(|group| (group, place))
        };
        let grouped: Vec<(GroupNumber, usize)> =
            self.lines.iter().enumerate().filter_map(of_groups).collect();
        let mut drawn: Vec<_> = grouped
            .into_iter()
            .map(|(group, place)| (!self.anchors.contains(&place), dice.roll(), group, place))
            .collect();
        drawn.sort_unstable();
        for (.., group, place) in drawn {
            let crowd = crowds.entry(group).or_default();
            *crowd += 1;
            waits[place] = *crowd <= SOUGHT_PER_GROUP;
        }
    }

    /// Places of entries that wait, the first to be dialled first, and whether a peer told of them: all of the
    /// grower's, and growers not known here yet as far as there is room.
    fn ranked(&self, waits: &[bool], room: usize, dice: &mut dyn Dice) -> Vec<(bool, usize)> {
        let waiting = self.lines.iter().enumerate().filter(|(place, _)| waits[*place]);
        let rank = |(place, line): (usize, &Line<P>)| {
            // Short, since hundreds are put in order at every look.
            let chance = (dice.roll() >> 32) as u32;
            let is_told = line.is_told && !self.guards.contains(&line.peer);
            (!self.anchors.contains(&place), is_told, line.failures, chance, place as u32)
        };
        let mut order: Vec<_> = waiting.map(rank).collect();
        let most = room + order.iter().filter(|(_, is_told, ..)| !is_told).count();
        if order.len() > most {
            order.select_nth_unstable(most);
            order.truncate(most);
        }
        order.sort_unstable();
        order.into_iter().map(|(_, is_told, .., place)| (is_told, place as usize)).collect()
    }

    /// Addresses to tell a peer of: such as were reached, drawn at random, as far as `may_tell`.
    pub fn tell(&self, may_tell: impl Fn(&P, &str) -> bool, dice: &mut dyn Dice) -> Vec<String> {
        let lines = self.lines.iter().enumerate();
        let mut good: Vec<usize> =
            lines.filter(|(_, line)| line.is_met && line.failures == 0).map(|(place, _)| place).collect();
        let mut told = Vec::new();
        while told.len() < TOLD_ADDRESSES && !good.is_empty() {
            let place = good.swap_remove(dice.below(good.len() as u64) as usize);
            let address = &self.entries[place].address;
            if may_tell(&self.lines[place].peer, address) {
                told.push(address.clone());
            }
        }
        told
    }
}

#[cfg(test)]
#[path = "book_tests.rs"]
mod tests;
