//! The index over the records journal: a sled tree that can be thrown away and built anew at will.
//!
//! Everything lives in one tree, because one batch is then atomic: rows and the journal position up
//! to which they reach always agree. Batches stay at 100 operations or fewer, since the memory of
//! this library grows with the size of a batch. Its code can panic on damaged files, so every call
//! goes through [`guarded`].

use std::ops::Bound;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use propagule_protocol::Month;
use propagule_protocol::{AuthorKey, RecordId};

use super::HomeId;
use super::keys::{self, Key};
use propagule_files::journal::Position;
use propagule_files::journal::StoreError;

/// Raised whenever rows change; an index of another version is built anew.
const INDEX_VERSION: u16 = 3;
const CACHE_BYTES: u64 = 16 << 20;
const BATCH_OPERATIONS: usize = 100;

/// What the index says of itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Stamp {
    /// The home whose journal it indexes.
    pub home: HomeId,
    /// Journal position up to which it reaches.
    pub reached: Position,
    /// Records in the set.
    pub records: u64,
    /// Bytes of records kept aside.
    pub held_bytes: u64,
}

impl Stamp {
    /// Of an index that holds nothing.
    pub(super) fn new(home: HomeId) -> Self {
        Self { home, reached: Position::default(), records: 0, held_bytes: 0 }
    }
}

/// Changes that become visible together.
#[derive(Debug, Default)]
pub(super) struct Change {
    batch: sled::Batch,
    operations: usize,
}

impl Change {
    pub(super) fn put(&mut self, key: &Key, value: &[u8]) {
        self.batch.insert(key.as_slice(), value);
        self.operations += 1;
    }

    pub(super) fn remove(&mut self, key: &Key) {
        self.batch.remove(key.as_slice());
        self.operations += 1;
    }

    /// Whether another record's rows might take it over the limit.
    pub(super) fn is_full(&self) -> bool {
        self.operations + keys::MOST_ROWS_PER_RECORD > BATCH_OPERATIONS
    }
}

/// The open index.
#[derive(Debug)]
pub(super) struct Index {
    tree: sled::Db,
}

impl Index {
    /// Opens or makes the index in `folder`; any fault, panics included, is an error.
    pub(super) fn open(folder: &Path) -> Result<Self, StoreError> {
        let config = sled::Config::new().path(folder).cache_capacity(CACHE_BYTES).flush_every_ms(Some(2_000));
        Ok(Self { tree: guarded(|| config.open())? })
    }

    /// What the index says of itself; `None` when it is new.
    ///
    /// # Errors
    /// When it cannot be read, or another version made it.
    pub(super) fn stamp(&self) -> Result<Option<Stamp>, StoreError> {
        let Some(bytes) = guarded(|| self.tree.get(keys::stamp()))? else { return Ok(None) };
        let other_version = || StoreError::Index { why: "another version had made it".into() };
        decode_stamp(&bytes).map(Some).ok_or_else(other_version)
    }

    /// Applies `change` together with the stamp, in one step.
    pub(super) fn apply(&self, mut change: Change, stamp: &Stamp) -> Result<(), StoreError> {
        change.batch.insert(keys::stamp().as_slice(), encode_stamp(stamp));
        guarded(|| self.tree.apply_batch(std::mem::take(&mut change.batch)))
    }

    pub(super) fn get(&self, key: &Key) -> Result<Option<sled::IVec>, StoreError> {
        guarded(|| self.tree.get(key))
    }

    pub(super) fn has(&self, key: &Key) -> Result<bool, StoreError> {
        guarded(|| self.tree.contains_key(key))
    }

    /// Every key below `prefix`, in order, without the prefix, with its value.
    pub(super) fn below<T>(
        &self,
        prefix: &Key,
        mut each: impl FnMut(&[u8], &[u8]) -> Option<T>,
    ) -> Result<Vec<T>, StoreError> {
        let cut = prefix.len();
        guarded(|| {
            let rows = self.tree.scan_prefix(prefix);
            let kept = rows.filter_map(|row| row.map(|(key, value)| each(&key[cut..], &value)).transpose());
            kept.collect()
        })
    }

    /// The first keys below `prefix` that come after `after`, at most `limit` of them, without the prefix.
    pub(super) fn next_below(&self, prefix: &Key, after: &Key, limit: usize) -> Result<Vec<Key>, StoreError> {
        guarded(|| {
            let behind = (Bound::Excluded(after.clone()), Bound::Unbounded);
            let rows = self.tree.range(behind).keys().take(limit);
            let below = |key: &sled::IVec| key.starts_with(prefix).then(|| key[prefix.len()..].to_vec());
            rows.map_while(|key| key.map(|key| below(&key)).transpose()).collect()
        })
    }

    /// Record ids below `prefix`, where the id ends the key.
    pub(super) fn ids_below(&self, prefix: &Key) -> Result<Vec<RecordId>, StoreError> {
        self.below(prefix, |rest, _| super::values::id_at_end(rest))
    }

    /// Ids of the summaries at one author, series and revision, rising.
    pub(super) fn rivals(
        &self,
        author: &AuthorKey,
        series: &[u8; 16],
        revision: u8,
    ) -> Result<Vec<RecordId>, StoreError> {
        self.ids_below(&keys::revision(author, series, revision))
    }

    /// Count and id sum of every month.
    pub(super) fn months(&self) -> Result<Vec<(Month, u32, [u8; 32])>, StoreError> {
        self.below(&keys::month_sums(), |month, value| {
            let month = Month(u16::from_be_bytes(month.try_into().ok()?));
            let (count, sum) = value.split_at_checked(4)?;
            Some((month, u32::from_be_bytes(count.try_into().ok()?), sum.try_into().ok()?))
        })
    }

    /// Writes what is in memory to disk.
    pub(super) fn flush(&self) -> Result<(), StoreError> {
        guarded(|| self.tree.flush()).map(|_| ())
    }
}

/// Runs `work`, turning errors and panics of the index library into errors of ours.
fn guarded<T>(work: impl FnOnce() -> sled::Result<T>) -> Result<T, StoreError> {
    match catch_unwind(AssertUnwindSafe(work)) {
        Ok(Ok(value)) => Ok(value),
        Ok(Err(error)) => Err(StoreError::Index { why: error.to_string() }),
        Err(_) => Err(StoreError::Index { why: "its library stopped on damaged data".into() }),
    }
}

fn encode_stamp(stamp: &Stamp) -> Vec<u8> {
    let mut out = INDEX_VERSION.to_be_bytes().to_vec();
    out.extend_from_slice(&stamp.home.0);
    out.extend_from_slice(&stamp.reached.segment.to_be_bytes());
    out.extend_from_slice(&stamp.reached.offset.to_be_bytes());
    out.extend_from_slice(&stamp.records.to_be_bytes());
    out.extend_from_slice(&stamp.held_bytes.to_be_bytes());
    out
}

fn decode_stamp(bytes: &[u8]) -> Option<Stamp> {
    if bytes.len() != 42 || bytes[..2] != INDEX_VERSION.to_be_bytes() {
        return None;
    }
    Some(Stamp {
        home: HomeId(bytes[2..18].try_into().ok()?),
        reached: Position {
            segment: u32::from_be_bytes(bytes[18..22].try_into().ok()?),
            offset: u32::from_be_bytes(bytes[22..26].try_into().ok()?),
        },
        records: u64::from_be_bytes(bytes[26..34].try_into().ok()?),
        held_bytes: u64::from_be_bytes(bytes[34..42].try_into().ok()?),
    })
}
