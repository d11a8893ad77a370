//! How fast gossip may bring new records. What is over a quota is not lost and not refused: it comes by
//! exchange, later. Nothing here decides what belongs to the set.

use std::collections::HashMap;
use std::hash::Hash;
use std::time::Duration;

use propagule_protocol::AuthorKey;

use super::PeerName;
use crate::limits::{AUTHOR_PER_DAY, AUTHOR_PER_HOUR, REMEMBERED_AUTHORS, REMEMBERED_PEERS};
use propagule_files::clock::Moment;

/// A bucket that fills up steadily and pays for each message.
#[derive(Clone, Copy, Debug)]
pub struct Bucket {
    /// Time saved up; a message costs as much of it as passes between two at the steady rate.
    saved: Duration,
    filled: Moment,
}

/// How large a bucket is and how fast it fills.
#[derive(Clone, Copy, Debug)]
struct Rate {
    burst: u32,
    per: Duration,
}

impl Bucket {
    fn full(rate: Rate, now: Moment) -> Self {
        Self { saved: rate.per * rate.burst, filled: now }
    }

    fn take(&mut self, rate: Rate, now: Moment) -> bool {
        self.saved = (self.saved + now.since(self.filled)).min(rate.per * rate.burst);
        self.filled = now.max(self.filled);
        let left = self.saved.checked_sub(rate.per);
        self.saved = left.unwrap_or(self.saved);
        left.is_some()
    }
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
        Self { rate: Rate { burst, per }, buckets: HashMap::new() }
    }

    /// Whether one more message of `peer` is within its quota.
    pub fn admit(&mut self, peer: P, now: Moment) -> bool {
        make_room(&mut self.buckets, REMEMBERED_PEERS, |bucket| bucket.filled);
        let rate = self.rate;
        self.buckets.entry(peer).or_insert_with(|| Bucket::full(rate, now)).take(rate, now)
    }
}

/// New records of each author in the running hour and day.
#[derive(Debug, Default)]
pub struct AuthorQuota {
    authors: HashMap<AuthorKey, [(Moment, u32); 2]>,
}

impl AuthorQuota {
    /// Whether one more new record of `author` is within both quotas.
    pub fn admit(&mut self, author: AuthorKey, now: Moment) -> bool {
        make_room(&mut self.authors, REMEMBERED_AUTHORS, |windows| windows[1].0);
        let windows = self.authors.entry(author).or_insert([(now, 0); 2]);
        let spans = [Duration::from_hours(1), Duration::from_hours(24)];
        for ((begun, count), span) in windows.iter_mut().zip(spans) {
            if now.since(*begun) >= span {
                (*begun, *count) = (now, 0);
            }
        }
        let is_within = windows[0].1 < AUTHOR_PER_HOUR && windows[1].1 < AUTHOR_PER_DAY;
        if is_within {
            for (_, count) in windows.iter_mut() {
                *count += 1;
            }
        }
        is_within
    }
}

/// Forgets the older half when a table is full.
pub(super) fn make_room<K: Copy + Eq + Hash, V>(
    table: &mut HashMap<K, V>,
    most: usize,
    age: impl Fn(&V) -> Moment,
) {
    if table.len() < most {
        return;
    }
    let mut ages: Vec<(Moment, K)> = table.iter().map(|(key, value)| (age(value), *key)).collect();
    let half = ages.len() / 2;
    ages.select_nth_unstable_by_key(half, |(age, _)| *age);
    for (_, key) in &ages[..half] {
        table.remove(key);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::limits::{GOSSIP_BURST, GOSSIP_PER_SECOND, STEM_BURST};

    fn at(milliseconds: u64) -> Moment {
        Moment(1_000_000 + milliseconds)
    }

    #[test]
    fn a_peer_may_burst_and_then_goes_at_the_steady_rate() {
        let mut quota = PeerQuota::new(GOSSIP_BURST, Duration::from_secs(1) / GOSSIP_PER_SECOND);
        let admitted =
            |quota: &mut PeerQuota<u8>, peer, now| (0..500).filter(|_| quota.admit(peer, now)).count();
        assert_eq!(admitted(&mut quota, 1, at(0)), GOSSIP_BURST as usize);
        assert_eq!(admitted(&mut quota, 2, at(0)), GOSSIP_BURST as usize, "each peer has its own");
        assert_eq!(admitted(&mut quota, 1, at(10_000)), 10 * GOSSIP_PER_SECOND as usize);
        assert_eq!(admitted(&mut quota, 1, at(5_000)), 0, "a clock that goes back fills nothing");
    }

    #[test]
    fn a_slow_bucket_fills_slowly() {
        let mut quota = PeerQuota::new(STEM_BURST, Duration::from_mins(1));
        assert_eq!((0..100).filter(|_| quota.admit(1, at(0))).count(), STEM_BURST as usize);
        assert!(!quota.admit(1, at(59_999)));
        assert!(quota.admit(1, at(60_000)));
    }

    #[test]
    fn an_author_has_an_hourly_and_a_daily_quota() {
        let (mut quota, author) = (AuthorQuota::default(), AuthorKey([1; 32]));
        let mut admitted = |hour: u64| (0..100).filter(|_| quota.admit(author, at(hour * 3_600_000))).count();
        let hourly = AUTHOR_PER_HOUR as usize;
        assert_eq!([admitted(0), admitted(1)], [hourly; 2]);
        let rest: usize = (2..24).map(&mut admitted).sum();
        assert_eq!(rest + 2 * hourly, AUTHOR_PER_DAY as usize);
        assert_eq!(admitted(24), hourly);
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
