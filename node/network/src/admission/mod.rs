//! Who is let in, and how much of them is kept: classes of authors, what each may bring in a day, and whose records go
//! when there is no room.
//!
//! Whether a record is **valid** depends on bytes and other records alone and is the same everywhere; whether it is **held**
//! is each home's own choice, made here. Anybody makes a thousand keys in a second, so room is shared by class: whom the
//! grower backs, whom this home has known for a month, and everybody else.

mod backing;
mod days;
mod first_seen;
mod range;
mod room;
#[cfg(test)]
mod tests;

use std::collections::HashMap;
use std::path::Path;
use std::time::Duration;

use propagule_files::clock::Moment;
use propagule_files::journal::StoreError;
use propagule_protocol::AuthorKey;

pub use backing::{Backing, Nobody};
pub use range::{AuthorRange, author_hash};
pub use room::{HeldAuthor, Shortage, Squeezed, squeeze};

use crate::limits::{BACKED_PER_DAY, KNOWN_PER_DAY, LANE_AUTHORS, NEW_PER_DAY};
use crate::spread::Dice;
use days::Days;
use first_seen::FirstSeen;

/// A day, counted from the first of 1970.
pub type DayNumber = u32;

/// How an author stands to this home. It is judged here and never told to others.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum AuthorClass {
    /// A key of this home, or a grower of the circle.
    Backed,
    /// First seen here a month ago or earlier, or taken as known by the grower's word.
    Known,
    /// Everybody else.
    New,
}

impl AuthorClass {
    /// New records of one author that are taken in on one day, whatever way they come.
    pub fn per_day(self) -> u32 {
        match self {
            Self::Backed => BACKED_PER_DAY,
            Self::Known => KNOWN_PER_DAY,
            Self::New => NEW_PER_DAY,
        }
    }
}

/// What decides who is let in.
#[derive(Debug)]
pub struct Admittance {
    known_after: DayNumber,
    first_seen: FirstSeen,
    days: Days,
    backed: backing::Kept,
}

impl Admittance {
    /// Nothing is written down; an author is known after so long.
    pub fn in_memory(known_after: Duration) -> Self {
        Self::with(FirstSeen::in_memory(), known_after)
    }

    /// When each author was first seen stands in the file at `path`, which is made when there is something to write.
    ///
    /// # Errors
    /// When the file cannot be read.
    pub fn open(path: &Path, known_after: Duration) -> Result<Self, StoreError> {
        Ok(Self::with(FirstSeen::open(path)?, known_after))
    }

    fn with(first_seen: FirstSeen, known_after: Duration) -> Self {
        let days = DayNumber::try_from(known_after.as_secs() / (24 * 60 * 60)).unwrap_or(DayNumber::MAX);
        Self { known_after: days, first_seen, days: Days::default(), backed: backing::Kept::default() }
    }

    /// Whom the grower backs is asked of `backing` from now on.
    pub fn backed_by(&mut self, backing: Box<dyn Backing>) {
        self.backed = backing::Kept::new(backing);
    }

    /// The circle is another than it was.
    pub fn backing_changed(&mut self) {
        self.backed.forget();
    }

    /// A record came that may change the circle; it is asked for again, though not for each of many.
    pub fn backing_may_have_changed(&mut self) {
        self.backed.doubt();
    }

    /// How an author stands; `is_held` says whether records of one that is not written down were here before.
    ///
    /// # Errors
    /// Of the store, from `is_held` and from who backs whom.
    pub fn class(
        &mut self,
        author: &AuthorKey,
        now: Moment,
        is_held: impl FnOnce() -> Result<bool, StoreError>,
    ) -> Result<AuthorClass, StoreError> {
        if self.backed.holds(author, now)? {
            return Ok(AuthorClass::Backed);
        }
        Ok(match self.first_seen.day(author) {
            Some(day) => self.by_day(day, now.day()),
            // From before days were written down.
            None if is_held()? => AuthorClass::Known,
            None => self.by_day(now.day(), now.day()),
        })
    }

    fn by_day(&self, first: DayNumber, today: DayNumber) -> AuthorClass {
        if first.saturating_add(self.known_after) <= today { AuthorClass::Known } else { AuthorClass::New }
    }

