//! Codes of the vocabularies.

use std::fmt;

/// A code of one of the vocabularies; 0 is unknown, 1 is other.
///
/// Codes above the last one this version knows are valid: they are stored, forwarded and shown as
/// `code 17`.
#[derive(
    Clone,
    Copy,
    Debug,
    Default,
    PartialEq,
    Eq,
    PartialOrd,
    Ord,
    Hash,
    serde::Serialize,
    serde::Deserialize,
    schemars::JsonSchema,
)]
#[serde(transparent)]
pub struct Code(pub u8);

impl Code {
    /// Not known.
    pub const UNKNOWN: Self = Self(0);
    /// Known, and not in the list.
    pub const OTHER: Self = Self(1);
}

impl fmt::Display for Code {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "code {}", self.0)
    }
}
