//! The records of a home: a journal that is the truth, and an index that can be built anew.
//!
//! Order of every intake: journal, flush to disk, index, acknowledge. Nothing that exists only in the
//! index matters. What a node holds in its set depends on the bytes of records and on other records
//! only, never on the order of arrival.

mod error;
mod frame;
mod index;
mod journal;
mod keys;
mod months;
mod query;
mod reader;
mod recover;
mod rows;
mod segment;

use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError, RwLock};

use propagule_protocol::{NetworkId, RecordId, Signed};

pub use error::StoreError;
pub use journal::Damage;
pub(crate) use journal::Journal;
pub use months::MonthRow;
#[cfg(test)]
pub(crate) use months::MonthSums;

use index::{Index, Stamp};
use journal::Position;
#[cfg(not(test))]
use months::MonthSums;
use reader::Reader;
use recover::{merge, open_index};
use rows::{FrameKind, Rows};

/// Version of the files in a home.
pub const FORMAT_VERSION: u16 = 1;
/// Size from which a journal goes on in a new segment.
pub const SEGMENT_BYTES: u64 = 64 << 20;

/// Random name of a home, in every segment of its journals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HomeId(pub [u8; 16]);

/// Which of the two journals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum JournalKind {
    /// Private bench events.
    Bench,
    /// Signed records.
    Records,
}

impl JournalKind {
    pub(crate) fn stem(self) -> &'static str {
        match self {
            Self::Bench => "bench",
            Self::Records => "records",
        }
    }

    fn code(self) -> u8 {
        match self {
            Self::Bench => b'B',
            Self::Records => b'R',
        }
    }
}

/// A judged record on its way in.
#[derive(Clone, Debug)]
pub enum Arrival {
    /// For the set.
    Accepted {
        /// The record.
        signed: Box<Signed>,
        /// Signed in this home, so it must reach the network.
        is_own: bool,
    },
    /// To be kept aside until it can be judged: by a newer version, or in a later month.
    Aside {
        /// Its id.
        id: RecordId,
        /// Its bytes.
        bytes: Vec<u8>,
    },
}

/// What became of one arrival.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Intake {
    /// Now in the set.
    New,
    /// Was here already.
    Known,
    /// Kept aside for a newer version of the program or a later month.
    Held,
    /// A third record at one author, series and revision: remembered, not in the set.
    Surplus,
}

/// What opening a store found.
#[derive(Clone, Debug, Default)]
pub struct OpenReport {
    /// Damaged stretches of the journal.
    pub damage: Vec<Damage>,
    /// Why the index was built anew, if it was.
    pub rebuilt: Option<String>,
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
    held_limit_bytes: u64,
}

