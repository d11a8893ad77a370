//! Typed records: one file a kind, and the parts they share.

mod arm;
mod summary;

pub use arm::{Arm, Auxin, Counts, Facets, Phase, StageCounts};
pub use summary::{DesignFlags, Region, Summary, Taxon, Weeks};

use std::collections::BTreeMap;

/// A code of one of the vocabularies; 0 is unknown, 1 is other.
///
/// Codes above the last one this version knows are valid: they are stored, forwarded and shown as
/// `code 17`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Code(pub u8);

/// A month counted from January 1900 (0) to December 2199 (3599).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month(pub u16);

/// Map entries with keys of 64 and up, kept and ignored.
pub type Extensions = BTreeMap<u64, ciborium::Value>;

/// The three keys that every kind of record carries in every major version.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Head {
    /// Schema major.
    pub major: u8,
    /// Schema minor.
    pub minor: u8,
    /// Month of publication, as signed.
    pub signed: Month,
}
