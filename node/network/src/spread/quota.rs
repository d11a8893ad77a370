//! How fast gossip may bring new records. What is over a quota is not lost and not refused: it comes by
//! exchange, later. Nothing here decides what belongs to the set.

use std::collections::HashMap;
use std::hash::Hash;
use std::time::Duration;

use propagule_protocol::AuthorKey;

use super::PeerName;
use crate::limits::{
    AUTHOR_PER_HOUR, GOSSIP_BURST, GOSSIP_PER_SECOND, GOSSIP_TAKEN_UP, GOSSIP_TAKEN_UP_PER_SECOND,
    REMEMBERED_AUTHORS, REMEMBERED_PEERS,
};
use propagule_files::clock::Moment;

/// How much may be had at once, and how long one more takes after that.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Rate {
    pub burst: u64,
    pub per: Duration,
}

impl Rate {
    /// `burst` at once, then so many a second.
    pub(crate) fn per_second(burst: u64, per_second: u64) -> Self {
        Self { burst, per: Duration::from_nanos(1_000_000_000 / per_second.max(1)) }
    }

    fn time_of(self, count: u64) -> u64 {
        u64::try_from(self.per.as_nanos()).unwrap_or(u64::MAX).saturating_mul(count)
    }
}

/// A bucket that fills up steadily and pays for what is taken; it may owe for what could not be measured before.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Bucket {
    /// When it is full again, in nanoseconds.
    full_at: u64,
}

impl Bucket {
    pub(crate) fn full() -> Self {
        Self { full_at: 0 }
    }

    /// How long until so many can be paid for; nothing when they can.
    pub(crate) fn wait(self, rate: Rate, count: u64, now: Moment) -> Duration {
        let owed = self.owed(now).saturating_add(rate.time_of(count));
        Duration::from_nanos(owed.saturating_sub(rate.time_of(rate.burst)))
    }

    /// Pays, whether it can or has to owe.
    pub(crate) fn spend(&mut self, rate: Rate, count: u64, now: Moment) {
        self.full_at = nanos(now).saturating_add(self.owed(now)).saturating_add(rate.time_of(count));
    }

    /// Pays if it can, and says whether it could.
    pub(crate) fn take(&mut self, rate: Rate, count: u64, now: Moment) -> bool {
        let can = self.wait(rate, count, now).is_zero();
        if can {
            self.spend(rate, count, now);
        }
        can
    }

    /// Takes back what was paid too much.
    pub(crate) fn give_back(&mut self, rate: Rate, count: u64) {
        self.full_at = self.full_at.saturating_sub(rate.time_of(count));
    }

    fn owed(self, now: Moment) -> u64 {
        self.full_at.saturating_sub(nanos(now))
    }
}

fn nanos(moment: Moment) -> u64 {
    moment.0.saturating_mul(1_000_000)
}

/// One bucket a peer.
#[derive(Debug)]
pub struct PeerQuota<P> {
    rate: Rate,
    buckets: HashMap<P, Bucket>,
}

impl<P: PeerName> PeerQuota<P> {
    /// `burst` messages at once, then one in each `per`.
    pub fn new(burst: u32, per: Duration) -> Self {
        Self { rate: Rate { burst: burst.into(), per }, buckets: HashMap::new() }
    }

    /// Whether one more message of `peer` is within its quota.
    pub fn admit(&mut self, peer: P, now: Moment) -> bool {
        // Full buckets first: one that is made anew is full too.
        make_room(&mut self.buckets, REMEMBERED_PEERS, |bucket| bucket.full_at);
        self.buckets.entry(peer).or_insert_with(Bucket::full).take(self.rate, 1, now)
    }
}

/// How much gossip is taken up: of each peer, and of all together, so that what is passed on is a flood to nobody.
#[derive(Debug)]
pub struct GossipQuota<P> {
    peers: PeerQuota<P>,
    all: Bucket,
}

impl<P: PeerName> Default for GossipQuota<P> {
    fn default() -> Self {
        let peers = PeerQuota::new(GOSSIP_BURST, Duration::from_secs(1) / GOSSIP_PER_SECOND);
        Self { peers, all: Bucket::full() }
    }
}

impl<P: PeerName> GossipQuota<P> {
    /// Whether one more message of `peer` is taken up.
    pub fn admit(&mut self, peer: P, now: Moment) -> bool {
        let rate = Rate::per_second(GOSSIP_TAKEN_UP.into(), GOSSIP_TAKEN_UP_PER_SECOND.into());
        self.peers.admit(peer, now) && self.all.take(rate, 1, now)
    }
}