#[derive(Debug)]
struct Writer {
    journal: Journal,
    stamp: Stamp,
    held_bytes: u64,
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
        let (index, mut rebuilt) = open_index(folder, home, &journal)?;
        let stamp = index.stamp()?.unwrap_or(Stamp { home, reached: Position::default(), records: 0 });
        let store = Self {
            network,
            folder: folder.into(),
            home,
            reader: Reader::new(&records, JournalKind::Records, home),
            index: RwLock::new(index),
            months: RwLock::default(),
            writer: Mutex::new(Writer { journal, stamp, held_bytes: 0 }),
            held_limit_bytes: quota_bytes / 10,
        };
        let mut writer = store.writer();
        match store.catch_up(&mut writer) {
            Ok(found) => merge(&mut damage, found),
            Err(StoreError::Index { why }) => {
                merge(&mut damage, store.rebuild(&mut writer)?);
                rebuilt = Some(why);
            }
            Err(other) => return Err(other),
        }
        drop(writer);
        Ok((store, OpenReport { damage, rebuilt }))
    }

    /// Takes in a batch with one flush to disk; every answer is final once this returns.
    ///
    /// # Errors
    /// A failed write; then nothing of the batch counts as taken in.
    pub fn append(&self, batch: &[Arrival]) -> Result<Vec<Intake>, StoreError> {
        let mut writer = self.writer();
        let plan = self.with_index(&mut writer, |index| rows::plan(index, batch))?;
        let frames = rows::frames(batch, &plan, self.held_limit_bytes.saturating_sub(writer.held_bytes));
        if frames.is_empty() {
            return Ok(vec![Intake::Known; batch.len()]);
        }
        let views: Vec<(u8, &[u8])> =
            frames.iter().map(|frame| (frame.kind.code(), &frame.body[..])).collect();
        let positions = writer.journal.append(&views)?;
        let mut outcomes = vec![Intake::Known; batch.len()];
        let mut rows = Rows::default();
        let indexed = frames.iter().zip(&positions).try_for_each(|(frame, &position)| {
            outcomes[frame.arrival] =
                self.index_frame(&mut writer, &mut rows, position, frame.kind, &frame.body)?;
            Ok(())
        });
        if let Err(StoreError::Index { .. }) = indexed.and_then(|()| self.apply(&mut writer, &mut rows)) {
            // The records are safe in the journal; only what is derived from it broke.
            self.rebuild(&mut writer)?;
            self.judge_again(batch, &mut outcomes)?;
        }
        Ok(outcomes)
    }

    /// Notes that an own record has been handed to the network.
    pub fn mark_handed_on(&self, id: &RecordId) -> Result<(), StoreError> {
        let mut writer = self.writer();
        let positions = writer.journal.append(&[(FrameKind::HandedOn.code(), &id.0)])?;
        let mut rows = Rows::default();
        self.index_frame(&mut writer, &mut rows, positions[0], FrameKind::HandedOn, &id.0)?;
        self.apply(&mut writer, &mut rows)
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
        let positions = self.index().below(&keys::all_aside(), |_, value| rows::decode_position(value))?;
        let mut released = 0;
        for position in positions {
            let Some((_, body)) = self.reader.read(position)? else { continue };
            let bytes = body.get(32..).filter(|bytes| !bytes.is_empty());
            if let Some(signed) = bytes.and_then(&judge) {
                self.release(&signed)?;
                released += 1;
            }
        }
        let writer = self.writer();
        let mut change = index::Change::default();
        change.put(&keys::judged_aside(), occasion.as_bytes());
        self.index().apply(change, &writer.stamp)?;
        Ok(released)
    }

    /// Moves a record that was kept aside into the set.
    fn release(&self, signed: &Signed) -> Result<(), StoreError> {
        let mut writer = self.writer();
        let positions = writer.journal.append(&[(FrameKind::Record.code(), &signed.bytes)])?;
        let mut rows = Rows::default();
        self.index_frame(&mut writer, &mut rows, positions[0], FrameKind::Record, &signed.bytes)?;
        self.apply(&mut writer, &mut rows)
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
        let intake = rows.add(&self.index(), &mut months, &self.network, position, kind, body)?;
        writer.held_bytes += if intake == Intake::Held { body.len() as u64 } else { 0 };
        Ok(intake)
    }

    fn apply(&self, writer: &mut Writer, rows: &mut Rows) -> Result<(), StoreError> {
        let Some((change, reached, added)) = rows.take() else { return Ok(()) };
        writer.stamp.reached = reached;
        writer.stamp.records = writer.stamp.records.saturating_add_signed(added);
        self.index().apply(change, &writer.stamp)
    }

    /// After a rebuild in the middle of a batch: what each arrival has become.
    fn judge_again(&self, batch: &[Arrival], outcomes: &mut [Intake]) -> Result<(), StoreError> {
        for (arrival, outcome) in batch.iter().zip(outcomes) {
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

impl Arrival {
    /// The record's id.
    pub fn id(&self) -> &RecordId {
        match self {
            Self::Accepted { signed, .. } => &signed.id,
            Self::Aside { id, .. } => id,
        }
    }
}

/// Calls `each` with kind and body of every whole frame of a journal.
pub(crate) fn replay_all(
    folder: &Path,
    kind: JournalKind,
    home: HomeId,
    mut each: impl FnMut(u8, &[u8]),
) -> Result<Vec<Damage>, StoreError> {
    journal::replay(folder, kind, home, Position::default(), |_, kind, body| {
        each(kind, body);
        Ok(())
    })
}

#[cfg(test)]
#[path = "store_tests.rs"]
mod tests;
