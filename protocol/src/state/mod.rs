//! What a set of records says, whatever order they came in.
//!
//! A pure function of the set: no clock, no arrival time, no local trust. All nodes that hold the same
//! records reach the same state.

mod authors;
mod ended;
mod flags;
mod series;
mod vouches;

pub use ended::Ended;
pub use flags::Flags;
pub use series::{ArmNow, Current, Withdrawn};
pub use vouches::VouchPair;

use std::collections::{BTreeMap, BTreeSet};

use crate::envelope::Signed;
use crate::id::{AuthorKey, RecordId};
use crate::record::{Parent, Relation};
use authors::Authors;

/// The state that a set of records resolves to.
#[derive(Clone, Debug, PartialEq)]
pub struct Resolved<'a> {
    authors: Authors,
    current: Vec<Current<'a>>,
    withdrawn: Vec<Withdrawn<'a>>,
    revoked: Vec<Current<'a>>,
    vouches: BTreeSet<VouchPair>,
    surplus: BTreeSet<RecordId>,
}

/// Resolves any set of accepted records; duplicates are counted once.
pub fn resolve<'a>(records: impl IntoIterator<Item = &'a Signed>) -> Resolved<'a> {
    let all: BTreeMap<RecordId, &Signed> = records.into_iter().map(|record| (record.id, record)).collect();
    let authors = Authors::of(all.values().copied());
    let (kept, surplus) = series::kept(all.values().copied());
    let series = series::resolve(&kept, all.values().copied(), &authors);
    let vouches = vouches::resolve(all.values().copied(), &authors);
    let series::Resolution { current, withdrawn, revoked } = series;
    Resolved { authors, current, withdrawn, revoked, vouches, surplus }
}

impl<'a> Resolved<'a> {
    /// Every trial that stands, once each, by author and series.
    pub fn current(&self) -> impl Iterator<Item = &Current<'a>> {
        self.current.iter()
    }

    /// Every series taken back.
    pub fn withdrawn(&self) -> impl Iterator<Item = &Withdrawn<'a>> {
        self.withdrawn.iter()
    }

    /// Trials of which every revision was signed by a key from its revocation on: out of the default pool.
    pub fn revoked(&self) -> impl Iterator<Item = &Current<'a>> {
        self.revoked.iter()
    }

    /// Vouches that stand, by author and subject, both as the oldest keys of their chains.
    pub fn vouches(&self) -> impl Iterator<Item = &VouchPair> {
        self.vouches.iter()
    }

    /// The trial that a trial says it follows, and how: a series of the same author and the same grower mark that
    /// stands. A parent that another author, or the same author for another grower, signed is ignored.
    pub fn parent_of(&self, trial: &Current<'a>) -> Option<(&Current<'a>, Relation)> {
        let Parent { series, relation } = trial.summary.parent?;
        let at = (trial.author, series);
        let found = self.current.binary_search_by_key(&at, |other| (other.author, other.series)).ok()?;
        let parent = &self.current[found];
        let is_own = parent.summary.grower_mark == trial.summary.grower_mark && parent.series != trial.series;
        is_own.then_some((parent, relation))
    }

    /// The oldest key of the rotation chain of `key`; itself when it never rotated.
    pub fn author_of(&self, key: &AuthorKey) -> AuthorKey {
        self.authors.of_key(key)
    }

    /// All keys of an author who rotated, the oldest included, in the order of their bytes.
    pub fn keys_of(&self, author: &AuthorKey) -> Vec<AuthorKey> {
        self.authors.keys_of(author)
    }

    /// From when on the records of `key` are void, and which stand; none where nobody revoked it.
    pub fn ended(&self, key: &AuthorKey) -> Option<&Ended> {
        self.authors.ended(key)
    }

    /// Ids beyond the two lowest of one key, series and revision: they say nothing more, now or later, and
    /// need not be kept.
    pub fn surplus(&self) -> &BTreeSet<RecordId> {
        &self.surplus
    }
}
