//! An append-only journal over numbered segments: the truth of a home.
//!
//! `append` returns only after the frames are on disk. A failed write is taken back; where that or the
//! flush fails, the journal is poisoned until it is opened again, since what reached the disk is unknown.

use std::fs::{self, File};
use std::io::Write;
use std::os::unix::fs::FileExt;
use std::path::{Path, PathBuf};

use super::error::{StoreError, io_error};
use super::frame::{self, Found};
use super::segment::{self, HEADER_BYTES, Scan};
use super::{HomeId, JournalKind};

/// Where a frame begins.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Position {
    /// Segment number.
    pub(crate) segment: u32,
    /// Byte offset in it.
    pub(crate) offset: u32,
}

impl Position {
    /// Where the first frame of a journal stands.
    pub(crate) fn first() -> Self {
        Self { segment: 1, offset: HEADER_BYTES as u32 }
    }
}

/// Damage that was found when a journal was opened or verified.
#[derive(Clone, Debug, PartialEq, Eq, serde::Serialize, serde::Deserialize)]
pub struct Damage {
    /// File name of the segment.
    pub file: String,
    /// First damaged byte.
    pub from: u64,
    /// First byte after the damage.
    pub to: u64,
    /// File to which a torn tail was moved.
    pub moved_to: Option<String>,
}

/// An open journal.
#[derive(Debug)]
pub(crate) struct Journal {
    folder: PathBuf,
    kind: JournalKind,
    home: HomeId,
    segment_bytes: u64,
    number: u32,
    file: File,
    length: u64,
    poisoned: bool,
}

impl Journal {
    /// Opens the journal in `folder`, making it where there is none.
    ///
    /// Scans the last segment, cuts off a torn tail into a file of its own, and reports damage.
    pub(crate) fn open(
        folder: &Path,
        kind: JournalKind,
        home: HomeId,
        segment_bytes: u64,
    ) -> Result<(Self, Vec<Damage>), StoreError> {
        fs::create_dir_all(folder).map_err(|e| io_error("create", folder, e))?;
        let numbers = segment::numbers(folder, kind)?;
        let Some(&last) = numbers.last() else {
            let file = segment::create(folder, kind, home, 1)?;
            return Ok((
                Self::at(folder, kind, home, segment_bytes, (1, file, HEADER_BYTES as u64)),
                Vec::new(),
            ));
        };
        let path = segment::path(folder, kind, last);
        let mut file = segment::open(&path)?;
        let bytes = segment::read_all(&mut file, &path)?;
        segment::check_header(&bytes, home, &path)?;
        let scan = segment::scan(&bytes, kind, home, last);
        let (length, damage) = settle_tail(folder, kind, last, &file, &bytes, &scan)?;
        let mut journal = Self::at(folder, kind, home, segment_bytes, (last, file, length));
        if length < HEADER_BYTES as u64 {
            journal.restart_segment(last)?;
        }
        Ok((journal, damage))
    }

    fn at(
        folder: &Path,
        kind: JournalKind,
        home: HomeId,
        segment_bytes: u64,
        (number, file, length): (u32, File, u64),
    ) -> Self {
        let folder = folder.to_path_buf();
        Self { folder, kind, home, segment_bytes, number, file, length, poisoned: false }
    }

    /// Makes the current segment anew after even its header was torn off.
    fn restart_segment(&mut self, number: u32) -> Result<(), StoreError> {
        let path = segment::path(&self.folder, self.kind, number);
        fs::remove_file(&path).map_err(|e| io_error("remove", &path, e))?;
        self.file = segment::create(&self.folder, self.kind, self.home, number)?;
        self.length = HEADER_BYTES as u64;
        Ok(())
    }

