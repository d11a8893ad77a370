//! The keys that sign records.

use propagule_protocol::{AuthorKey, Month, RecordId};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;

/// Every key of this home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct Keys {
    /// The one that signs now first.
    pub keys: Vec<KeyFacts>,
}

/// A key of this home.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct KeyFacts {
    /// Its public half.
    pub key: AuthorKey,
    /// Whether it signs now.
    pub current: bool,
    /// The oldest key of its chain.
    pub author: AuthorKey,
    /// Results that it published.
    pub results: usize,
    /// From which month on it is cancelled; month 0 where wholly.
    pub revoked_from: Option<Month>,
}

/// Going on with another key.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum KeyRotate {
    /// A key would follow that everybody knows to be this home's.
    PreviewRotated {
        /// Whether it was done.
        rotated: bool,
        /// The key that signs now.
        old: AuthorKey,
    },
    /// A key would sign that nothing links to the old one.
    PreviewFresh {
        /// Whether it was done.
        fresh: bool,
        /// The key that signs now.
        old: AuthorKey,
    },
    /// A key follows.
    Rotated {
        /// Whether it was done.
        rotated: bool,
        /// The key before.
        old: AuthorKey,
        /// The key that signs now.
        new: AuthorKey,
        /// The record that says so.
        record: RecordId,
    },
    /// A new unlinked key signs.
    Fresh {
        /// Whether it was done.
        fresh: bool,
        /// The key before.
        old: AuthorKey,
        /// The key that signs now.
        new: AuthorKey,
        /// None: nothing is published.
        record: Option<RecordId>,
    },
}

/// The end of a key.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct KeyRevoke {
    /// Which.
    pub key: AuthorKey,
    /// Whether it is cancelled now.
    pub revoked: bool,
    /// How far it went.
    #[serde(flatten)]
    pub step: RevokeStep,
}

/// A result that goes on counting after its key has ended.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct StandingResult {
    /// Its record.
    pub record: RecordId,
    /// The plant.
    pub species: String,
    /// The month that it says.
    pub signed: Month,
    /// The trial on this bench, where it is one: one that is not here may be a thief's.
    pub trial: Option<String>,
}

/// How far revoking went.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "step", rename_all = "snake_case")]
pub enum RevokeStep {
    /// It would be cancelled from a month on.
    Preview {
        /// The month.
        from: Month,
        /// Results that go on counting.
        stay: usize,
        /// Results that fall out.
        fall: usize,
        /// The results that go on counting, oldest first: the list of what stands is made of them.
        standing: Vec<StandingResult>,
        /// Whether this home signs with it now.
        is_current: bool,
        /// The month in which it was replaced by another key, where that falls out too.
        rotated_in: Option<Month>,
    },
    /// It was cancelled before.
    Stands {
        /// From which month on.
        from: Month,
        /// None: nothing was signed.
        record: Option<RecordId>,
    },
    /// Cancelled from a month on.
    Revoked {
        /// The month.
        from: Month,
        /// The record that says so.
        record: RecordId,
        /// The new unlinked key of this home, where the key was its current one.
        new: Option<AuthorKey>,
    },
    /// It would be cancelled wholly by its sheet.
    PreviewSheet {
        /// Results of it that this home holds.
        results: usize,
        /// Whose it is.
        own: Said,
    },
    /// The cancellation of the sheet was published before.
    SheetStands {
        /// It.
        record: RecordId,
    },
    /// Cancelled wholly.
    SheetRevoked {
        /// The record that says so.
        record: RecordId,
        /// The new unlinked key of this home, where the key was its current one.
        new: Option<AuthorKey>,
    },
}

/// Whose a key is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum WhoseKey {
    /// It signs for this home now.
    Current,
    /// It signed for this home.
    Former,
    /// It is of another home.
    Other,
}

/// The cancellation of a key, to be printed and kept.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct KeySheet {
    /// Which.
    pub key: AuthorKey,
    /// In which network it holds.
    pub network: String,
    /// What is printed.
    pub sheet: Said,
}