    /// The day on which an author was first seen here; none of one from before days were written down.
    pub fn first_seen(&self, author: &AuthorKey) -> Option<DayNumber> {
        self.first_seen.day(author)
    }

    /// The day on which the first author of all was seen here.
    pub fn since(&self) -> Option<DayNumber> {
        self.first_seen.since()
    }

    /// How often what decides how authors stand has changed.
    pub fn changes(&self) -> u64 {
        self.first_seen.changes() + self.backed.changes()
    }

    /// Writes down, before their records are kept, the authors that are seen for the first time.
    ///
    /// # Errors
    /// A failed write; then nothing of them may be kept.
    pub fn note(&mut self, authors: &[AuthorKey], now: Moment) -> Result<(), StoreError> {
        self.first_seen.note(authors, now.day())
    }

    /// Takes authors as known from now on, by the grower's word.
    ///
    /// # Errors
    /// A failed write.
    pub fn take_as_known(&mut self, authors: &[AuthorKey]) -> Result<(), StoreError> {
        self.first_seen.take_as_known(authors)
    }

    /// Whether one more new record of an author of this class is taken in today; if so it counts.
    pub fn count(&mut self, author: AuthorKey, class: AuthorClass, now: Moment) -> bool {
        self.days.admit(author, class.per_day(), now.day())
    }

    /// The authors of class new that are let in while there is no room for all.
    pub fn range(&self) -> AuthorRange {
        self.first_seen.range()
    }

    /// Growers whose records are asked for by name, in an order that shows nobody which of them are trusted.
    ///
    /// # Errors
    /// Of who backs whom.
    pub fn asked_for_by_name(
        &mut self,
        now: Moment,
        dice: &mut dyn Dice,
    ) -> Result<Vec<AuthorKey>, StoreError> {
        let mut keys: Vec<AuthorKey> = self.backed.all(now)?.iter().copied().collect();
        let today = now.day();
        let known = self.first_seen.iter().filter(|(_, day)| self.by_day(*day, today) == AuthorClass::Known);
        keys.extend(known.map(|(author, _)| author));
        keys.sort_unstable();
        keys.dedup();
        for place in (1..keys.len()).rev() {
            keys.swap(place, dice.below(place as u64 + 1) as usize);
        }
        keys.truncate(LANE_AUTHORS);
        Ok(keys)
    }

    /// Lets one half of the range in again when that is due.
    ///
    /// # Errors
    /// A failed write.
    pub fn widen(&mut self, now: Moment) -> Result<bool, StoreError> {
        self.first_seen.widen(now.day())
    }

    /// Makes room among the authors that take so many bytes each, and says whose records go; `lacking` bytes must go
    /// out of `quota`, and `wants` is what wants to come in.
    ///
    /// # Errors
    /// Of the store, or a failed write.
    pub fn make_room(
        &mut self,
        sizes: &HashMap<AuthorKey, u64>,
        (quota, lacking): (u64, u64),
        wants: &HashMap<AuthorKey, u64>,
        now: Moment,
    ) -> Result<Vec<AuthorKey>, StoreError> {
        // Whom no range will hold is asked for by name, so that those from before need their line now.
        let unwritten = |author: &&AuthorKey| self.first_seen.day(author).is_none();
        let before: Vec<AuthorKey> = sizes.keys().filter(unwritten).copied().collect();
        self.first_seen.take_as_known(&before)?;
        let mut held = Vec::with_capacity(sizes.len());
        for (author, bytes) in sizes {
            let class = self.class(author, now, || Ok(true))?;
            let first_seen = self.first_seen.day(author).unwrap_or(0);
            held.push(HeldAuthor { author: *author, class, first_seen, bytes: *bytes });
        }
        let mut room = Shortage { quota, lacking, wants: HashMap::new() };
        for (author, bytes) in wants {
            let class = self.class(author, now, || Ok(sizes.contains_key(author)))?;
            *room.wants.entry(class).or_insert(0) += bytes;
        }
        let Squeezed { bits, go } = squeeze(self.first_seen.drawn_by(), &held, &room);
        if bits != self.range().bits() || !go.is_empty() {
            self.first_seen.narrow(bits, &go, now.day())?;
        }
        Ok(go)
    }
}
