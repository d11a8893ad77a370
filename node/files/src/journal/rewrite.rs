//! Writing a journal anew: to leave out what is not needed, or to salvage what is whole.
//!
//! New segments are written under names that nobody reads. Then the end file names the first of them; from
//! there on they count, and opening the journal finishes what was begun. Before that they are thrown away.

use std::fs::{self, File};
use std::io::Write;
use std::path::{Path, PathBuf};

use super::end::Reach;
use super::log::{self, Position};
use super::segment::{self, HEADER_BYTES};
use super::{Damage, HomeId, JournalKind, frame};
use crate::error::{StoreError, io_error};

/// Ending of segments that do not count yet.
const NEW: &str = "journal-new";
/// Ending of old segments with damage, which are kept.
const DAMAGED: &str = "damaged";

/// Kind and body of the frames that take the place of one.
pub type Kept = Vec<(u8, Vec<u8>)>;

/// What to rewrite.
pub(super) struct Plan<'a> {
    pub(super) folder: &'a Path,
    pub(super) kind: JournalKind,
    pub(super) home: HomeId,
    pub(super) segment_bytes: u64,
    /// Number of the first new segment.
    pub(super) begin: u32,
}

impl Plan<'_> {
    /// Writes and flushes the new segments; they do not count yet.
    pub(super) fn write(
        &self,
        mut keep: impl FnMut(u8, &[u8]) -> Result<Kept, StoreError>,
    ) -> Result<Reach, StoreError> {
        let mut out = Out::begin(self, self.begin)?;
        let first = Position::default();
        let damage = log::replay(self.folder, self.kind, self.home, first, |_, kind, body| {
            for (kind, body) in keep(kind, body)? {
                if out.length >= self.segment_bytes {
                    out.finish()?;
                    out = Out::begin(self, out.number + 1)?;
                }
                out.put(self.home, kind, &body)?;
            }
            Ok(())
        });
        match damage.and_then(|damage| out.finish().map(|()| damage)) {
            Ok(damage) => {
                self.mark_damaged(&damage)?;
                let end = Position { segment: out.number, offset: out.length as u32 };
                Ok(Reach { first: self.begin, end })
            }
            Err(error) => {
                discard_new(self.folder, self.kind)?;
                Err(error)
            }
        }
    }

    /// Copies segments with damage aside, since the old ones will go.
    fn mark_damaged(&self, damage: &[Damage]) -> Result<(), StoreError> {
        for number in segment::numbers(self.folder, self.kind)? {
            let path = segment::path(self.folder, self.kind, number);
            let is_damaged = damage.iter().any(|one| path.ends_with(&one.file) && one.is_loss);
            if is_damaged {
                let aside = path.with_extension(DAMAGED);
                fs::copy(&path, &aside).map_err(|e| io_error("copy", &path, e))?;
            }
        }
        Ok(())
    }
}

/// A new segment being written.
struct Out {
    number: u32,
    path: PathBuf,
    file: std::io::BufWriter<File>,
    length: u64,
}

impl Out {
    fn begin(plan: &Plan<'_>, number: u32) -> Result<Self, StoreError> {
        let path = segment::path(plan.folder, plan.kind, number).with_extension(NEW);
        let file = File::create(&path).map_err(|e| io_error("create", &path, e))?;
        let mut file = std::io::BufWriter::with_capacity(1 << 20, file);
        let header = segment::header(plan.kind, plan.home, number);
        file.write_all(&header).map_err(|e| io_error("write", &path, e))?;
        Ok(Self { number, path, file, length: HEADER_BYTES as u64 })
    }

    fn put(&mut self, home: HomeId, kind: u8, body: &[u8]) -> Result<(), StoreError> {
        let mut bytes = Vec::with_capacity(body.len() + frame::HEAD_BYTES);
        frame::write(&mut bytes, home, kind, body);
        self.file.write_all(&bytes).map_err(|e| io_error("write", &self.path, e))?;
        self.length += bytes.len() as u64;
        Ok(())
    }

    fn finish(&mut self) -> Result<(), StoreError> {
        let flushed = self.file.flush().and_then(|()| self.file.get_ref().sync_all());
        flushed.map_err(|e| io_error("write", &self.path, e))
    }
}

/// Finishes or throws away a rewriting that was broken off; returns names of damaged segments kept aside.
pub(super) fn finish(
    folder: &Path,
    kind: JournalKind,
    reach: Option<Reach>,
) -> Result<Vec<String>, StoreError> {
    let new = new_numbers(folder, kind)?;
    let counts = reach.is_some_and(|reach| new.first().is_some_and(|first| reach.end.segment >= *first));
    if !new.is_empty() && !counts {
        discard_new(folder, kind)?;
    }
    if counts {
        for number in new {
            let path = segment::path(folder, kind, number);
            fs::rename(path.with_extension(NEW), &path).map_err(|e| io_error("rename", &path, e))?;
        }
        segment::sync_folder(folder)?;
    }
    if let Some(reach) = reach {
        for number in segment::numbers(folder, kind)?.into_iter().filter(|number| *number < reach.first) {
            let path = segment::path(folder, kind, number);
            fs::remove_file(&path).map_err(|e| io_error("remove", &path, e))?;
        }
    }
    damaged_names(folder, kind)
}

fn new_numbers(folder: &Path, kind: JournalKind) -> Result<Vec<u32>, StoreError> {
    segment::numbers_with(folder, kind, NEW)
}

fn discard_new(folder: &Path, kind: JournalKind) -> Result<(), StoreError> {
    for number in new_numbers(folder, kind)? {
        let path = segment::path(folder, kind, number).with_extension(NEW);
        fs::remove_file(&path).map_err(|e| io_error("remove", &path, e))?;
    }
    Ok(())
}

fn damaged_names(folder: &Path, kind: JournalKind) -> Result<Vec<String>, StoreError> {
    let name = |number| segment::path(Path::new(""), kind, number).with_extension(DAMAGED);
    let numbers = segment::numbers_with(folder, kind, DAMAGED)?;
    Ok(numbers.into_iter().map(|number| name(number).display().to_string()).collect())
}

#[cfg(test)]
#[path = "rewrite_tests.rs"]
mod tests;
