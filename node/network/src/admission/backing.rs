//! Whom the grower backs: asked when it may have changed, and not for each record that comes.

use std::collections::HashSet;
use std::fmt::Debug;
use std::time::Duration;

use propagule_files::clock::Moment;
use propagule_files::journal::StoreError;
use propagule_protocol::AuthorKey;

/// Says whom the grower backs.
pub trait Backing: Debug + Send + Sync {
    /// Every key of this home and of every grower with weight in its circle.
    ///
    /// # Errors
    /// Of the store.
    fn backed(&self) -> Result<HashSet<AuthorKey>, StoreError>;
}

/// Backs nobody.
#[derive(Clone, Copy, Debug)]
pub struct Nobody;

impl Backing for Nobody {
    fn backed(&self) -> Result<HashSet<AuthorKey>, StoreError> {
        Ok(HashSet::new())
    }
}

/// Between two looks at a circle that only strangers' vouches may have changed.
const LOOK_GAP: Duration = Duration::from_mins(1);

/// What was said last.
#[derive(Debug)]
pub(super) struct Kept {
    asked: Box<dyn Backing>,
    keys: HashSet<AuthorKey>,
    looked: Option<Moment>,
    is_doubtful: bool,
    changes: u64,
}

impl Default for Kept {
    fn default() -> Self {
        Self::new(Box::new(Nobody))
    }
}

impl Kept {
    pub(super) fn new(asked: Box<dyn Backing>) -> Self {
        Self { asked, keys: HashSet::new(), looked: None, is_doubtful: false, changes: 0 }
    }

    pub(super) fn changes(&self) -> u64 {
        self.changes
    }

    pub(super) fn forget(&mut self) {
        self.changes += 1;
        self.looked = None;
    }

    pub(super) fn doubt(&mut self) {
        self.is_doubtful = true;
    }

    pub(super) fn holds(&mut self, author: &AuthorKey, now: Moment) -> Result<bool, StoreError> {
        Ok(self.all(now)?.contains(author))
    }

    pub(super) fn all(&mut self, now: Moment) -> Result<&HashSet<AuthorKey>, StoreError> {
        let is_due = |looked: Moment| self.is_doubtful && now.since(looked) >= LOOK_GAP;
        if self.looked.is_none_or(is_due) {
            self.keys = self.asked.backed()?;
            (self.looked, self.is_doubtful) = (Some(now), false);
        }
        Ok(&self.keys)
    }
}
