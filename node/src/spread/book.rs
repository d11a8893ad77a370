//! The address book: whom to dial, when, and whom to tell others of.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::{Dice, PeerName};
use crate::clock::{Moment, Timing};
use crate::limits::{
    ADDRESS_BYTES, BOOK_ADDRESSES, BOOK_ADDRESSES_PER_SOURCE, FAILURES_OF_STRANGERS, SOUGHT_CONNECTIONS,
    TOLD_ADDRESSES,
};

/// Peers of the last time that are dialled before all others, so that nobody who fills the book with
/// addresses can surround a node that starts anew.
const ANCHORS: usize = 2;

/// Who added an address.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Origin {
    /// The grower, by hand or by invite.
    Grower,
    /// A peer, by its name.
    Told(String),
}

/// One peer in the book.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Entry {
    /// Address with the peer's id at its end.
    pub address: String,
    /// When it was last connected, as an RFC 3339 timestamp in universal time.
    pub last_met: Option<String>,
    /// Dials since then that failed.
    pub failures: u32,
    /// The peer that told of it; none when the grower added it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub told_by: Option<String>,
}

#[derive(Clone, Debug)]
struct Line<P> {
    peer: P,
    entry: Entry,
    next_try: Moment,
}

/// Addresses of peers.
#[derive(Clone, Debug)]
pub struct Book<P> {
    lines: Vec<Line<P>>,
    /// Where each peer's lines are.
    places: BTreeMap<P, Vec<usize>>,
    /// Lines that each source told of.
    told: BTreeMap<String, usize>,
}

impl<P> Default for Book<P> {
    fn default() -> Self {
        Self { lines: Vec::new(), places: BTreeMap::new(), told: BTreeMap::new() }
    }
}

impl<P: PeerName> Book<P> {
    /// Takes over entries that were kept.
    pub fn load(entries: impl IntoIterator<Item = (P, Entry)>) -> Self {
        let mut book = Self::default();
        entries.into_iter().for_each(|(peer, entry)| book.push(peer, entry));
        book
    }

    fn push(&mut self, peer: P, entry: Entry) {
        self.places.entry(peer).or_default().push(self.lines.len());
        if let Some(source) = &entry.told_by {
            *self.told.entry(source.clone()).or_default() += 1;
        }
        self.lines.push(Line { peer, entry, next_try: Moment(0) });
    }

    /// Keeps the lines that `keeps` says.
    fn retain(&mut self, keeps: impl Fn(&Line<P>) -> bool) {
        let lines = std::mem::take(self).lines;
        for line in lines.into_iter().filter(keeps) {
            let next_try = line.next_try;
            self.push(line.peer, line.entry);
            self.lines.last_mut().expect("a line was added").next_try = next_try;
        }
    }

    /// The lines of one peer.
    fn of_peer(&mut self, peer: &P, mut act: impl FnMut(&mut Entry)) {
        for place in self.places.get(peer).into_iter().flatten() {
            act(&mut self.lines[*place].entry);
        }
    }

