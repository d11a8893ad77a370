//! An append-only journal over numbered segments: the truth of a home.
//!
//! `append` returns only after the frames are on disk. A failed write is taken back; where that or the
//! flush fails, the journal is poisoned until it is opened again, since what reached the disk is unknown.

use std::fs::{self, File};
use std::path::{Path, PathBuf};

use super::damage::{Damage, acknowledged_in, damages, missing_segments, unreadable_end};
use super::end::{self, EndFile, Reach};
use super::frame::{self, Found};
use super::last::{Last, open_last};
use super::segment::{self, HEADER_BYTES};
use super::{FORMAT_VERSION, HomeId, JournalKind, format, rewrite};
use crate::error::{StoreError, io_error};
use crate::system::write_all_at;

/// Where a frame begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Segment number.
    pub segment: u32,
    /// Byte offset in it.
    pub offset: u32,
}

impl Position {
    /// Where the first frame of a journal stands.
    pub fn first() -> Self {
        Self { segment: 1, offset: HEADER_BYTES as u32 }
    }
}

/// An open journal.
#[derive(Debug)]
pub struct Journal {
    folder: PathBuf,
    kind: JournalKind,
    home: HomeId,
    segment_bytes: u64,
    number: u32,
    file: File,
    length: u64,
    /// Format of the last segment.
    version: u16,
    /// Whether writing here made the home one of a newer format.
    has_raised: bool,
    /// Bytes of the segments before the last one.
    closed_bytes: u64,
    first: u32,
    end_file: EndFile,
    poisoned: bool,
}

impl Journal {
    /// Opens the journal in `folder`, making it where there is none.
    ///
    /// Scans the last segment, cuts off a torn tail into a file of its own, and reports damage.
    pub fn open(
        folder: &Path,
        kind: JournalKind,
        home: HomeId,
        segment_bytes: u64,
    ) -> Result<(Self, Vec<Damage>), StoreError> {
        fs::create_dir_all(folder).map_err(|e| io_error("create", folder, e))?;
        let said = end::read(folder, kind, home);
        let reach = said.reach();
        rewrite::finish(folder, kind, reach)?;
        let numbers = segment::numbers(folder, kind)?;
        let mut damage = missing_segments(kind, &numbers, reach);
        damage.extend((said == end::Said::Garbled).then(|| unreadable_end(folder, kind)));
        let last = match numbers.last() {
            None => {
                let number = reach.map_or(1, |reach| reach.end.segment.max(1));
                Last {
                    number,
                    file: segment::create(folder, kind, home, number)?,
                    length: HEADER_BYTES as u64,
                    version: FORMAT_VERSION,
                }
            }
            Some(&number) => {
                let (last, found) = open_last(folder, kind, home, number, reach)?;
                damage.extend(found);
                last
            }
        };
        let first = reach.map(|reach| reach.first).or(numbers.first().copied()).unwrap_or(last.number);
        let journal = Self::at(folder, kind, home, segment_bytes, last, first)?;
        journal.end_file.settle(journal.reach())?;
        Ok((journal, damage))
    }

    fn at(
        folder: &Path,
        kind: JournalKind,
        home: HomeId,
        segment_bytes: u64,
        last: Last,
        first: u32,
    ) -> Result<Self, StoreError> {
        let mut journal = Self {
            folder: folder.into(),
            kind,
            home,
            segment_bytes,
            number: last.number,
            file: last.file,
            length: last.length,
            version: last.version,
            has_raised: false,
            closed_bytes: 0,
            first,
            end_file: EndFile::open(folder, kind, home)?,
            poisoned: false,
        };
        if journal.length < HEADER_BYTES as u64 {
            journal.restart_segment(last.number)?;
        }
        for number in segment::numbers(folder, kind)?.into_iter().filter(|number| *number != journal.number) {
            let path = segment::path(folder, kind, number);
            journal.closed_bytes += fs::metadata(&path).map_err(|e| io_error("measure", &path, e))?.len();
        }
        Ok(journal)
    }

    /// Makes the current segment anew after even its header was torn off.
    fn restart_segment(&mut self, number: u32) -> Result<(), StoreError> {
        let path = segment::path(&self.folder, self.kind, number);
        fs::remove_file(&path).map_err(|e| io_error("remove", &path, e))?;
        self.file = segment::create(&self.folder, self.kind, self.home, number)?;
        self.length = HEADER_BYTES as u64;
        self.version = FORMAT_VERSION;
        Ok(())
    }

    /// Makes the home one of this format, before anything of it is written.
    fn raise(&mut self) -> Result<(), StoreError> {
        if self.version < FORMAT_VERSION
            && let Some(home) = self.folder.parent()
        {
            self.has_raised |= format::raise(home)?;
        }
        Ok(())
    }

    /// Whether writing here made the home one of a newer format.
    pub fn has_raised(&self) -> bool {
        self.has_raised
    }

    /// Appends frames and returns their positions once they are on disk.
    pub fn append(&mut self, frames: &[(u8, &[u8])]) -> Result<Vec<Position>, StoreError> {
        if self.poisoned {
            return Err(StoreError::Poisoned);
        }
        self.raise()?;
        // What an older version began is not written on.
        if self.length >= self.segment_bytes || self.version < FORMAT_VERSION {
            self.next_segment()?;
        }
        let mut buffer = Vec::new();
        let mut positions = Vec::with_capacity(frames.len());
        for (kind, body) in frames {
            let offset = (self.length + buffer.len() as u64) as u32;
            positions.push(Position { segment: self.number, offset });
            frame::write(&mut buffer, self.home, *kind, body);
        }
        self.write_out(&buffer)?;
        Ok(positions)
    }

