//! The records of a home: a journal that is the truth, and an index that can be built anew.
//!
//! Order of every intake: journal, flush to disk, index, acknowledge. Nothing that exists only in the
//! index matters. What a node holds in its set depends on the bytes of records and on other records
//! only, never on the order of arrival.

mod arrivals;
mod index;
mod keys;
mod losses;
mod memory;
mod query;
mod records;
mod recover;
mod rows;
mod tidy;
mod values;
mod verify;

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError, RwLock};

use propagule_files::journal::{
    Damage, HomeId, Journal, JournalKind, Position, Reader, SEGMENT_BYTES, StoreError, segment,
};
use propagule_protocol::{NetworkId, RecordId, Signed};

pub use crate::months::{MonthRow, MonthSums};
pub use arrivals::{Arrival, Intake};
pub use losses::Loss;
pub use memory::Memory;
pub use records::Records;
pub use tidy::Tidied;
pub use verify::Verified;
pub use verify::check_bench;

use arrivals::{FrameKind, Room};
use index::{Index, Stamp};
use recover::{Opened, lost_behind, merge, open_index};
use rows::Rows;

use crate::limits::HELD_SHARE;
use crate::spread::Stage;

/// What opening a store found.
#[derive(Clone, Debug, Default)]
pub struct OpenReport {
    /// Damaged stretches of the journal.
    pub damage: Vec<Damage>,
    /// Why the index was built anew, if it was.
    pub rebuilt: Option<String>,
    /// What is lost and has not come back, this time and before.
    pub losses: Vec<Loss>,
}

/// The open store of a home.
#[derive(Debug)]
pub struct Store {
    network: NetworkId,
    folder: PathBuf,
    home: HomeId,
    reader: Reader,
    index: RwLock<Index>,
    writer: Mutex<Writer>,
    months: RwLock<MonthSums>,
    quota_bytes: u64,
}

#[derive(Debug)]
struct Writer {
    journal: Journal,
    stamp: Stamp,
}

impl Store {
    /// Opens the store below `folder`, making it where there is none.
    pub fn open(
        folder: &Path,
        home: HomeId,
        network: NetworkId,
        quota_bytes: u64,
    ) -> Result<(Self, OpenReport), StoreError> {
        let records = folder.join("records");
        let (journal, mut damage) = Journal::open(&records, JournalKind::Records, home, SEGMENT_BYTES)?;
        let Opened { index, why: mut rebuilt, ahead } = open_index(folder, home, &journal)?;
        damage.extend(ahead.and_then(|reached| lost_behind(journal.end(), reached, &damage)));
        let stamp = index.stamp()?.unwrap_or_else(|| Stamp::new(home));
        let store = Self {
            network,
            folder: folder.into(),
            home,
            reader: Reader::new(&records, JournalKind::Records, home),
            index: RwLock::new(index),
            months: RwLock::default(),
            writer: Mutex::new(Writer { journal, stamp }),
            quota_bytes,
        };
        let mut writer = store.writer();
        let is_blind = rebuilt.is_some() && ahead.is_none();
        let named = store.name_losses(&damage, is_blind)?;
        if named.is_new || ahead.is_some() {
            merge(&mut damage, store.rebuild(&mut writer)?);
            rebuilt = Some("records are lost; they are wanted from peers again".to_owned());
        }
        match store.catch_up(&mut writer) {
            Ok(found) => merge(&mut damage, found),
            Err(StoreError::Index { why }) => {
                merge(&mut damage, store.rebuild(&mut writer)?);
                rebuilt = Some(why);
            }
            Err(other) => return Err(other),
        }
        drop(writer);
        let losses = store.losses()?;
        Ok((store, OpenReport { damage, rebuilt, losses }))
    }

