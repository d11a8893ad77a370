//! What the network needs of a store, so that one on disk and one in memory can serve a node.

use std::collections::{HashMap, HashSet};
use std::fmt::Debug;

use propagule_protocol::{AuthorKey, Month, RecordId};

use super::{Arrival, Intake, MonthRow, Store, StoreError};
use crate::admission::AuthorRange;
use crate::spread::Stage;
use crate::sync::LocalSet;

/// A store of records, as the network sees it.
pub trait Records: LocalSet + Debug + Send + Sync {
    /// Takes in a batch; every answer is final once this returns.
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError>;
    /// The bytes of any record, hidden or not.
    fn own_bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError>;
    /// Own records that are not done with.
    fn outbox(&self) -> Result<Vec<(RecordId, Stage)>, StoreError>;
    /// Writes down how far an own record has come.
    fn note_stage(&self, id: &RecordId, stage: Stage) -> Result<(), StoreError>;
    /// Notes that everybody may have an own record now.
    fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError>;
    /// Bytes that records take on disk, and how many they may.
    fn disk(&self) -> (u64, u64);
    /// Whether summaries of an author are held.
    fn holds_author(&self, author: &AuthorKey) -> Result<bool, StoreError>;
    /// Bytes that the records of each author take.
    fn sizes(&self) -> Result<HashMap<AuthorKey, u64>, StoreError>;
    /// Leaves every record out that these authors signed and that is none of this home's own.
    fn drop_authors(&self, authors: &HashSet<AuthorKey>) -> Result<(), StoreError>;
}

impl LocalSet for Store {
    fn months(&self) -> Vec<MonthRow> {
        Self::months(self)
    }

    fn month(&self, month: Month) -> Option<MonthRow> {
        Self::month(self, month)
    }

    fn ids_in_month(&self, month: Month) -> Result<Vec<RecordId>, StoreError> {
        Self::ids_in_month(self, month)
    }

    fn ids_in_month_within(&self, month: Month, range: AuthorRange) -> Result<Vec<RecordId>, StoreError> {
        Self::ids_in_month_within(self, month, range)
    }

    fn ids_of_author(&self, author: &AuthorKey) -> Result<Vec<RecordId>, StoreError> {
        Self::ids_of_author(self, author)
    }

    fn knows(&self, id: &RecordId) -> Result<bool, StoreError> {
        Self::knows(self, id)
    }

    fn bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        self.public_bytes(id)
    }
}

impl Records for Store {
    fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        Self::append(self, batch)
    }

    fn own_bytes(&self, id: &RecordId) -> Result<Option<Vec<u8>>, StoreError> {
        Self::bytes(self, id)
    }

    fn outbox(&self) -> Result<Vec<(RecordId, Stage)>, StoreError> {
        Self::outbox(self)
    }

    fn note_stage(&self, id: &RecordId, stage: Stage) -> Result<(), StoreError> {
        Self::note_stage(self, id, stage)
    }

    fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError> {
        Self::mark_handed_on(self, id)
    }

    fn disk(&self) -> (u64, u64) {
        Self::disk(self)
    }

    fn holds_author(&self, author: &AuthorKey) -> Result<bool, StoreError> {
        Self::holds_author(self, author)
    }

    fn sizes(&self) -> Result<HashMap<AuthorKey, u64>, StoreError> {
        Self::sizes(self)
    }

    fn drop_authors(&self, authors: &HashSet<AuthorKey>) -> Result<(), StoreError> {
        Self::drop_authors(self, authors).map(|_| ())
    }
}
