//! Append-only journals: frames in segments, how far each has come, what is wrong with one, and how one is written anew.

mod damage;
pub mod end;
pub mod format;
pub mod frame;
#[doc(hidden)]
pub mod fuzzed;
mod last;
mod log;
mod reader;
pub mod rewrite;
pub mod segment;

pub use crate::error::{StoreError, io_error};
pub use damage::Damage;
pub use log::{Journal, Position, after, check, replay, replay_all};
pub use reader::Reader;
pub use segment::refuse_newer;

/// Version of the files in a home. From 2 on the bench holds entries that programs of format 1 would read otherwise.
pub const FORMAT_VERSION: u16 = 2;
/// Size from which a journal goes on in a new segment.
pub const SEGMENT_BYTES: u64 = 64 << 20;

/// Random name of a home, in every segment of its journals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HomeId(pub [u8; 16]);

/// Which of the two journals.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum JournalKind {
    /// Private bench events.
    Bench,
    /// Signed records.
    Records,
}

impl JournalKind {
    /// What its files and folder are called.
    pub fn stem(self) -> &'static str {
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