    /// Takes in a batch with one flush to disk; every answer is final once this returns.
    ///
    /// # Errors
    /// A failed write; then nothing of the batch counts as taken in.
    pub fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        let mut writer = self.writer();
        let plan = self.with_index(&mut writer, |index| arrivals::plan(index, batch))?;
        let (frames, dropped) = arrivals::frames(batch, &plan, self.room(&writer));
        let mut outcomes = vec![Intake::Known; batch.len()];
        for arrival in dropped {
            outcomes[arrival] = Intake::Dropped;
        }
        if frames.is_empty() {
            return Ok(outcomes);
        }
        let views: Vec<(u8, &[u8])> =
            frames.iter().map(|frame| (frame.kind.code(), &frame.body[..])).collect();
        let positions = writer.journal.append(&views)?;
        let mut rows = Rows::default();
        let indexed = frames.iter().zip(&positions).try_for_each(|(frame, &position)| {
            let intake = self.index_frame(&mut writer, &mut rows, position, frame.kind, &frame.body)?;
            if frame.kind != FrameKind::Stage {
                outcomes[frame.arrival] = intake;
            }
            Ok(())
        });
        if let Err(StoreError::Index { .. }) = indexed.and_then(|()| self.apply(&mut writer, &mut rows)) {
            // The records are safe in the journal; only what is derived from it broke.
            self.rebuild(&mut writer)?;
            self.judge_again(batch, &mut outcomes)?;
        }
        Ok(outcomes)
    }

    /// Bytes that may still be written.
    fn room(&self, writer: &Writer) -> Room {
        let all = self.quota_bytes.saturating_sub(writer.journal.bytes());
        Room { all, held: (self.quota_bytes / HELD_SHARE).saturating_sub(writer.stamp.held_bytes) }
    }

    /// Bytes of the journal, and how many it may have.
    pub fn disk(&self) -> (u64, u64) {
        (self.writer().journal.bytes(), self.quota_bytes)
    }

    /// Writes down how far an own record has come.
    ///
    /// # Errors
    /// A failed write.
    pub fn note_stage(&self, id: &RecordId, stage: Stage) -> Result<(), StoreError> {
        self.put_frame(FrameKind::Stage, &[&id.0[..], &stage.encode()].concat())
    }

    /// Notes that everybody may have an own record now.
    ///
    /// # Errors
    /// A failed write.
    pub fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError> {
        self.put_frame(FrameKind::HandedOn, &id.0)
    }

    fn put_frame(&self, kind: FrameKind, body: &[u8]) -> Result<(), StoreError> {
        let mut writer = self.writer();
        let positions = writer.journal.append(&[(kind.code(), body)])?;
        let mut rows = Rows::default();
        let indexed = self
            .index_frame(&mut writer, &mut rows, positions[0], kind, body)
            .and_then(|_| self.apply(&mut writer, &mut rows));
        match indexed {
            // The frame is safe in the journal; only what is derived from it broke.
            Err(StoreError::Index { .. }) => self.rebuild(&mut writer).map(|_| ()),
            other => other,
        }
    }

    /// Judges the records kept aside again with `judge`, once for each `occasion`.
    ///
    /// # Errors
    /// When the store fails; then they are judged again next time.
    pub fn judge_aside(
        &self,
        occasion: &str,
        judge: impl Fn(&[u8]) -> Option<Signed>,
    ) -> Result<usize, StoreError> {
        if self.index().get(&keys::judged_aside())?.is_some_and(|last| *last == *occasion.as_bytes()) {
            return Ok(0);
        }
        let aside = self.index().below(&keys::all_aside(), |_, value| values::decode_aside(value))?;
        let mut released = 0;
        for (position, _) in aside {
            let Some((_, body)) = self.reader.read(position)? else { continue };
            let bytes = body.get(32..).filter(|bytes| !bytes.is_empty());
            if let Some(signed) = bytes.and_then(&judge) {
                self.put_frame(FrameKind::Record, &signed.bytes)?;
                released += 1;
            }
        }
        let writer = self.writer();
        let mut change = index::Change::default();
        change.put(&keys::judged_aside(), occasion.as_bytes());
        self.index().apply(change, &writer.stamp)?;
        Ok(released)
    }

    /// Writes the index to disk; the journal always is.
    pub fn flush(&self) -> Result<(), StoreError> {
        self.index().flush()
    }

    fn writer(&self) -> MutexGuard<'_, Writer> {
        self.writer.lock().unwrap_or_else(PoisonError::into_inner)
    }

    fn index(&self) -> std::sync::RwLockReadGuard<'_, Index> {
        self.index.read().unwrap_or_else(PoisonError::into_inner)
    }

    /// Runs `work` on the index, once more on a new one if it breaks.
    fn with_index<T>(
        &self,
        writer: &mut Writer,
        work: impl Fn(&Index) -> Result<T, StoreError>,
    ) -> Result<T, StoreError> {
        let first = work(&self.index());
        if !matches!(first, Err(StoreError::Index { .. })) {
            return first;
        }
        self.rebuild(writer)?;
        work(&self.index())
    }

    fn index_frame(
        &self,
        writer: &mut Writer,
        rows: &mut Rows,
        position: Position,
        kind: FrameKind,
        body: &[u8],
    ) -> Result<Intake, StoreError> {
        if rows.is_full() {
            self.apply(writer, rows)?;
        }
        let mut months = self.months.write().unwrap_or_else(PoisonError::into_inner);
        rows.add(&self.index(), &mut months, &self.network, position, kind, body)
    }

    fn apply(&self, writer: &mut Writer, rows: &mut Rows) -> Result<(), StoreError> {
        let Some(taken) = rows.take() else { return Ok(()) };
        writer.stamp.reached = taken.reached;
        writer.stamp.records = writer.stamp.records.saturating_add_signed(taken.added);
        writer.stamp.held_bytes = writer.stamp.held_bytes.saturating_add_signed(taken.held);
        self.index().apply(taken.change, &writer.stamp)
    }

    /// After a rebuild in the middle of a batch: what each arrival has become.
    fn judge_again(&self, batch: &[Arrival], outcomes: &mut [Intake]) -> Result<(), StoreError> {
        for (arrival, outcome) in batch.iter().zip(outcomes).filter(|(_, one)| **one != Intake::Dropped) {
            let aside = self.index().has(&keys::aside(arrival.id()))?;
            *outcome = match arrival {
                Arrival::Aside { .. } => Intake::Held,
                Arrival::Accepted { .. } if aside => Intake::Surplus,
                Arrival::Accepted { .. } => Intake::New,
            };
        }
        Ok(())
    }
}

#[cfg(test)]
#[path = "store_tests.rs"]
mod tests;

impl Store {
    /// Whether writing here made the home one of a newer format.
    pub fn has_raised(&self) -> bool {
        self.writer().journal.has_raised()
    }
}
