//! Who misbehaved: a peer that sends refused messages over and over is blocked for a while.

use std::collections::HashMap;
use std::time::Duration;

use super::PeerName;
use crate::clock::Moment;
use crate::limits::{OFFENCE_MEMORY, OFFENCES, REMEMBERED_PEERS};

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
        if self.offences.len() >= REMEMBERED_PEERS {
            self.offences.retain(|_, times| times.iter().any(|then| now.since(*then) < OFFENCE_MEMORY));
        }
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

    /// Peers whose block has run out; they are free again.
    pub fn released(&mut self, now: Moment) -> Vec<P> {
        let block = self.block;
        let over = self.blocked.extract_if(|_, since| now.since(*since) >= block);
        over.map(|(peer, _)| peer).collect()
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
        assert!((0..4).all(|second| !conduct.offend(1, at(second))));
        assert!(conduct.offend(1, at(4)));
        assert!(conduct.is_blocked(&1));
        assert!(conduct.released(at(3_603)).is_empty());
        assert_eq!(conduct.released(at(3_604)), [1]);
    }

    #[test]
    fn slow_offences_are_forgotten() {
        let mut conduct = Conduct::new(Duration::from_hours(1));
        assert!((0..50).all(|i| !conduct.offend(1, at(i * 151))));
    }

    #[test]
    fn the_memory_of_passing_offenders_is_bounded() {
        let mut conduct = Conduct::new(Duration::from_hours(1));
        for peer in 0..REMEMBERED_PEERS as u64 * 3 {
            conduct.offend(peer, at(peer));
        }
        assert!(conduct.offences.len() <= REMEMBERED_PEERS);
    }
}
