//! Bringing the index up to the journal, and building it anew when it is missing or broken.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::PoisonError;

use super::arrivals::FrameKind;
use super::index::{Index, Stamp};
use super::rows::Rows;
use super::{Damage, HomeId, Journal, JournalKind, SEGMENT_BYTES, Store, StoreError, Writer};
use crate::months::MonthSums;
use propagule_files::journal::{self, Position};

impl Store {
    /// Indexes every journal frame that the index does not reach yet.
    pub(super) fn catch_up(&self, writer: &mut Writer) -> Result<Vec<Damage>, StoreError> {
        let known = self.index().months()?;
        *self.months.write().unwrap_or_else(PoisonError::into_inner) = MonthSums::from_rows(known);
        let from = writer.stamp.reached;
        let mut rows = Rows::default();
        let folder = self.folder.join("records");
        let damage =
            journal::replay(&folder, JournalKind::Records, self.home, from, |position, kind, body| {
                let Some(kind) = FrameKind::from_code(kind) else { return Ok(()) };
                self.index_frame(writer, &mut rows, position, kind, body).map(|_| ())
            })?;
        self.apply(writer, &mut rows)?;
        if self.count() != writer.stamp.records {
            return Err(StoreError::Index { why: "its counts disagree".into() });
        }
        Ok(damage)
    }

    /// Takes the journal as it is on disk and the index as far as it goes, whatever was in memory: for after a fault of
    /// the program.
    ///
    /// # Errors
    /// When its files cannot be read.
    pub fn read_again(&self) -> Result<(), StoreError> {
        let mut writer = self.writer();
        let folder = self.folder.join("records");
        let (journal, _) = Journal::open(&folder, JournalKind::Records, self.home, SEGMENT_BYTES)?;
        writer.journal = journal;
        writer.stamp = self.index().stamp()?.unwrap_or_else(|| Stamp::new(self.home));
        match self.catch_up(&mut writer) {
            Err(StoreError::Index { .. }) => self.rebuild(&mut writer).map(|_| ()),
            other => other.map(|_| ()),
        }
    }

    /// Throws the index away and builds it from the journal.
    pub(super) fn rebuild(&self, writer: &mut Writer) -> Result<Vec<Damage>, StoreError> {
        *self.index.write().unwrap_or_else(PoisonError::into_inner) = new_index(&self.folder)?;
        writer.stamp = Stamp::new(self.home);
        self.catch_up(writer)
    }
}

/// Adds damage that was not named yet.
pub(super) fn merge(damage: &mut Vec<Damage>, found: Vec<Damage>) {
    for stretch in found {
        if !damage.iter().any(|known| known.file == stretch.file && known.from == stretch.from) {
            damage.push(stretch);
        }
    }
}

/// How the index that was found stands to the journal.
pub(super) struct Opened {
    pub(super) index: Index,
    /// Why it has to be built anew, or already is.
    pub(super) why: Option<String>,
    /// Where it reached, when the journal now ends before that.
    pub(super) ahead: Option<Position>,
}

/// Opens the newest index, or a new one where that one is broken or not of this journal.
///
/// One that reaches beyond the journal's end is handed back as it is: it knows what is lost.
pub(super) fn open_index(folder: &Path, home: HomeId, journal: &Journal) -> Result<Opened, StoreError> {
    let new = |why| Ok(Opened { index: new_index(folder)?, why, ahead: None });
    let Some(number) = index_numbers(folder).into_iter().next_back() else {
        return new((journal.end() > Position::first()).then(|| "it was missing".to_owned()));
    };
    let opened = Index::open(&index_path(folder, number)).and_then(|index| {
        let stamp = index.stamp()?;
        Ok((index, stamp))
    });
    match opened {
        Ok((_, Some(stamp))) if stamp.home != home => new(Some("it does not fit the journal".to_owned())),
        Ok((index, Some(stamp))) if stamp.reached > journal.end() => {
            let why = "the journal ends before what it had indexed".to_owned();
            Ok(Opened { index, why: Some(why), ahead: Some(stamp.reached) })
        }
        Ok((index, _)) => Ok(Opened { index, why: None, ahead: None }),
        Err(StoreError::Index { why }) => new(Some(why)),
        Err(other) => Err(other),
    }
}

/// What is lost when the index reached beyond the journal's end and nothing else says so.
pub(super) fn lost_behind(end: Position, reached: Position, damage: &[Damage]) -> Option<Damage> {
    if damage.iter().any(|one| one.is_loss) {
        return None;
    }
    let path = journal::segment::path(Path::new(""), JournalKind::Records, end.segment);
    let to = if reached.segment == end.segment { reached.offset } else { u32::MAX };
    Some(Damage {
        file: path.display().to_string(),
        from: end.offset.into(),
        to: to.into(),
        moved_to: None,
        is_loss: true,
    })
}

/// A new index in a folder of its own, since a broken one may still hold its lock; old ones go.
fn new_index(folder: &Path) -> Result<Index, StoreError> {
    let old = index_numbers(folder);
    let next = old.last().map_or(1, |last| last + 1);
    let index = Index::open(&index_path(folder, next))?;
    for number in old {
        let path = index_path(folder, number);
        if let Err(e) = fs::remove_dir_all(&path) {
            tracing::warn!(path = %path.display(), error = %e, "an old index could not be removed");
        }
    }
    Ok(index)
}

pub(super) fn index_path(folder: &Path, number: u32) -> PathBuf {
    folder.join("index").join(number.to_string())
}

pub(super) fn index_numbers(folder: &Path) -> Vec<u32> {
    let entries = fs::read_dir(folder.join("index")).into_iter().flatten().flatten();
    let mut numbers: Vec<u32> =
        entries.filter_map(|entry| entry.file_name().to_string_lossy().parse().ok()).collect();
    numbers.sort_unstable();
    numbers
}
