//! Answers and evidence of a running node, kept until anything they rest on changes.
//!
//! The fingerprint of the evidence is a hash over the ids of every record that may act on it: summaries of the species,
//! and all records of another kind (withdrawals, rotations, revocations, vouches). Ids are hashes of bytes, so nothing can
//! change without another fingerprint; what was worked out for the old one is never asked for again and drops out.

use std::sync::{Arc, Mutex, PoisonError};

use propagule_protocol::{AuthorKey, Month, RecordId, Taxon};
use sha2::{Digest, Sha256};

use super::own::Own;
use propagule_answer::Source;
use propagule_answer::behind::StandsBehind;
use propagule_answer::learnt::Learning;
use propagule_answer::plan::PlanAnswer;
use propagule_answer::pool::PoolAnswer;
use propagule_answer::question::{Given, PlanQuestion, PoolQuestion, Scope};
use propagule_bench::KnownGrower;
use propagule_evidence::{Evidence, EvidenceRow, Question, Trust, Whose};
use propagule_files::fault::Fault;

/// What evidence was gathered from and for.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct EvidenceKey {
    fingerprint: [u8; 32],
    taxon: Taxon,
    question: Question,
    scope: Scope,
    /// Trials fall silent as months pass.
    month: Month,
    /// Strangers become known as days pass, and when something is written down about them.
    judged_by: (u32, u64),
}

impl EvidenceKey {
    /// The reader decides which trials are own and, by whom it trusts at home, whose count.
    pub(super) fn new(
        ids: &[RecordId],
        (own, known): (&[AuthorKey], &[KnownGrower]),
        taxon: &Taxon,
        (question, scope): (Question, Scope),
        month: Month,
    ) -> Self {
        let mut hash = Sha256::new();
        for key in own {
            hash.update(key.0);
        }
        for grower in known {
            hash.update(grower.key.0);
            hash.update([u8::from(grower.trusted), u8::from(grower.muted)]);
        }
        for id in ids {
            hash.update(id.0);
        }
        Self {
            fingerprint: hash.finalize().into(),
            taxon: taxon.clone(),
            question,
            scope,
            month,
            judged_by: (0, 0),
        }
    }

    /// The same with what decides how authors stand.
    pub(super) fn judged_by(self, judged_by: (u32, u64)) -> Self {
        Self { judged_by, ..self }
    }
}

/// Evidence, whose it is, and the newest signed month among its records.
#[derive(Clone, Debug)]
pub(super) struct Gathered {
    pub(super) key: EvidenceKey,
    pub(super) evidence: Evidence,
    /// With everybody's records; none where these are everybody's.
    pub(super) everybody: Option<Evidence>,
    /// With strangers, where they were set apart.
    pub(super) with_new: Option<Evidence>,
    /// Who stands behind everybody's records; none where they are not asked for.
    pub(super) behind: Option<StandsBehind>,
    pub(super) whose: Whose,
    pub(super) trust: Trust,
    pub(super) data_until: Option<String>,
}

impl Gathered {
    /// What is given beside a question.
    pub(super) fn given(&self) -> Given {
        Given {
            source: Source::Network,
            whose: self.whose,
            outside: self.outside(),
            behind: self.behind.clone(),
            data_until: self.data_until.clone(),
            species_held: Vec::new(),
            learning: Learning::NotAsked,
        }
    }

    /// Trials that are held of growers other than those asked for.
    fn outside(&self) -> usize {
        let trials = |evidence: &Evidence| {
            evidence
                .rows
                .iter()
                .map(|row| row.trial.as_str())
                .collect::<std::collections::BTreeSet<_>>()
                .len()
        };
        self.everybody.as_ref().map_or(0, |all| trials(all).saturating_sub(trials(&self.evidence)))
    }

    /// Whether nothing of the species is held by anybody.
    pub(super) fn is_empty(&self) -> bool {
        let all = self.everybody.as_ref().or(self.with_new.as_ref()).unwrap_or(&self.evidence);
        all.rows.is_empty() && all.left_out.is_empty()
    }
}

/// What decides an answer: all of the question, and the evidence that it is asked of.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct AnswerKey<Q> {
    pub(super) question: Q,
    pub(super) evidence: EvidenceKey,
    /// The reader's own arms as they stand on the bench, where they count; empty where they do not.
    pub(super) own: Vec<EvidenceRow>,
    /// What other plants teach, as far as it is learnt.
    pub(super) learning: Learning,
}

/// All that a node remembers.
#[derive(Debug, Default)]
pub(super) struct Memos {
    pub(super) evidence: Memo<EvidenceKey, Gathered, 8>,
    pub(super) pool: Memo<AnswerKey<PoolQuestion>, PoolAnswer, 64>,
    pub(super) plan: Memo<AnswerKey<PlanQuestion>, PlanAnswer, 64>,
    pub(super) own: Memo<[u8; 32], Own, 1>,
}

impl Memos {
    /// Forgets all.
    pub(super) fn forget(&self) {
        self.evidence.forget();
        self.pool.forget();
        self.plan.forget();
        self.own.forget();
    }
}

/// The `MOST` values asked for last, by key.
#[derive(Debug)]
pub(super) struct Memo<K, V, const MOST: usize> {
    /// The value asked for last stands last.
    entries: Mutex<Vec<(K, Arc<V>)>>,
}

impl<K, V, const MOST: usize> Default for Memo<K, V, MOST> {
    fn default() -> Self {
        Self { entries: Mutex::default() }
    }
}

impl<K: PartialEq, V, const MOST: usize> Memo<K, V, MOST> {
    /// The value of `key`, worked out when it is not remembered. Nobody waits while it is being worked out.
    pub(super) fn get(&self, key: K, work: impl FnOnce() -> Result<V, Fault>) -> Result<Arc<V>, Fault> {
        if let Some(value) = self.remembered(&key) {
            return Ok(value);
        }
        let value = Arc::new(work()?);
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        entries.retain(|(known, _)| *known != key);
        entries.push((key, Arc::clone(&value)));
        if entries.len() > MOST {
            entries.remove(0);
        }
        Ok(value)
    }

    /// Forgets all.
    fn forget(&self) {
        self.entries.lock().unwrap_or_else(PoisonError::into_inner).clear();
    }

    fn remembered(&self, key: &K) -> Option<Arc<V>> {
        let mut entries = self.entries.lock().unwrap_or_else(PoisonError::into_inner);
        let place = entries.iter().position(|(known, _)| known == key)?;
        let entry = entries.remove(place);
        let value = Arc::clone(&entry.1);
        entries.push(entry);
        Some(value)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_is_worked_out_once_and_the_one_unused_longest_is_dropped() {
        let memo: Memo<u8, u8, 2> = Memo::default();
        let worked = std::cell::Cell::new(0);
        let ask = |key| {
            let work = || {
                worked.set(worked.get() + 1);
                Ok(key * 2)
            };
            *memo.get(key, work).expect("works")
        };
        assert_eq!((ask(1), ask(1), worked.get()), (2, 2, 1));
        assert_eq!((ask(2), ask(1), ask(3), worked.get()), (4, 2, 6, 3));
        assert_eq!((ask(1), worked.get()), (2, 3));
        assert_eq!((ask(2), worked.get()), (4, 4));
    }

    #[test]
    fn what_failed_is_not_remembered() {
        let memo: Memo<u8, u8, 2> = Memo::default();
        assert!(memo.get(1, || Err(Fault::internal(1))).is_err());
        assert_eq!(memo.get(1, || Ok(5)).map(|value| *value), Ok(5));
    }
}
