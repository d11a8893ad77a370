//! Who misbehaved: a peer that sends refused messages over and over is blocked for a while.

use std::collections::HashMap;
use std::time::{Duration, Instant};

use libp2p::PeerId;

use super::limits::OFFENCES;

/// Offences older than this are forgotten.
const MEMORY: Duration = Duration::from_secs(600);

/// Offences and blocks of peers.
#[derive(Debug)]
pub(crate) struct Conduct {
    block: Duration,
    offences: HashMap<PeerId, Vec<Instant>>,
    blocked: HashMap<PeerId, Instant>,
}

impl Conduct {
    pub(crate) fn new(block: Duration) -> Self {
        Self { block, offences: HashMap::new(), blocked: HashMap::new() }
    }

    /// Notes an offence, and says whether the peer is blocked now.
    pub(crate) fn offend(&mut self, peer: PeerId, now: Instant) -> bool {
        let offences = self.offences.entry(peer).or_default();
        offences.retain(|then| now.duration_since(*then) < MEMORY);
        offences.push(now);
        let is_blocked = offences.len() >= OFFENCES;
        if is_blocked {
            self.offences.remove(&peer);
            self.blocked.insert(peer, now);
        }
        is_blocked
    }

    /// Peers whose block has run out; they are free again.
    pub(crate) fn released(&mut self, now: Instant) -> Vec<PeerId> {
        let block = self.block;
        let over = self.blocked.extract_if(|_, since| now.duration_since(*since) >= block);
        over.map(|(peer, _)| peer).collect()
    }

    pub(crate) fn blocked(&self) -> usize {
        self.blocked.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_offences_within_ten_minutes_block_for_a_while() {
        let (peer, start) = (PeerId::random(), Instant::now());
        let mut conduct = Conduct::new(Duration::from_secs(3_600));
        let at = |seconds| start + Duration::from_secs(seconds);
        assert!((0..4).all(|second| !conduct.offend(peer, at(second))));
        assert!(conduct.offend(peer, at(4)));
        assert_eq!(conduct.released(at(3_603)), []);
        assert_eq!(conduct.released(at(3_604)), [peer]);
    }

    #[test]
    fn slow_offences_are_forgotten() {
        let (peer, start) = (PeerId::random(), Instant::now());
        let mut conduct = Conduct::new(Duration::from_secs(3_600));
        assert!((0..50).all(|i| !conduct.offend(peer, start + Duration::from_secs(i * 151))));
    }
}