    /// The entries, in the order added.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.lines.iter().map(|line| &line.entry)
    }

    /// Number of entries.
    pub fn len(&self) -> usize {
        self.lines.len()
    }

    /// Whether there is no entry.
    pub fn is_empty(&self) -> bool {
        self.lines.is_empty()
    }

    /// Adds an address; says whether the book has changed. `None` when it is full.
    ///
    /// What the grower adds takes the place of a stranger's when the book is full.
    pub fn add(&mut self, peer: P, address: &str, origin: Origin) -> Option<bool> {
        let mut places = self.places.get(&peer).into_iter().flatten();
        if let Some(place) = places.find(|place| self.lines[**place].entry.address == address) {
            return Some(origin == Origin::Grower && self.owned(*place));
        }
        let told_by = match origin {
            Origin::Grower if self.lines.len() >= BOOK_ADDRESSES && !self.drop_stranger() => return None,
            Origin::Grower => None,
            Origin::Told(by) if self.has_room_for(&by) && address.len() <= ADDRESS_BYTES => Some(by),
            Origin::Told(_) => return None,
        };
        self.push(peer, Entry { address: address.to_owned(), last_met: None, failures: 0, told_by });
        Some(true)
    }

    /// Makes a line the grower's own, and says whether it was not.
    fn owned(&mut self, place: usize) -> bool {
        let Some(source) = self.lines[place].entry.told_by.take() else { return false };
        self.told.entry(source).and_modify(|lines| *lines -= 1);
        true
    }

    fn has_room_for(&self, source: &str) -> bool {
        let of_source = self.told.get(source).copied().unwrap_or_default();
        self.lines.len() < BOOK_ADDRESSES && of_source < BOOK_ADDRESSES_PER_SOURCE
    }

    /// Drops the stranger that failed most often.
    fn drop_stranger(&mut self) -> bool {
        let strangers = self.lines.iter().filter(|line| line.entry.told_by.is_some());
        let worst = strangers.max_by_key(|line| (line.entry.last_met.is_none(), line.entry.failures));
        let Some(address) = worst.map(|line| line.entry.address.clone()) else { return false };
        self.retain(|line| line.entry.address != address);
        true
    }

    /// Notes that a peer is connected. Of addresses that a peer told of only the one that was dialled is
    /// known to be right.
    pub fn met(&mut self, peer: P, dialled: Option<&str>, when: &str) {
        self.of_peer(&peer, |entry| {
            if entry.told_by.is_none() || dialled == Some(&entry.address) {
                entry.last_met = Some(when.to_owned());
                entry.failures = 0;
            }
        });
    }

    /// Lets every peer be dialled now: this machine is in another network.
    pub fn hurry(&mut self) {
        self.lines.iter_mut().for_each(|line| line.next_try = Moment(0));
    }

    /// Counts a failed dial. A stranger that never answered is forgotten in the end.
    pub fn failed(&mut self, peer: P) {
        let is_forgotten = |entry: &Entry| {
            entry.told_by.is_some() && entry.last_met.is_none() && entry.failures >= FAILURES_OF_STRANGERS
        };
        let mut forgets = false;
        self.of_peer(&peer, |entry| {
            entry.failures = entry.failures.saturating_add(1);
            forgets |= is_forgotten(entry);
        });
        if forgets {
            self.retain(|line| !is_forgotten(&line.entry));
        }
    }

    /// Whom to dial now: all that the grower added, and others as far as connections are sought.
    pub fn due(
        &mut self,
        now: Moment,
        timing: &Timing,
        is_connected: impl Fn(&P) -> bool,
        dice: &mut dyn Dice,
    ) -> Vec<(P, String)> {
        let connected = self.lines.iter().filter(|line| is_connected(&line.peer)).count();
        let mut room = SOUGHT_CONNECTIONS.saturating_sub(connected);
        let anchors = self.anchors();
        let rank = |(i, line): (usize, &Line<P>)| {
            let is_told = line.entry.told_by.is_some();
            (!anchors.contains(&i), is_told, line.entry.failures, dice.roll(), i)
        };
        let waits = |line: &Line<P>| line.next_try <= now && !is_connected(&line.peer);
        let lines = self.lines.iter().enumerate().filter(|(_, line)| waits(line));
        let mut order: Vec<_> = lines.map(rank).collect();
        // All of the grower's and as many strangers as there is room for: the rest need no order.
        let most = room + order.iter().filter(|(_, is_told, ..)| !is_told).count();
        if order.len() > most {
            order.select_nth_unstable(most);
            order.truncate(most);
        }
        order.sort_unstable();
        let mut chosen = Vec::new();
        for (_, is_told, _, _, i) in order {
            if is_told && room == 0 {
                continue;
            }
            let line = &mut self.lines[i];
            room = room.saturating_sub(1);
            let patience = timing.redial * 2_u32.pow(line.entry.failures.min(10));
            line.next_try = now.plus(patience.min(timing.back_off.max(timing.redial)));
            chosen.push((line.peer, line.entry.address.clone()));
        }
        chosen
    }

    /// The peers that were met last, the latest first.
    fn anchors(&self) -> Vec<usize> {
        let mut latest: Vec<(&str, usize)> = Vec::with_capacity(ANCHORS + 1);
        for (i, line) in self.lines.iter().enumerate() {
            let Some(met) = line.entry.last_met.as_deref() else { continue };
            let at = latest.partition_point(|(other, _)| *other >= met);
            if at < ANCHORS {
                latest.insert(at, (met, i));
                latest.truncate(ANCHORS);
            }
        }
        latest.into_iter().map(|(_, i)| i).collect()
    }

    /// Addresses to tell a peer of: such as were reached, at random, as far as `may_tell`.
    pub fn tell(&self, may_tell: impl Fn(&P, &str) -> bool, dice: &mut dyn Dice) -> Vec<String> {
        let good = self.lines.iter().filter(|Line { peer, entry, .. }| {
            entry.last_met.is_some() && entry.failures == 0 && may_tell(peer, &entry.address)
        });
        let mut drawn: Vec<(u64, &str)> = good.map(|line| (dice.roll(), &line.entry.address[..])).collect();
        if drawn.len() > TOLD_ADDRESSES {
            drawn.select_nth_unstable(TOLD_ADDRESSES);
            drawn.truncate(TOLD_ADDRESSES);
        }
        drawn.into_iter().map(|(_, address)| address.to_owned()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::super::SeededDice;
    use super::*;

    const NOW: Moment = Moment(10_000_000);

    fn told(by: &str) -> Origin {
        Origin::Told(by.to_owned())
    }

    fn fill(book: &mut Book<usize>, from: usize, count: usize, by: &str) -> usize {
        (from..from + count).filter(|n| book.add(*n, &format!("/a/{n}"), told(by)) == Some(true)).count()
    }

    #[test]
    fn no_source_fills_more_than_a_quarter_and_the_book_has_an_end() {
        let mut book = Book::default();
        assert_eq!(fill(&mut book, 0, 1_000, "one"), BOOK_ADDRESSES_PER_SOURCE);
        let others: usize = (1..9).map(|i| fill(&mut book, i * 1_000, 1_000, &format!("source {i}"))).sum();
        assert_eq!(others, BOOK_ADDRESSES - BOOK_ADDRESSES_PER_SOURCE);
        assert_eq!(book.add(9, "/by/hand", Origin::Grower), Some(true), "the grower comes before strangers");
        assert_eq!(book.len(), BOOK_ADDRESSES);
        let mut own: Book<usize> = Book::default();
        assert!((0..BOOK_ADDRESSES).all(|n| own.add(n, &format!("/a/{n}"), Origin::Grower) == Some(true)));
        assert_eq!(own.add(9_999, "/one/more", Origin::Grower), None);
        let mut empty: Book<usize> = Book::default();
        assert_eq!(empty.add(0, &"x".repeat(ADDRESS_BYTES + 1), told("one")), None);
        assert_eq!(empty.add(0, &"x".repeat(ADDRESS_BYTES), told("one")), Some(true));
    }

    #[test]
    fn strangers_are_dialled_as_far_as_connections_are_sought_and_the_last_peers_first() {
        let (mut book, mut dice, timing) = (Book::default(), SeededDice(1), Timing::home());
        fill(&mut book, 0, 50, "one");
        book.met(31, Some("/a/31"), "2026-11-01T00:00:00Z");
        book.met(32, Some("/a/32"), "2026-11-02T00:00:00Z");
        book.met(33, Some("/a/33"), "2026-10-01T00:00:00Z");
        let due = book.due(NOW, &timing, |_| false, &mut dice);
        assert_eq!(due.len(), SOUGHT_CONNECTIONS);
        let first: std::collections::BTreeSet<usize> = due[..2].iter().map(|(peer, _)| *peer).collect();
        assert_eq!(first, [31, 32].into());
        assert_eq!(book.due(NOW, &timing, |peer| *peer < 50 && *peer >= 40, &mut dice), []);
    }

    #[test]
    fn failures_wait_longer_each_time_and_a_stranger_is_forgotten() {
        let (mut book, mut dice, timing) = (Book::default(), SeededDice(1), Timing::home());
        book.add(1, "/by/hand", Origin::Grower);
        book.add(2, "/told", told("one"));
        let mut now = NOW;
        for failures in 0..FAILURES_OF_STRANGERS {
            assert_eq!(book.due(now, &timing, |_| false, &mut dice).len(), 2, "after {failures}");
            book.failed(1);
            book.failed(2);
            let wait = (timing.redial * 2_u32.pow(failures)).min(timing.back_off);
            assert_eq!(book.due(Moment(now.plus(wait).0 - 1), &timing, |_| false, &mut dice), []);
            now = now.plus(wait);
        }
        assert_eq!(book.due(now, &timing, |_| false, &mut dice).len(), 1, "what the grower added stays");
    }

    #[test]
    fn only_addresses_that_were_reached_are_told_and_not_too_many() {
        let (mut book, mut dice) = (Book::default(), SeededDice(1));
        fill(&mut book, 0, 100, "one");
        assert_eq!(book.tell(|_, _| true, &mut dice), Vec::<String>::new());
        (0..60).for_each(|peer| book.met(peer, Some(&format!("/a/{peer}")), "2026-11-01T00:00:00Z"));
        book.met(70, Some("/a/71"), "2026-11-01T00:00:00Z");
        book.met(72, None, "2026-11-01T00:00:00Z");
        (0..30).for_each(|peer| book.failed(peer));
        let told = book.tell(|_, address| address != "/a/40", &mut dice);
        assert_eq!(told.len(), TOLD_ADDRESSES);
        for wrong in ["/a/40", "/a/3", "/a/70", "/a/71", "/a/72"] {
            assert!(!told.contains(&wrong.to_owned()), "{wrong}");
        }
    }
}
