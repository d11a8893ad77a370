//! The one way into the store: judge, hold what is not due, keep, count.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use propagule_protocol::Month;
use propagule_protocol::{Judged, NetworkId, RecordId, Refusal, Signed};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::limits::MONTHS_AHEAD;
use crate::spread::AuthorQuota;
use crate::store::{Arrival, Intake, Records, Store};
use propagule_files::clock::{Clock, Ticker};
use propagule_files::journal::StoreError;

/// Records from which judging is split over threads.
const SPLIT_FROM: usize = 16;

/// How a record came here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// By gossip, the fast path.
    Gossip,
    /// Fetched in a session with a peer.
    Exchange,
    /// By a stem that ended here.
    Stem,
    /// From a bundle file.
    Bundle,
}

/// What became of one record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Now in the set.
    New(RecordId),
    /// Was known already.
    Known(RecordId),
    /// Kept aside: for a newer version, for a later month, or one too many.
    Aside(RecordId),
    /// Over its author's quota for gossip; not kept, and comes by exchange.
    Delayed,
    /// Not kept: the disk quota is used up.
    Dropped,
    /// Refused, with the reason it is counted under.
    Refused(&'static str),
}

impl Verdict {
    /// The id of a record that is here now.
    pub fn id(&self) -> Option<RecordId> {
        match self {
            Self::New(id) | Self::Known(id) | Self::Aside(id) => Some(*id),
            Self::Delayed | Self::Dropped | Self::Refused(_) => None,
        }
    }
}

/// What has come in since the node started.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Counts {
    /// New records by gossip.
    pub by_gossip: u64,
    /// New records by exchange with peers.
    pub by_exchange: u64,
    /// New records by stems that ended here.
    pub by_stem: u64,
    /// New records from bundle files.
    pub by_bundle: u64,
    /// Records that were here already.
    pub known: u64,
    /// Records kept aside.
    pub aside: u64,
    /// Over a quota for gossip, so they come later by exchange.
    pub delayed: u64,
    /// Not kept, since the disk quota is used up.
    pub dropped: u64,
    /// Refused, by reason.
    pub refused: BTreeMap<String, u64>,
}

/// Judges, keeps and counts records.
#[derive(Debug)]
pub struct Gate {
    network: NetworkId,
    clock: Clock,
    ticker: Ticker,
    authors: Mutex<AuthorQuota>,
    counts: Mutex<Counts>,
}

impl Gate {
    /// For one network.
    pub fn new(network: NetworkId, clock: Clock) -> Self {
        let ticker = Ticker::new(clock);
        Self { network, clock, ticker, authors: Mutex::default(), counts: Mutex::default() }
    }

    /// What has come in so far.
    pub fn counts(&self) -> Counts {
        self.lock().clone()
    }

    /// Counts something from a peer that never was a record.
    pub fn refuse(&self, reason: &str) {
        *self.lock().refused.entry(reason.to_owned()).or_default() += 1;
    }

    /// Counts a gossip message that was over its sender's quota.
    pub fn delay(&self) {
        self.lock().delayed += 1;
    }