    /// Appends frames and returns their positions once they are on disk.
    pub(crate) fn append(&mut self, frames: &[(u8, &[u8])]) -> Result<Vec<Position>, StoreError> {
        if self.poisoned {
            return Err(StoreError::Poisoned);
        }
        if self.length >= self.segment_bytes {
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
        if let Err(e) = self.file.write_all_at(buffer, self.length) {
            // On a full disk part of the buffer may stand there; without it the journal is as before.
            self.poisoned = self.file.set_len(self.length).is_err();
            return Err(io_error("write", &path, e));
        }
        self.file.sync_data().map_err(|e| io_error("flush", &path, e))?;
        self.length += buffer.len() as u64;
        self.poisoned = false;
        Ok(())
    }

    fn next_segment(&mut self) -> Result<(), StoreError> {
        let number = self.number + 1;
        self.file = segment::create(&self.folder, self.kind, self.home, number)?;
        self.number = number;
        self.length = HEADER_BYTES as u64;
        Ok(())
    }

    /// Where the next frame will stand.
    pub(crate) fn end(&self) -> Position {
        Position { segment: self.number, offset: self.length as u32 }
    }
}

/// Calls `each` with every whole frame from `from` on, and returns the damage on the way.
///
/// Of segments before `from` nothing is read.
pub(crate) fn replay(
    folder: &Path,
    kind: JournalKind,
    home: HomeId,
    from: Position,
    mut each: impl FnMut(Position, u8, &[u8]) -> Result<(), StoreError>,
) -> Result<Vec<Damage>, StoreError> {
    let mut damage = Vec::new();
    for number in segment::numbers(folder, kind)? {
        if number < from.segment {
            continue;
        }
        let path = segment::path(folder, kind, number);
        let bytes = segment::read_all(&mut segment::open(&path)?, &path)?;
        segment::check_header(&bytes, home, &path)?;
        let scan = segment::scan(&bytes, kind, home, number);
        damage.extend(damages(&path, &scan, bytes.len()));
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
pub(crate) fn after(position: Position, body_bytes: usize) -> Position {
    let found = Found { offset: position.offset as usize, kind: 0, body_bytes };
    Position { segment: position.segment, offset: found.end() as u32 }
}

/// Moves a torn tail aside, and says how long the segment is then.
fn settle_tail(
    folder: &Path,
    kind: JournalKind,
    number: u32,
    file: &File,
    bytes: &[u8],
    scan: &Scan,
) -> Result<(u64, Vec<Damage>), StoreError> {
    let path = segment::path(folder, kind, number);
    let mut damage = damages(&path, scan, bytes.len());
    let Some(torn_at) = scan.torn_at else { return Ok((bytes.len() as u64, damage)) };
    let aside = move_aside(folder, kind, number, torn_at, &bytes[torn_at..])?;
    file.set_len(torn_at as u64).map_err(|e| io_error("cut", &path, e))?;
    file.sync_all().map_err(|e| io_error("flush", &path, e))?;
    if let Some(last) = damage.last_mut() {
        last.moved_to = Some(aside);
    }
    Ok((torn_at as u64, damage))
}

fn move_aside(
    folder: &Path,
    kind: JournalKind,
    number: u32,
    at: usize,
    tail: &[u8],
) -> Result<String, StoreError> {
    for attempt in 0.. {
        let name = format!("{}-{number:06}-torn-{at}-{attempt}.bytes", kind.stem());
        let path = folder.join(&name);
        match File::create_new(&path) {
            Ok(mut file) => {
                file.write_all(tail)
                    .and_then(|()| file.sync_all())
                    .map_err(|e| io_error("write", &path, e))?;
                segment::sync_folder(folder)?;
                return Ok(name);
            }
            Err(e) if e.kind() == std::io::ErrorKind::AlreadyExists => {}
            Err(e) => return Err(io_error("create", &path, e)),
        }
    }
    unreachable!("an unused file name is found before the numbers end")
}

fn damages(path: &Path, scan: &Scan, length: usize) -> Vec<Damage> {
    let file = path.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let stretch = |from: usize, to: usize| Damage {
        file: file.clone(),
        from: from as u64,
        to: to as u64,
        moved_to: None,
    };
    let gaps = scan.gaps.iter().map(|&(from, to)| stretch(from, to));
    gaps.chain(scan.torn_at.map(|from| stretch(from, length))).collect()
}

#[cfg(test)]
#[path = "journal_tests.rs"]
mod tests;
