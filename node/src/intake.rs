//! The one way into the store: judge, hold what is not due, keep, count.

use std::collections::BTreeMap;
use std::sync::{Mutex, PoisonError};

use propagule_protocol::Month;
use propagule_protocol::{Judged, NetworkId, RecordId, Refusal, Signed};
use serde::{Deserialize, Serialize};

use crate::clock::Clock;
use crate::store::{Arrival, Intake, Store, StoreError};

/// How many months a signed month may be ahead of the local clock.
const MONTHS_AHEAD: i32 = 1;
/// Records from which judging is split over threads.
const SPLIT_FROM: usize = 16;

/// How a record came here.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Way {
    /// By gossip, the fast path.
    Gossip,
    /// Fetched in a session with a peer.
    Exchange,
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
    /// Refused, with the reason it is counted under.
    Refused(&'static str),
}

impl Verdict {
    /// The id of a record that is here now.
    pub fn id(&self) -> Option<RecordId> {
        match self {
            Self::New(id) | Self::Known(id) | Self::Aside(id) => Some(*id),
            Self::Refused(_) => None,
        }
    }
}

/// What has come in since the node started.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counts {
    /// New records by gossip.
    pub by_gossip: u64,
    /// New records by exchange with peers.
    pub by_exchange: u64,
    /// New records from bundle files.
    pub by_bundle: u64,
    /// Records that were here already.
    pub known: u64,
    /// Records kept aside.
    pub aside: u64,
    /// Refused, by reason.
    pub refused: BTreeMap<String, u64>,
}

/// Judges, keeps and counts records.
#[derive(Debug)]
pub struct Gate {
    network: NetworkId,
    clock: Clock,
    counts: Mutex<Counts>,
}

impl Gate {
    /// For one network.
    pub fn new(network: NetworkId, clock: Clock) -> Self {
        Self { network, clock, counts: Mutex::default() }
    }

    /// What has come in so far.
    pub fn counts(&self) -> Counts {
        self.lock().clone()
    }

    /// Counts something from a peer that never was a record.
    pub fn refuse(&self, reason: &str) {
        *self.lock().refused.entry(reason.to_owned()).or_default() += 1;
    }

    /// Takes in a batch; the verdicts are in its order and final.
    ///
    /// # Errors
    /// Of the local store only; then nothing of the batch was taken in.
    pub fn take(&self, store: &Store, batch: &[Vec<u8>], way: Way) -> Result<Vec<Verdict>, StoreError> {
        let latest = self.clock.month().plus(MONTHS_AHEAD);
        let mut arrivals = Vec::with_capacity(batch.len());
        let refusals: Vec<Option<&'static str>> = judge_all(batch, self.network)
            .into_iter()
            .map(|judged| match judged {
                Ok(judged) => {
                    arrivals.push(arrival(judged, latest));
                    None
                }
                Err(refusal) => Some(refusal.reason()),
            })
            .collect();
        let ids: Vec<RecordId> = arrivals.iter().map(|arrival| *arrival.id()).collect();
        let mut taken = store.append(&arrivals)?.into_iter().zip(ids);
        let verdicts: Vec<Verdict> = refusals
            .into_iter()
            .map(|refusal| match refusal {
                Some(reason) => Verdict::Refused(reason),
                None => taken.next().map(verdict).expect("the store answers for every arrival"),
            })
            .collect();
        self.count(&verdicts, way);
        Ok(verdicts)
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
                (Verdict::New(_), Way::Bundle) => &mut counts.by_bundle,
                (Verdict::Known(_), _) => &mut counts.known,
                (Verdict::Aside(_), _) => &mut counts.aside,
                (Verdict::Refused(reason), _) => counts.refused.entry((*reason).to_owned()).or_default(),
            };
            *counter += 1;
        }
    }

    fn lock(&self) -> std::sync::MutexGuard<'_, Counts> {
        self.counts.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn verdict((intake, id): (Intake, RecordId)) -> Verdict {
    match intake {
        Intake::New => Verdict::New(id),
        Intake::Known => Verdict::Known(id),
        Intake::Held | Intake::Surplus => Verdict::Aside(id),
    }
}

/// A record whose month lies too far ahead waits until it is due.
fn arrival(judged: Judged, latest: Month) -> Arrival {
    match judged {
        Judged::Accepted(signed) if signed.body.head().signed > latest => {
            Arrival::Aside { id: signed.id, bytes: signed.bytes }
        }
        Judged::Accepted(signed) => Arrival::Accepted { signed, is_own: false },
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
