//! The kinds of record that speak of series and keys rather than of trials.

use super::{Code, Extensions, Head};
use crate::id::AuthorKey;
use crate::month::Month;

/// The author takes a series back (kind 2). Others may keep copies.
#[derive(Clone, Debug, PartialEq)]
pub struct Withdrawal {
    /// Versions and month of publication.
    pub head: Head,
    /// The series taken back.
    pub series: [u8; 16],
    /// Why, see [`crate::vocab::withdrawal_reason`].
    pub reason: Code,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}

/// The author, under the old key, moves to a new one (kind 3).
#[derive(Clone, Debug, PartialEq)]
pub struct Rotation {
    /// Versions and month of publication.
    pub head: Head,
    /// The key that follows.
    pub new_key: AuthorKey,
    /// The new key's consent, see [`crate::rotation_proof`].
    pub proof: [u8; 64],
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}

/// A key declares itself lost or stolen (kind 4).
#[derive(Clone, Debug, PartialEq)]
pub struct Revocation {
    /// Versions and month of publication.
    pub head: Head,
    /// Records signed from this month on are void; absent, all of that key's records.
    pub from: Option<Month>,
    /// Ignorable entries: a page of what stands ([`super::StandingPage`]), and unknown ones.
    pub extensions: Extensions,
}

/// Trust in another author, published (kind 5).
#[derive(Clone, Debug, PartialEq)]
pub struct Vouch {
    /// Versions and month of publication.
    pub head: Head,
    /// Who is vouched for.
    pub subject: AuthorKey,
    /// The highest sequence for one subject counts.
    pub sequence: u8,
    /// True for a vouch, false for taking it back.
    pub vouches: bool,
    /// Unknown ignorable entries.
    pub extensions: Extensions,
}
