//! Answering the questions of peers, each on its own: no session is kept for them.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex, PoisonError};

use negentropy::{Negentropy, NegentropyStorageVector};
use propagule_protocol::Month;
use propagule_protocol::{NetworkId, RecordId};

use super::{Budget, Decline, LocalSet, MonthRow, Question, Reply, month_vector};
use crate::limits::{CACHED_MONTHS, FRAME_BYTES};
use propagule_files::journal::StoreError;

/// Answers questions from one set.
#[derive(Debug)]
pub struct Answerer {
    network: NetworkId,
    cached_months: usize,
    cache: Mutex<VecDeque<(MonthRow, Arc<NegentropyStorageVector>)>>,
}

impl Answerer {
    /// For the set of one node.
    pub fn new(network: NetworkId) -> Self {
        Self::caching(network, CACHED_MONTHS)
    }

    /// For the sets of several nodes, which agree about most months.
    pub fn caching(network: NetworkId, cached_months: usize) -> Self {
        Self { network, cached_months, cache: Mutex::default() }
    }

    /// The reply to `question`; a failing store makes it "busy".
    pub fn reply(&self, question: &Question, set: &(impl LocalSet + ?Sized), budget: Budget) -> Reply {
        let reply = match question {
            Question::Months(network) if *network == self.network => Ok(Reply::Months(set.months())),
            Question::Months(_) => Ok(Reply::Declined(Decline::OtherNetwork)),
            Question::Reconcile(month, frame) => self.reconcile(*month, frame, set, budget),
            Question::Fetch(ids) => fetch(ids, set, budget),
            // Answered by whoever knows the peers and the stems.
            Question::Stem { .. } | Question::Peers => Ok(Reply::Declined(Decline::Busy)),
        };
        reply.unwrap_or_else(|error| {
            tracing::warn!(%error, "a peer's question could not be answered");
            Reply::Declined(Decline::Busy)
        })
    }

    fn reconcile(
        &self,
        month: Month,
        frame: &[u8],
        set: &(impl LocalSet + ?Sized),
        budget: Budget,
    ) -> Result<Reply, StoreError> {
        if frame.len() > FRAME_BYTES {
            return Ok(Reply::Declined(Decline::OverLimit));
        }
        let vector = self.vector(month, set)?;
        let answered =
            Negentropy::borrowed(&*vector, budget.frame as u64).and_then(|mut side| side.reconcile(frame));
        Ok(answered.map_or(Reply::Declined(Decline::OverLimit), Reply::Reconcile))
    }

    /// The sorted ids of a month; from the cache while its fingerprint stays the same.
    fn vector(
        &self,
        month: Month,
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Arc<NegentropyStorageVector>, StoreError> {
        let empty = MonthRow { month, count: 0, fingerprint: [0; 16] };
        let row = set.month(month).unwrap_or(empty);
        let mut cache = self.cache.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((_, vector)) = cache.iter().find(|(known, _)| *known == row) {
            return Ok(Arc::clone(vector));
        }
        let vector = Arc::new(month_vector(set, month)?);
        if cache.len() >= self.cached_months {
            // What the month was before goes first, else the oldest.
            let oldest = cache.iter().position(|(known, _)| known.month == month).unwrap_or_default();
            cache.remove(oldest);
        }
        cache.push_back((row, Arc::clone(&vector)));
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
