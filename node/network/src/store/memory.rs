//! A store that lives in memory, for many nodes in one process: the same rules, nothing on disk.

use std::collections::{BTreeMap, HashMap, HashSet};
use std::sync::{Mutex, MutexGuard, PoisonError};

use propagule_protocol::{AuthorKey, Month, RecordId, Signed};

use super::rows::RIVALS_KEPT;
use super::{Arrival, Intake, MonthRow, MonthSums, Records, StoreError};
use crate::admission::AuthorRange;
use crate::spread::Stage;
use crate::sync::LocalSet;

/// Author, series and revision.
type Place = (AuthorKey, [u8; 16], u8);

/// Records in memory.
#[derive(Debug)]
pub struct Memory {
    quota_bytes: u64,
    inner: Mutex<Inner>,
}

#[derive(Debug, Default)]
struct Inner {
    bytes: u64,
    months: MonthSums,
    by_month: BTreeMap<Month, HashSet<RecordId>>,
    records: HashMap<RecordId, (Month, AuthorKey, Vec<u8>)>,
    rivals: HashMap<Place, Vec<RecordId>>,
    aside: HashSet<RecordId>,
    /// Bytes of each author's records.
    sizes: HashMap<AuthorKey, u64>,
    outbox: BTreeMap<RecordId, Stage>,
}

impl Memory {
    /// Holds nothing yet, and at most so many bytes of records.
    pub fn new(quota_bytes: u64) -> Self {
        Self { quota_bytes, inner: Mutex::default() }
    }

    /// Number of records in the set.
    pub fn count(&self) -> u64 {
        self.lock().months.total()
    }

    fn lock(&self) -> MutexGuard<'_, Inner> {
        self.inner.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Inner {
    fn knows(&self, id: &RecordId) -> bool {
        self.records.contains_key(id) || self.aside.contains(id)
    }

    fn take(&mut self, arrival: &Arrival, quota: u64) -> Intake {
        let (id, is_own, length) = match arrival {
            Arrival::Accepted { signed, own } => (signed.id, own.is_some(), signed.bytes.len() as u64),
            Arrival::Aside { id, .. } => (*id, false, 0),
        };
        if self.knows(&id) {
            return Intake::Known;
        }
        if !is_own && self.bytes + length > quota {
            return Intake::Dropped;
        }
        self.bytes += length;
        match arrival {
            Arrival::Aside { id, .. } => {
                self.aside.insert(*id);
                Intake::Held
            }
            Arrival::Accepted { signed, own } => self.admit(signed, *own),
        }
    }

    fn admit(&mut self, signed: &Signed, own: Option<Stage>) -> Intake {
        let month = signed.body.head().signed;
        *self.sizes.entry(signed.author).or_default() += signed.bytes.len() as u64;
        self.records.insert(signed.id, (month, signed.author, signed.bytes.clone()));
        if let Some(summary) = signed.body.summary() {
            let rivals = self.rivals.entry((signed.author, summary.series, summary.revision)).or_default();
            rivals.push(signed.id);
            rivals.sort_unstable();
            if rivals.len() > RIVALS_KEPT
                && let Some(surplus) = rivals.pop()
            {
                self.aside.insert(surplus);
                if surplus == signed.id {
                    return Intake::Surplus;
                }
                self.put_aside(&surplus);
            }
        }
        if let Some(stage) = own {
            self.outbox.insert(signed.id, stage);
        }
        if !own.is_some_and(Stage::is_hidden) {
            self.show(signed.id);
        }
        Intake::New
    }

    fn show(&mut self, id: RecordId) {
        let Some((month, ..)) = self.records.get(&id) else { return };
        self.months.add(*month, &id);
        self.by_month.entry(*month).or_default().insert(id);
    }

    fn put_aside(&mut self, id: &RecordId) {
        let Some((month, ..)) = self.records.get(id) else { return };
        if !self.outbox.remove(id).is_some_and(Stage::is_hidden) {
            self.months.take(*month, id);
            self.by_month.entry(*month).or_default().remove(id);
        }
    }

    fn set_stage(&mut self, id: &RecordId, stage: Option<Stage>) {
        let Some(before) = self.outbox.remove(id) else { return };
        if let Some(stage) = stage {
            self.outbox.insert(*id, stage);
        }
        if before.is_hidden() && !stage.is_some_and(Stage::is_hidden) {
            self.show(*id);
        }
    }
}

impl LocalSet for Memory {
    fn months(&self) -> Vec<MonthRow> {
        self.lock().months.rows()
    }

