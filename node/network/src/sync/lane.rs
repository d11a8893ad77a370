//! The author lane: what a home wants of growers that it knows, where no common range holds them.

use std::collections::VecDeque;

use propagule_protocol::{AuthorKey, Month, RecordId};

use super::LocalSet;
use crate::admission::AuthorRange;
use crate::limits::{HEADS, LANE_AUTHORS, LANE_IDS};
use crate::months::sum_of;
use propagule_files::journal::StoreError;

/// How much a home holds of one author.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct AuthorHead {
    /// Records.
    pub count: u32,
    /// Fingerprint of their ids; zeros where there are none.
    pub fingerprint: [u8; 16],
}

/// How much a set holds of an author.
pub(super) fn head_of(set: &(impl LocalSet + ?Sized), author: &AuthorKey) -> Result<AuthorHead, StoreError> {
    let row = sum_of(Month(0), &set.ids_of_author(author)?);
    Ok(row.map_or_else(AuthorHead::default, |row| AuthorHead {
        count: row.count,
        fingerprint: row.fingerprint,
    }))
}

/// The next ids of an author behind one.
pub(super) fn ids_behind(
    set: &(impl LocalSet + ?Sized),
    author: &AuthorKey,
    after: Option<RecordId>,
) -> Result<Vec<RecordId>, StoreError> {
    let behind = set.ids_of_author(author)?.into_iter().filter(|id| after.is_none_or(|after| *id > after));
    Ok(behind.take(LANE_IDS).collect())
}

/// Authors that a session still asks for.
#[derive(Debug, Default)]
pub(super) struct Lane {
    authors: VecDeque<AuthorKey>,
    /// Of whom the peer holds other records than this home.
    differing: VecDeque<AuthorKey>,
}

impl Lane {
    pub(super) fn new(authors: impl IntoIterator<Item = AuthorKey>) -> Self {
        Self { authors: authors.into_iter().take(LANE_AUTHORS).collect(), differing: VecDeque::new() }
    }

    /// Leaves out whom a range holds that is reconciled anyway.
    pub(super) fn beyond(&mut self, range: Option<AuthorRange>) {
        self.authors.retain(|author| range.is_none_or(|range| !range.holds(author)));
    }

    pub(super) fn clear(&mut self) {
        *self = Self::default();
    }

    /// The next authors to ask for how much the peer holds of them.
    pub(super) fn next_heads(&mut self) -> Option<Vec<AuthorKey>> {
        let count = self.authors.len().min(HEADS);
        (count > 0).then(|| self.authors.drain(..count).collect())
    }

    /// Notes how much the peer holds of each of those asked for.
    pub(super) fn told(
        &mut self,
        asked: Vec<AuthorKey>,
        heads: &[AuthorHead],
        set: &(impl LocalSet + ?Sized),
    ) -> Result<(), StoreError> {
        for (author, head) in asked.into_iter().zip(heads) {
            if head.count > 0 && *head != head_of(set, &author)? {
                self.differing.push_back(author);
            }
        }
        Ok(())
    }

    pub(super) fn next_differing(&mut self) -> Option<AuthorKey> {
        self.differing.pop_front()
    }
}
