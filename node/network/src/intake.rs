//! The one way into the store: judge, hold what is not due, keep, count.

mod admitting;

use std::collections::BTreeMap;
use std::sync::{Mutex, MutexGuard, PoisonError};

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, Judged, NetworkId, RecordId, Refusal, Signed};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::admission::{Admittance, AuthorClass, AuthorRange};
use crate::limits::MONTHS_AHEAD;
use crate::spread::{AuthorQuota, Dice};
use crate::store::{Arrival, Intake, Records, Store};
use admitting::Left;
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
    /// From a bundle file whose authors are known by the grower's word.
    KnownBundle,
}

/// What became of one record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Verdict {
    /// Now in the set.
    New(RecordId),
    /// Was known already.
    Known(RecordId),
    /// Deferred: for a newer version, for a later month, or one too many.
    Aside(RecordId),
    /// Over what its author may bring now; not kept, and comes by exchange another day.
    Delayed,
    /// Not kept: there is no room for it, or none for growers not known here yet like its author.
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
    /// Records deferred.
    pub aside: u64,
    /// Over what their author may bring now, so they come later.
    pub delayed: u64,
    /// Not kept, since there is no room for them.
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
    admission: Mutex<Admittance>,
    left: Mutex<Left>,
    counts: Mutex<Counts>,
}

impl Gate {
    /// For one network.
    pub fn new(network: NetworkId, clock: Clock, admission: Admittance) -> Self {
        Self {
            network,
            clock,
            ticker: Ticker::new(clock),
            authors: Mutex::default(),
            admission: Mutex::new(admission),
            left: Mutex::default(),
            counts: Mutex::default(),
        }
    }

    /// Who is let in.
    pub fn admission(&self) -> MutexGuard<'_, Admittance> {
        self.admission.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// How an author stands to this home.
    ///
    /// # Errors
    /// Of the store.
    pub fn class(&self, store: &dyn Records, author: &AuthorKey) -> Result<AuthorClass, StoreError> {
        self.admission().class(author, self.clock.moment(), || store.holds_author(author))
    }

    /// The growers not known here yet that this home keeps, and the growers whom it asks for by name.
    ///
    /// # Errors
    /// Of the store.
    pub fn asks_for(&self, dice: &mut dyn Dice) -> Result<(AuthorRange, Vec<AuthorKey>), StoreError> {
        let mut admission = self.admission();
        let known = admission.asked_for_by_name(self.clock.moment(), dice)?;
        Ok((admission.range(), known))
    }

    /// Records that are asked of nobody again today, since they would not be kept.
    pub fn left_today(&self) -> Vec<RecordId> {
        let left = self.left_of(self.clock.moment().day());
        left.ids.iter().copied().collect()
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
        let judged = judge_all(batch, self.network);
        if way == Way::KnownBundle {
            let authors: Vec<AuthorKey> = judged.iter().flatten().filter_map(author_of).collect();
            self.admission().take_as_known(&authors)?;
        }
        self.find_room(store, &judged)?;
        let mut arrivals = Vec::with_capacity(batch.len());
        let mut verdicts = Vec::with_capacity(batch.len());
        let mut fresh = Vec::new();
        for judged in judged {
            verdicts.push(match judged {
                Err(refusal) => Some(Verdict::Refused(refusal.reason())),
                Ok(judged) => {
                    if let Some(why) = self.left_out(store, &judged, way)? {
                        Some(self.leave(why, &judged))
                    } else {
                        if let Some(author) = author_of(&judged)
                            && self.is_unseen(store, &author)?
                        {
                            fresh.push(author);
                        }
                        arrivals.push(arrival(judged, latest));
                        None
                    }
                }
            });
        }
        self.admission().note(&fresh, self.clock.moment())?;
        let ids: Vec<RecordId> = arrivals.iter().map(|arrival| *arrival.id()).collect();
        let mut taken = store.append(&arrivals)?.into_iter().zip(ids);
        let verdicts: Vec<Verdict> = verdicts
            .into_iter()
            .map(|verdict| {
                verdict.or_else(|| taken.next().map(of_store)).expect("the store answers for every arrival")
            })
            .collect();
        self.note_circle(&arrivals, &verdicts);
        self.count(&verdicts, way);
        Ok(verdicts)
    }

    /// Judges deferred records again when the program or the month is another than last time.
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
                (Verdict::New(_), Way::Bundle | Way::KnownBundle) => &mut counts.by_bundle,
                (Verdict::Known(_), _) => &mut counts.known,
                (Verdict::Aside(_), _) => &mut counts.aside,
                (Verdict::Delayed, _) => &mut counts.delayed,
                (Verdict::Dropped, _) => &mut counts.dropped,
                (Verdict::Refused(reason), _) => counts.refused.entry((*reason).to_owned()).or_default(),
            };
            *counter += 1;
        }
    }

    fn lock(&self) -> MutexGuard<'_, Counts> {
        self.counts.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

fn author_of(judged: &Judged) -> Option<AuthorKey> {
    match judged {
        Judged::Accepted(signed) => Some(signed.author),
        Judged::Held(_) => None,
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
#[path = "intake_tests.rs"]
mod tests;