    fn write_out(&mut self, buffer: &[u8]) -> Result<(), StoreError> {
        let path = segment::path(&self.folder, self.kind, self.number);
        self.poisoned = true;
        if let Err(e) = write_all_at(&self.file, buffer, self.length) {
            // On a full disk part of the buffer may stand there; without it the journal is as before.
            self.poisoned = self.file.set_len(self.length).is_err();
            return Err(io_error("write", &path, e));
        }
        self.file.sync_data().map_err(|e| io_error("flush", &path, e))?;
        self.length += buffer.len() as u64;
        self.end_file.write(self.reach())?;
        self.poisoned = false;
        Ok(())
    }

    fn next_segment(&mut self) -> Result<(), StoreError> {
        let number = self.number + 1;
        self.file = segment::create(&self.folder, self.kind, self.home, number)?;
        self.closed_bytes += self.length;
        self.number = number;
        self.length = HEADER_BYTES as u64;
        self.version = FORMAT_VERSION;
        Ok(())
    }

    fn reach(&self) -> Reach {
        Reach { first: self.first, end: self.end() }
    }

    /// Bytes of all segments.
    pub fn bytes(&self) -> u64 {
        self.closed_bytes + self.length
    }

    /// Writes what `keep` keeps into new segments, and puts them in the place of the old ones.
    ///
    /// Old segments with damage are moved aside under a name of their own; the others go.
    pub fn rewrite(
        &mut self,
        keep: impl FnMut(u8, &[u8]) -> Result<rewrite::Kept, StoreError>,
    ) -> Result<Vec<String>, StoreError> {
        if self.poisoned {
            return Err(StoreError::Poisoned);
        }
        self.raise()?;
        let plan = rewrite::Plan {
            folder: &self.folder,
            kind: self.kind,
            home: self.home,
            segment_bytes: self.segment_bytes,
            begin: self.number + 1,
        };
        let written = plan.write(keep);
        self.poisoned = written.is_ok();
        let reach = written?;
        self.end_file.settle(reach)?;
        let aside = rewrite::finish(&self.folder, self.kind, Some(reach))?;
        let number = reach.end.segment;
        let file = segment::open(&segment::path(&self.folder, self.kind, number))?;
        let last = Last { number, file, length: reach.end.offset.into(), version: FORMAT_VERSION };
        let has_raised = self.has_raised;
        *self = Self::at(&self.folder, self.kind, self.home, self.segment_bytes, last, reach.first)?;
        self.has_raised = has_raised;
        Ok(aside)
    }

    /// Where the next frame will stand.
    pub fn end(&self) -> Position {
        Position { segment: self.number, offset: self.length as u32 }
    }
}

/// Calls `each` with every whole frame from `from` on, and returns the damage on the way.
///
/// Of segments before `from` nothing is read.
pub fn replay(
    folder: &Path,
    kind: JournalKind,
    home: HomeId,
    from: Position,
    mut each: impl FnMut(Position, u8, &[u8]) -> Result<(), StoreError>,
) -> Result<Vec<Damage>, StoreError> {
    let mut damage = Vec::new();
    let reach = end::read(folder, kind, home).reach();
    for number in segment::numbers(folder, kind)? {
        if number < from.segment {
            continue;
        }
        let path = segment::path(folder, kind, number);
        let bytes = segment::read_all(&mut segment::open(&path)?, &path)?;
        segment::check_header(&bytes, home, &path)?;
        let scan = segment::scan(&bytes, kind, home, number);
        damage.extend(damages(&path, &scan, bytes.len(), acknowledged_in(number, reach)));
        for found in &scan.frames {
            let position = Position { segment: number, offset: found.offset as u32 };
            if position >= from {
                each(position, found.kind, found.body(&bytes))?;
            }
        }
    }
    Ok(damage)
}

/// Where the frame after `found` begins.
pub fn after(position: Position, body_bytes: usize) -> Position {
    let found = Found { offset: position.offset as usize, kind: 0, body_bytes };
    Position { segment: position.segment, offset: found.end() as u32 }
}

/// Looks at a whole journal without changing anything; `each` gets every whole frame.
pub fn check(
    folder: &Path,
    kind: JournalKind,
    home: HomeId,
    each: impl FnMut(Position, u8, &[u8]) -> Result<(), StoreError>,
) -> Result<Vec<Damage>, StoreError> {
    let said = end::read(folder, kind, home);
    let numbers = segment::numbers(folder, kind)?;
    let mut damage = missing_segments(kind, &numbers, said.reach());
    if said.reach().is_none() && !numbers.is_empty() {
        damage.push(unreadable_end(folder, kind));
    }
    damage.extend(replay(folder, kind, home, Position::default(), each)?);
    Ok(damage)
}

/// Calls `each` with kind and body of every whole frame of a journal.
///
/// # Errors
/// When its files cannot be read.
pub fn replay_all(
    folder: &Path,
    kind: JournalKind,
    home: HomeId,
    mut each: impl FnMut(u8, &[u8]),
) -> Result<Vec<Damage>, StoreError> {
    replay(folder, kind, home, Position::default(), |_, kind, body| {
        each(kind, body);
        Ok(())
    })
}

#[cfg(test)]
#[path = "journal_tests.rs"]
mod tests;