    /// Judges a record that was handed over by stem; only one for the set now can travel on.
    ///
    /// # Errors
    /// The reason under which it is counted as refused, or none when nobody is to blame.
    pub fn judge_stemmed(&self, bytes: &[u8]) -> Result<RecordId, Option<&'static str>> {
        let latest = self.clock.month().plus(MONTHS_AHEAD);
        match propagule_protocol::judge(bytes, &self.network) {
            Ok(Judged::Accepted(signed)) if signed.body.head().signed <= latest => Ok(signed.id),
            Ok(_) => Err(None),
            Err(refusal) => {
                self.refuse(refusal.reason());
                Err(Some(refusal.reason()))
            }
        }
    }

    /// Takes in a batch; the verdicts are in its order and final.
    ///
    /// # Errors
    /// Of the local store only; then nothing of the batch was taken in.
    pub fn take(&self, store: &dyn Records, batch: &[Vec<u8>], way: Way) -> Result<Vec<Verdict>, StoreError> {
        let latest = self.clock.month().plus(MONTHS_AHEAD);
        let mut arrivals = Vec::with_capacity(batch.len());
        let mut verdicts = Vec::with_capacity(batch.len());
        for judged in judge_all(batch, self.network) {
            verdicts.push(match judged {
                Err(refusal) => Some(Verdict::Refused(refusal.reason())),
                Ok(judged) if way == Way::Gossip && !self.is_within_quota(store, &judged)? => {
                    Some(Verdict::Delayed)
                }
                Ok(judged) => {
                    arrivals.push(arrival(judged, latest));
                    None
                }
            });
        }
        let ids: Vec<RecordId> = arrivals.iter().map(|arrival| *arrival.id()).collect();
        let mut taken = store.append(&arrivals)?.into_iter().zip(ids);
        let verdicts: Vec<Verdict> = verdicts
            .into_iter()
            .map(|verdict| {
                verdict.or_else(|| taken.next().map(of_store)).expect("the store answers for every arrival")
            })
            .collect();
        self.count(&verdicts, way);
        Ok(verdicts)
    }

    /// Whether gossip may bring one more new record of this author now. What is known costs nothing.
    fn is_within_quota(&self, store: &dyn Records, judged: &Judged) -> Result<bool, StoreError> {
        let Judged::Accepted(signed) = judged else { return Ok(true) };
        if store.knows(&signed.id)? {
            return Ok(true);
        }
        let mut authors = self.authors.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(authors.admit(signed.author, self.ticker.now()))
    }

    /// Judges records kept aside again when the program or the month is another than last time.
    ///
    /// # Errors
    /// Of the local store only.
    pub fn release(&self, store: &Store) -> Result<usize, StoreError> {
        let latest = self.clock.month().plus(MONTHS_AHEAD);
        let occasion = format!("{} {latest}", env!("CARGO_PKG_VERSION"));
        store.judge_aside(&occasion, |bytes| self.judge_due(bytes, latest))
    }

    fn judge_due(&self, bytes: &[u8], latest: Month) -> Option<Signed> {
        match propagule_protocol::judge(bytes, &self.network) {
            Ok(Judged::Accepted(signed)) if signed.body.head().signed <= latest => Some(*signed),
            _ => None,
        }
    }

    fn count(&self, verdicts: &[Verdict], way: Way) {
        let mut counts = self.lock();
        for verdict in verdicts {
            let counter = match (verdict, way) {
                (Verdict::New(_), Way::Gossip) => &mut counts.by_gossip,
                (Verdict::New(_), Way::Exchange) => &mut counts.by_exchange,
                (Verdict::New(_), Way::Stem) => &mut counts.by_stem,
                (Verdict::New(_), Way::Bundle) => &mut counts.by_bundle,
                (Verdict::Known(_), _) => &mut counts.known,
                (Verdict::Aside(_), _) => &mut counts.aside,
                (Verdict::Delayed, _) => &mut counts.delayed,
                (Verdict::Dropped, _) => &mut counts.dropped,
                (Verdict::Refused(reason), _) => counts.refused.entry((*reason).to_owned()).or_default(),
            };
            *counter += 1;
        }
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Counts> {
        self.counts.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn of_store((intake, id): (Intake, RecordId)) -> Verdict {
    match intake {
        Intake::New => Verdict::New(id),
        Intake::Known => Verdict::Known(id),
        Intake::Held | Intake::Surplus => Verdict::Aside(id),
        Intake::Dropped => Verdict::Dropped,
    }
}

/// A record whose month lies too far ahead waits until it is due.
fn arrival(judged: Judged, latest: Month) -> Arrival {
    match judged {
        Judged::Accepted(signed) if signed.body.head().signed > latest => {
            Arrival::Aside { id: signed.id, bytes: signed.bytes }
        }
        Judged::Accepted(signed) => Arrival::Accepted { signed, own: None },
        Judged::Held(held) => Arrival::Aside { id: held.id, bytes: held.bytes },
    }
}

/// Judges a batch, on two threads when it is worth it: signatures are the cost.
fn judge_all(batch: &[Vec<u8>], network: NetworkId) -> Vec<Result<Judged, Refusal>> {
    let judge_part = |part: &[Vec<u8>]| -> Vec<_> {
        part.iter().map(|bytes| propagule_protocol::judge(bytes, &network)).collect()
    };
    if batch.len() < SPLIT_FROM {
        return judge_part(batch);
    }
    let (left, right) = batch.split_at(batch.len() / 2);
    std::thread::scope(|scope| {
        let second = scope.spawn(|| judge_part(right));
        let mut all = judge_part(left);
        all.extend(second.join().expect("judging does not panic"));
        all
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::fixtures::{network, record};
    use crate::limits::AUTHOR_PER_HOUR;
    use crate::store::Memory;
    use crate::sync::LocalSet;

    fn gate() -> Gate {
        Gate::new(network(), Clock::Fixed("2026-10-15T12:00:00Z".parse().expect("a timestamp")))
    }

    fn batch(author: u8, count: u32) -> Vec<Vec<u8>> {
        (0..count).map(|series| record(author, series, 0, 3).bytes).collect()
    }

    #[test]
    fn an_author_over_quota_is_delayed_by_gossip_and_comes_by_every_other_way() {
        for way in [Way::Exchange, Way::Bundle, Way::Stem] {
            let (gate, store) = (gate(), Memory::new(1 << 20));
            let records = batch(1, AUTHOR_PER_HOUR + 10);
            let verdicts = gate.take(&store, &records, Way::Gossip).expect("takes");
            let delayed = verdicts.iter().filter(|verdict| **verdict == Verdict::Delayed).count();
            assert_eq!((delayed, store.count()), (10, AUTHOR_PER_HOUR.into()));
            assert_eq!(gate.counts().delayed, 10);
            let other = gate.take(&store, &batch(2, 1), Way::Gossip).expect("takes");
            assert!(matches!(other[..], [Verdict::New(_)]), "each author has a quota of its own");
            gate.take(&store, &records, way).expect("takes");
            assert_eq!(store.count(), u64::from(AUTHOR_PER_HOUR) + 11, "{way:?}");
        }
    }

    #[test]
    fn what_is_known_costs_no_quota() {
        let (gate, store) = (gate(), Memory::new(1 << 20));
        let one = batch(1, 1);
        for _ in 0..AUTHOR_PER_HOUR * 3 {
            gate.take(&store, &one, Way::Gossip).expect("takes");
        }
        let more = gate.take(&store, &batch(1, 5), Way::Gossip).expect("takes");
        assert_eq!(more.iter().filter(|verdict| matches!(verdict, Verdict::New(_))).count(), 4);
    }

    #[test]
    fn what_has_no_room_on_disk_is_dropped_counted_and_not_remembered() {
        let (gate, store) = (gate(), Memory::new(1_000));
        let records = batch(1, 10);
        let verdicts = gate.take(&store, &records, Way::Exchange).expect("takes");
        let dropped = verdicts.iter().filter(|verdict| **verdict == Verdict::Dropped).count() as u64;
        assert!(dropped > 5);
        assert_eq!(gate.counts().dropped, dropped);
        let last = record(1, 9, 0, 3);
        assert!(!store.knows(&last.id).expect("reads"));
    }

    #[test]
    fn only_a_record_for_the_set_now_travels_by_stem() {
        let gate = gate();
        let good = record(1, 1, 0, 3);
        assert_eq!(gate.judge_stemmed(&good.bytes), Ok(good.id));
        assert_eq!(gate.judge_stemmed(&[0xFF; 40]), Err(Some("not canonical")));
    }

    #[test]
    fn a_month_too_far_ahead_waits_and_nobody_is_to_blame() {
        let good = record(1, 1, 0, 3);
        for (ahead, stemmed, taken) in [
            (MONTHS_AHEAD, Ok(good.id), Verdict::New(good.id)),
            (MONTHS_AHEAD + 1, Err(None), Verdict::Aside(good.id)),
        ] {
            let then = format!("2026-{:02}-15T12:00:00Z", 10 - ahead);
            let gate = Gate::new(network(), Clock::Fixed(then.parse().expect("a timestamp")));
            assert_eq!(gate.judge_stemmed(&good.bytes), stemmed, "{then}");
            let store = Memory::new(1 << 20);
            let verdicts = gate.take(&store, std::slice::from_ref(&good.bytes), Way::Exchange);
            assert_eq!(verdicts.expect("takes"), [taken], "{then}");
        }
    }
}
