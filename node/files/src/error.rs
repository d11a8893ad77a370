//! What can go wrong with the files of a home.

use std::io;
use std::path::{Path, PathBuf};

/// A store operation that failed.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum StoreError {
    /// The operating system refused a file operation.
    #[error("cannot {what} {}: {source}", path.display())]
    Io {
        /// What was being done.
        what: &'static str,
        /// The file or folder.
        path: PathBuf,
        /// The system's own words.
        source: io::Error,
    },
    /// A newer version of the program wrote this home.
    #[error("{} has store format {found}; this version knows formats up to {known}", path.display())]
    NewerFormat {
        /// The file that says so.
        path: PathBuf,
        /// Its format.
        found: u16,
        /// The newest format known here.
        known: u16,
    },
    /// A segment was copied here from another home.
    #[error("{} belongs to another home", path.display())]
    OtherHome {
        /// The segment.
        path: PathBuf,
    },
    /// An earlier write failed, so the end of the journal on disk is not known.
    #[error("an earlier write to the journal failed; nothing more is written until the home is opened again")]
    Poisoned,
    /// The index failed even after it had been built anew.
    #[error("the index cannot be built: {why}")]
    Index {
        /// The index library's own words.
        why: String,
    },
}

impl StoreError {
    /// Whether the disk is full.
    pub fn is_disk_full(&self) -> bool {
        use io::ErrorKind::{FileTooLarge, QuotaExceeded, StorageFull};
        let Self::Io { source, .. } = self else { return false };
        matches!(source.kind(), StorageFull | QuotaExceeded | FileTooLarge)
    }

    /// Whether the file system refuses writing.
    pub fn is_read_only(&self) -> bool {
        let Self::Io { source, .. } = self else { return false };
        matches!(source.kind(), io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied)
    }
}

/// Wraps an I/O error with what was being done to which path.
pub fn io_error(what: &'static str, path: &Path, source: io::Error) -> StoreError {
    StoreError::Io { what, path: path.into(), source }
}
