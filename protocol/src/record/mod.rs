//! Typed records: one file a kind, and the parts they share.

mod arm;
mod count_rules;
mod counts;
mod decode;
mod encode;
mod reader;
mod rules;
mod signer;
mod standing;
mod summary;

pub use arm::{Arm, Auxin, Facets, Phase};
pub use count_rules::CountFault;
pub use counts::{Counts, Stage, StageCounts};
pub use reader::{CriticalKey, SchemaError, SchemaFault};
pub use rules::RuleError;
pub use signer::{Revocation, Rotation, Vouch, Withdrawal};
pub use standing::{StandingEntry, StandingPage, hash_of as standing_hash};
pub use summary::{DesignFlags, Parent, Region, Relation, Summary, Weeks};

pub use crate::code::Code;
pub use crate::taxon::Taxon;

pub(crate) use decode::{body as decode_body, peek};
pub(crate) use encode::body as encode_body;
pub(crate) use rules::check as check_rules;

use std::collections::BTreeMap;

use crate::limits::{MAJOR, MINOR, OTHER_MAJOR, OTHER_MINOR};
use crate::month::Month;

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

impl Head {
    /// The head that this version writes in every kind but the summary.
    pub fn new(signed: Month) -> Self {
        Self { major: OTHER_MAJOR, minor: OTHER_MINOR, signed }
    }

    /// The head that this version writes in a summary: of a newer major than the other kinds, so that older
    /// readers hold it without blame for its sender.
    pub fn of_summary(signed: Month) -> Self {
        Self { major: MAJOR, minor: MINOR, signed }
    }
}

/// A record of any kind this version knows.
#[expect(clippy::large_enum_variant, reason = "nearly all records are summaries")]
#[derive(Clone, Debug, PartialEq)]
pub enum Body {
    /// Kind 1: a whole trial in one revision.
    Summary(Summary),
    /// Kind 2: a series taken back.
    Withdrawal(Withdrawal),
    /// Kind 3: an author moves to a new key.
    Rotation(Rotation),
    /// Kind 4: a key is no longer to be trusted.
    Revocation(Revocation),
    /// Kind 5: trust in another author, or its end.
    Vouch(Vouch),
}

/// Numbers of the kinds.
pub mod kind {
    /// A whole trial in one revision.
    pub const SUMMARY: u8 = 1;
    /// A series taken back.
    pub const WITHDRAWAL: u8 = 2;
    /// An author moves to a new key.
    pub const ROTATION: u8 = 3;
    /// A key is no longer to be trusted.
    pub const REVOCATION: u8 = 4;
    /// Trust in another author, or its end.
    pub const VOUCH: u8 = 5;
}

impl Body {
    /// The number of its kind.
    pub fn kind(&self) -> u8 {
        match self {
            Self::Summary(_) => kind::SUMMARY,
            Self::Withdrawal(_) => kind::WITHDRAWAL,
            Self::Rotation(_) => kind::ROTATION,
            Self::Revocation(_) => kind::REVOCATION,
            Self::Vouch(_) => kind::VOUCH,
        }
    }

    /// Versions and month of publication.
    pub fn head(&self) -> &Head {
        match self {
            Self::Summary(body) => &body.head,
            Self::Withdrawal(body) => &body.head,
            Self::Rotation(body) => &body.head,
            Self::Revocation(body) => &body.head,
            Self::Vouch(body) => &body.head,
        }
    }

    /// The summary, if it is one.
    pub fn summary(&self) -> Option<&Summary> {
        if let Self::Summary(summary) = self { Some(summary) } else { None }
    }
}
