//! How far a journal has come, beside the journal: so that frames cut off at a frame's edge are missed.
//!
//! Written after every flush and before the acknowledgement. It is not flushed itself: after a power cut it
//! may be older than the journal, which says nothing wrong, and after a kill it is exact.

use std::fs::{File, OpenOptions};
use std::path::{Path, PathBuf};

use super::log::Position;
use super::{HomeId, JournalKind};
use crate::error::{StoreError, io_error};
use crate::system::write_all_at;

const BYTES: usize = 16;

/// The first segment and the end of what has been acknowledged.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Reach {
    /// Number of the first segment.
    pub first: u32,
    /// Where the next frame stood.
    pub end: Position,
}

/// What the file says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Said {
    /// There is no such file.
    Nothing,
    /// It cannot be read.
    Garbled,
    /// It is whole.
    Reached(Reach),
}

impl Said {
    /// How far, where the file says so.
    pub fn reach(self) -> Option<Reach> {
        match self {
            Self::Reached(reach) => Some(reach),
            Self::Nothing | Self::Garbled => None,
        }
    }
}

/// The file of a journal.
pub fn path(folder: &Path, kind: JournalKind) -> PathBuf {
    folder.join(format!("{}.end", kind.stem()))
}

/// What the file of a journal says.
pub fn read(folder: &Path, kind: JournalKind, home: HomeId) -> Said {
    match std::fs::read(path(folder, kind)) {
        Ok(bytes) => decode(&bytes, home).map_or(Said::Garbled, Said::Reached),
        Err(e) if e.kind() == std::io::ErrorKind::NotFound => Said::Nothing,
        Err(_) => Said::Garbled,
    }
}

/// The file, opened for writing again and again.
#[derive(Debug)]
pub struct EndFile {
    path: PathBuf,
    file: File,
    home: HomeId,
}

impl EndFile {
    /// Opens the file of a journal, making it where there is none.
    pub fn open(folder: &Path, kind: JournalKind, home: HomeId) -> Result<Self, StoreError> {
        let path = path(folder, kind);
        let opened = OpenOptions::new().write(true).create(true).truncate(false).open(&path);
        let file = opened.map_err(|e| io_error("open", &path, e))?;
        Ok(Self { path, file, home })
    }

    /// Writes down how far the journal has come.
    pub fn write(&self, reach: Reach) -> Result<(), StoreError> {
        write_all_at(&self.file, &encode(reach, self.home), 0).map_err(|e| io_error("write", &self.path, e))
    }

    /// Writes, cuts what may stand behind, and flushes to disk.
    pub fn settle(&self, reach: Reach) -> Result<(), StoreError> {
        self.write(reach)?;
        let settled = self.file.set_len(BYTES as u64).and_then(|()| self.file.sync_all());
        settled.map_err(|e| io_error("flush", &self.path, e))
    }
}

pub(super) fn encode(reach: Reach, home: HomeId) -> [u8; BYTES] {
    let mut out = [0; BYTES];
    out[..4].copy_from_slice(&reach.first.to_be_bytes());
    out[4..8].copy_from_slice(&reach.end.segment.to_be_bytes());
    out[8..12].copy_from_slice(&reach.end.offset.to_be_bytes());
    let sum = checksum(&out[..12], home);
    out[12..].copy_from_slice(&sum.to_be_bytes());
    out
}

pub(super) fn decode(bytes: &[u8], home: HomeId) -> Option<Reach> {
    let bytes: &[u8; BYTES] = bytes.try_into().ok()?;
    let number = |at: usize| u32::from_be_bytes([bytes[at], bytes[at + 1], bytes[at + 2], bytes[at + 3]]);
    let fits = number(12) == checksum(&bytes[..12], home);
    fits.then(|| Reach { first: number(0), end: Position { segment: number(4), offset: number(8) } })
}

fn checksum(bytes: &[u8], home: HomeId) -> u32 {
    let mut hasher = crc32fast::Hasher::new();
    hasher.update(&home.0);
    hasher.update(bytes);
    hasher.finalize()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn is_read_back_and_every_flipped_bit_noticed() {
        let (folder, home) = (tempfile::tempdir().expect("a folder"), HomeId([4; 16]));
        let kind = JournalKind::Records;
        assert_eq!(read(folder.path(), kind, home), Said::Nothing);
        let reach = Reach { first: 3, end: Position { segment: 9, offset: 777 } };
        EndFile::open(folder.path(), kind, home).and_then(|file| file.settle(reach)).expect("writes");
        assert_eq!(read(folder.path(), kind, home), Said::Reached(reach));
        assert_eq!(read(folder.path(), kind, HomeId([5; 16])), Said::Garbled);
        let whole = std::fs::read(path(folder.path(), kind)).expect("reads");
        for bit in 0..whole.len() * 8 {
            let mut bytes = whole.clone();
            bytes[bit / 8] ^= 1 << (bit % 8);
            assert_eq!(decode(&bytes, home), None, "bit {bit}");
        }
    }
}
