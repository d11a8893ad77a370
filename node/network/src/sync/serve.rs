//! Answering the questions of peers, each on its own: no session is kept for them.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use negentropy::{Negentropy, NegentropyStorageVector};
use propagule_protocol::Month;
use propagule_protocol::{NetworkId, RecordId};

use super::lane::{head_of, ids_behind};
use super::{Budget, Decline, LocalSet, MonthRow, Question, Reply, month_vector};
use crate::admission::AuthorRange;
use crate::limits::{CACHED_MONTHS, CACHED_RANGES, FRAME_BYTES};
use propagule_files::journal::StoreError;

/// Answers questions from one set.
#[derive(Debug)]
pub struct Answerer {
    network: NetworkId,
    cached_months: usize,
    cache: Mutex<VecDeque<(MonthRow, AuthorRange, Arc<NegentropyStorageVector>)>>,
    /// The authors that this home keeps.
    range: Mutex<AuthorRange>,
    within: Mutex<VecDeque<Within>>,
}

/// Months of a range, and of what whole months they are.
#[derive(Debug)]
struct Within {
    range: AuthorRange,
    of: Vec<MonthRow>,
    rows: Vec<MonthRow>,
}

impl Answerer {
    /// For the set of one node.
    pub fn new(network: NetworkId) -> Self {
        Self::caching(network, CACHED_MONTHS)
    }

    /// For the sets of several nodes, which agree about most months.
    pub fn caching(network: NetworkId, cached_months: usize) -> Self {
        Self {
            network,
            cached_months,
            cache: Mutex::default(),
            range: Mutex::default(),
            within: Mutex::default(),
        }
    }

    /// Ranges whose months are at hand.
    #[cfg(test)]
    pub(super) fn ranges_at_hand(&self) -> usize {
        self.within.lock().unwrap_or_else(PoisonError::into_inner).len()
    }

    /// The authors that this home keeps from now on.
    pub fn keep_to(&self, range: AuthorRange) {
        *self.range.lock().unwrap_or_else(PoisonError::into_inner) = range;
    }

    /// The reply to `question`; a failing store makes it "busy".
    pub fn reply(&self, question: &Question, set: &(impl LocalSet + ?Sized), budget: Budget) -> Reply {
        let reply = match question {
            Question::Months(network) if *network == self.network => Ok(Reply::Months(set.months())),
            Question::MonthsWithin(network, range) if *network == self.network => {
                self.months_within(*range, set)
            }
            Question::Heads(authors) => {
                let heads = authors.iter().map(|author| head_of(set, author));
                heads.collect::<Result<_, _>>().map(Reply::Heads)
            }
            Question::OfAuthor(author, after) => ids_behind(set, author, *after).map(Reply::OfAuthor),
            Question::Months(_) | Question::MonthsWithin(..) => Ok(Reply::Declined(Decline::OtherNetwork)),
            Question::Reconcile(month, frame) => {
                self.reconcile((*month, AuthorRange::EVERYBODY), frame, set, budget)
            }
            Question::ReconcileWithin(month, frame, range) => {
                self.reconcile((*month, *range), frame, set, budget)
            }
            Question::Fetch(ids) => fetch(ids, set, budget),
            // Answered by whoever knows the peers and the stems.
            Question::Stem { .. } | Question::Peers => Ok(Reply::Declined(Decline::Busy)),
        };
        reply.unwrap_or_else(|error| {
            tracing::warn!(%error, "a peer's question could not be answered");
            Reply::Declined(Decline::Busy)
        })
    }

    /// Months over what both homes keep; worked out once while the set stays as it is.
    fn months_within(
        &self,
        theirs: AuthorRange,
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Reply, StoreError> {
        let ours = *self.range.lock().unwrap_or_else(PoisonError::into_inner);
        let Some(common) = ours.meet(theirs) else { return Ok(Reply::MonthsWithin(Vec::new(), ours)) };
        let of = set.months();
        let mut cache = self.within.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(known) = cache.iter().find(|known| known.range == common && known.of == of) {
            return Ok(Reply::MonthsWithin(known.rows.clone(), ours));
        }
        let rows = set.months_within(common)?;
        cache.retain(|known| known.range != common);
        if cache.len() >= CACHED_RANGES {
            cache.pop_front();
        }
        cache.push_back(Within { range: common, of, rows: rows.clone() });
        Ok(Reply::MonthsWithin(rows, ours))
    }

    fn reconcile(
        &self,
        of: (Month, AuthorRange),
        frame: &[u8],
        set: &(impl LocalSet + ?Sized),
        budget: Budget,
    ) -> Result<Reply, StoreError> {
        if frame.len() > FRAME_BYTES {
            return Ok(Reply::Declined(Decline::OverLimit));
        }
        let vector = self.vector(of, set)?;
        let answered =
            Negentropy::borrowed(&*vector, budget.frame as u64).and_then(|mut side| side.reconcile(frame));
        Ok(answered.map_or(Reply::Declined(Decline::OverLimit), Reply::Reconcile))
    }

    /// The sorted ids of a month; from the cache while its fingerprint stays the same.
    fn vector(
        &self,
        (month, range): (Month, AuthorRange),
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Arc<NegentropyStorageVector>, StoreError> {
        let empty = MonthRow { month, count: 0, fingerprint: [0; 16] };
        let row = set.month(month).unwrap_or(empty);
        let mut cache = self.cache.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((.., vector)) = cache.iter().find(|(known, of, _)| *known == row && *of == range) {
            return Ok(Arc::clone(vector));
        }
        let vector = Arc::new(month_vector(set, month, range)?);
        if cache.len() >= self.cached_months {
            // What the month was before goes first, else the oldest.
            let oldest = cache.iter().position(|(known, ..)| known.month == month).unwrap_or_default();
            cache.remove(oldest);
        }
        cache.push_back((row, range, Arc::clone(&vector)));
        Ok(vector)
    }
}

/// As many of the records as fit into one reply, in the order asked.
fn fetch(ids: &[RecordId], set: &(impl LocalSet + ?Sized), budget: Budget) -> Result<Reply, StoreError> {
    let mut records = Vec::new();
    let mut total = 0;
    for id in ids {
        let Some(bytes) = set.bytes(id)? else { continue };
        total += bytes.len();
        if total > budget.reply {
            break;
        }
        records.push(bytes);
    }
    Ok(Reply::Records(records))
}