/// New records of each author by gossip in the running hour.
#[derive(Debug, Default)]
pub struct AuthorQuota {
    authors: HashMap<AuthorKey, (Moment, u32)>,
}

impl AuthorQuota {
    /// Whether one more new record of `author` is within its quota.
    pub fn admit(&mut self, author: AuthorKey, now: Moment) -> bool {
        make_room(&mut self.authors, REMEMBERED_AUTHORS, |(begun, _)| *begun);
        let (begun, count) = self.authors.entry(author).or_insert((now, 0));
        if now.since(*begun) >= Duration::from_hours(1) {
            (*begun, *count) = (now, 0);
        }
        let is_within = *count < AUTHOR_PER_HOUR;
        *count += u32::from(is_within);
        is_within
    }
}

/// Forgets the older half when a table is full.
pub(crate) fn make_room<K: Copy + Eq + Hash, V, A: Copy + Ord>(
    table: &mut HashMap<K, V>,
    most: usize,
    age: impl Fn(&V) -> A,
) {
    if table.len() < most {
        return;
    }
    let mut ages: Vec<(A, K)> = table.iter().map(|(key, value)| (age(value), *key)).collect();
    let half = ages.len() / 2;
    ages.select_nth_unstable_by_key(half, |(age, _)| *age);
    for (_, key) in &ages[..half] {
        table.remove(key);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::STEM_BURST;

    fn at(milliseconds: u64) -> Moment {
        Moment(1_000_000 + milliseconds)
    }

    #[test]
    fn a_peer_may_burst_and_then_goes_at_the_steady_rate() {
        let mut quota = GossipQuota::default();
        let admitted =
            |quota: &mut GossipQuota<u8>, peer, now| (0..500).filter(|_| quota.admit(peer, now)).count();
        assert_eq!(admitted(&mut quota, 1, at(0)), GOSSIP_BURST as usize);
        assert!(admitted(&mut quota, 2, at(0)) > 0, "each peer has its own");
        assert_eq!(admitted(&mut quota, 1, at(10_000)), 10 * GOSSIP_PER_SECOND as usize);
        assert_eq!(admitted(&mut quota, 1, at(5_000)), 0, "a clock that goes back fills nothing");
    }

    #[test]
    fn all_peers_together_bring_no_more_than_is_taken_up() {
        let mut quota = GossipQuota::default();
        let mut admitted = |now| (0..4_000).filter(|number| quota.admit(number % 40, now)).count() as u32;
        assert_eq!(admitted(at(0)), GOSSIP_TAKEN_UP);
        assert_eq!(admitted(at(2_000)), 2 * GOSSIP_TAKEN_UP_PER_SECOND);
    }

    #[test]
    fn a_slow_bucket_fills_slowly() {
        let mut quota = PeerQuota::new(STEM_BURST, Duration::from_mins(1));
        assert_eq!((0..100).filter(|_| quota.admit(1, at(0))).count(), STEM_BURST as usize);
        assert!(!quota.admit(1, at(59_999)));
        assert!(quota.admit(1, at(60_000)));
    }

    #[test]
    fn an_author_has_an_hourly_quota() {
        let (mut quota, author) = (AuthorQuota::default(), AuthorKey([1; 32]));
        let mut admitted = |hour: u64| (0..100).filter(|_| quota.admit(author, at(hour * 3_600_000))).count();
        assert_eq!([admitted(0), admitted(1)], [AUTHOR_PER_HOUR as usize; 2]);
    }

    #[test]
    fn the_tables_are_bounded_and_keep_the_latest() {
        let mut quota = PeerQuota::new(1, Duration::from_hours(1));
        for peer in 0..REMEMBERED_PEERS as u64 * 2 {
            quota.admit(peer, at(peer));
        }
        assert!(quota.buckets.len() <= REMEMBERED_PEERS);
        let latest = REMEMBERED_PEERS as u64 * 2 - 1;
        assert!(!quota.admit(latest, at(latest)), "the latest is remembered");
        let mut authors = AuthorQuota::default();
        for number in 0..REMEMBERED_AUTHORS as u64 + 10 {
            let mut key = [0; 32];
            key[..8].copy_from_slice(&number.to_be_bytes());
            authors.admit(AuthorKey(key), at(number));
        }
        assert!(authors.authors.len() <= REMEMBERED_AUTHORS);
    }
}