    fn month(&self, month: Month) -> Option<MonthRow> {
        self.lock().months.row(month)
    }

    fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
        let inner = self.lock();
        let mut ids: Vec<RecordId> = inner.by_month.get(&month).into_iter().flatten().copied().collect();
        ids.sort_unstable();
        Ok(ids)
    }

    fn ids_in_month_within(&self, month: Month, range: AuthorRange) -> Result<Vec<RecordId>, StoreError> {
        let inner = self.lock();
        let lies_in =
            |id: &&RecordId| inner.records.get(*id).is_some_and(|(_, author, _)| range.holds(author));
        let mut ids: Vec<RecordId> =
            inner.by_month.get(&month).into_iter().flatten().filter(lies_in).copied().collect();
        ids.sort_unstable();
        Ok(ids)
    }

    fn ids_of_author(&self, author: &AuthorKey) -> Result<Vec<RecordId>, StoreError> {
        let inner = self.lock();
        let is_public =
            |id: &RecordId, month: &Month| inner.by_month.get(month).is_some_and(|ids| ids.contains(id));
        let of = inner.records.iter().filter(|(id, (month, by, _))| by == author && is_public(id, month));
        let mut ids: Vec<RecordId> = of.map(|(id, _)| *id).collect();
        ids.sort_unstable();
        Ok(ids)
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Ok(self.lock().knows(id))
    }

    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        let is_hidden = self.lock().outbox.get(id).is_some_and(|stage| stage.is_hidden());
        if is_hidden { Ok(None) } else { self.own_bytes(id) }
    }
}

impl Records for Memory {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        let mut inner = self.lock();
        Ok(batch.iter().map(|arrival| inner.take(arrival, self.quota_bytes)).collect())
    }

    fn own_bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Ok(self.lock().records.get(id).map(|(.., bytes)| bytes.clone()))
    }

    fn outbox(&self) -> Result<Vec<(RecordId, Stage)>, StoreError> {
        Ok(self.lock().outbox.iter().map(|(id, stage)| (*id, *stage)).collect())
    }

    fn note_stage(&self, id: &RecordId, stage: Stage) -> Result<(), StoreError> {
        self.lock().set_stage(id, Some(stage));
        Ok(())
    }

    fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError> {
        self.lock().set_stage(id, None);
        Ok(())
    }

    fn disk(&self) -> (u64, u64) {
        (self.lock().bytes, self.quota_bytes)
    }

    fn holds_author(&self, author: &AuthorKey) -> Result<bool, StoreError> {
        Ok(self.lock().sizes.contains_key(author))
    }

    fn sizes(&self) -> Result<HashMap<AuthorKey, u64>, StoreError> {
        Ok(self.lock().sizes.clone())
    }

    fn drop_authors(&self, authors: &HashSet<AuthorKey>) -> Result<(), StoreError> {
        let mut inner = self.lock();
        let goes =
            |id: &RecordId, author: &AuthorKey| !inner.outbox.contains_key(id) && authors.contains(author);
        let gone = inner.records.iter().filter(|(id, (_, author, _))| goes(id, author));
        let gone: Vec<RecordId> = gone.map(|(id, _)| *id).collect();
        for id in gone {
            inner.put_aside(&id);
            if let Some((_, author, bytes)) = inner.records.remove(&id) {
                inner.bytes -= bytes.len() as u64;
                inner.sizes.remove(&author);
            }
        }
        inner.rivals.retain(|(author, ..), _| !authors.contains(author));
        Ok(())
    }
}
