//! Who misbehaved: a peer that sends refused messages over and over is blocked for a while.

use std::collections::HashMap;
use std::time::Duration;

use super::PeerName;
use super::quota::make_room;
use crate::limits::{OFFENCE_MEMORY, OFFENCES, REMEMBERED_PEERS};
use propagule_files::clock::Moment;

/// Offences and blocks of peers.
#[derive(Debug)]
pub struct Conduct<P> {
    block: Duration,
    offences: HashMap<P, Vec<Moment>>,
    blocked: HashMap<P, Moment>,
}

impl<P: PeerName> Conduct<P> {
    /// Blocks last for `block`.
    pub fn new(block: Duration) -> Self {
        Self { block, offences: HashMap::new(), blocked: HashMap::new() }
    }

    /// Notes an offence, and says whether the peer is blocked now.
    pub fn offend(&mut self, peer: P, now: Moment) -> bool {
        make_room(&mut self.offences, REMEMBERED_PEERS, |times| times.last().copied().unwrap_or_default());
        let offences = self.offences.entry(peer).or_default();
        offences.retain(|then| now.since(*then) < OFFENCE_MEMORY);
        offences.push(now);
        let is_blocked = offences.len() >= OFFENCES;
        if is_blocked {
            self.offences.remove(&peer);
            self.blocked.insert(peer, now);
        }
        is_blocked
    }

    /// Peers whose block has run out, and the first ones of too many; they are free again.
    pub fn released(&mut self, now: Moment) -> Vec<P> {
        let (block, last_surplus) = (self.block, self.last_surplus());
        let is_over =
            |since: Moment| now.since(since) >= block || last_surplus.is_some_and(|last| since <= last);
        self.blocked.extract_if(|_, since| is_over(*since)).map(|(peer, _)| peer).collect()
    }

    /// Since when the last one of too many is blocked.
    fn last_surplus(&self) -> Option<Moment> {
        let last = self.blocked.len().checked_sub(REMEMBERED_PEERS + 1)?;
        let mut times: Vec<Moment> = self.blocked.values().copied().collect();
        Some(*times.select_nth_unstable(last).1)
    }

    /// Whether a peer is blocked.
    pub fn is_blocked(&self, peer: &P) -> bool {
        self.blocked.contains_key(peer)
    }

    /// How many are blocked.
    pub fn blocked(&self) -> usize {
        self.blocked.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(seconds: u64) -> Moment {
        Moment(seconds * 1_000)
    }

    #[test]
    fn five_offences_within_ten_minutes_block_for_a_while() {
        let mut conduct = Conduct::new(Duration::from_hours(1));
        let last = OFFENCES as u64 - 1;
        assert!((0..last).all(|second| !conduct.offend(1, at(second))));
        assert!(conduct.offend(1, at(last)));
        assert!(conduct.is_blocked(&1));
        assert!(conduct.released(at(last + 3_599)).is_empty());
        assert_eq!(conduct.released(at(last + 3_600)), [1]);
    }

    #[test]
    fn slow_offences_are_forgotten() {
        let gap = OFFENCE_MEMORY.as_secs() / (OFFENCES as u64 - 1);
        let mut conduct = Conduct::new(Duration::from_hours(1));
        assert!((0..50).all(|i| !conduct.offend(1, at(i * gap))));
        assert!(!(0..50).all(|i| !conduct.offend(2, at(i * (gap - 1)))), "a little faster is not forgotten");
    }

    #[test]
    fn the_memory_of_passing_offenders_is_bounded() {
        for (gap, what) in [(1, "one after another"), (0, "all at once")] {
            let mut conduct = Conduct::new(Duration::from_hours(1));
            for peer in 0..REMEMBERED_PEERS as u64 * 3 {
                conduct.offend(peer, at(peer * gap));
                assert!(conduct.offences.len() <= REMEMBERED_PEERS, "{what}");
            }
        }
    }

    #[test]
    fn of_too_many_blocked_peers_the_first_are_let_go() {
        let (mut conduct, most) = (Conduct::new(Duration::from_hours(1)), REMEMBERED_PEERS as u64);
        for peer in 0..most + 3 {
            (0..OFFENCES).for_each(|_| {
                conduct.offend(peer, Moment(peer));
            });
        }
        let mut released = conduct.released(Moment(most + 3));
        released.sort_unstable();
        assert_eq!((released, conduct.blocked()), (vec![0, 1, 2], REMEMBERED_PEERS));
    }
}
