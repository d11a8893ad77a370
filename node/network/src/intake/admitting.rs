//! What of the good records that come is kept: who may bring how much today, and whose records make room.

use std::collections::{HashMap, HashSet};
use std::sync::{MutexGuard, PoisonError};

use propagule_protocol::{AuthorKey, Judged, RecordId, Refusal};

use super::{Gate, Verdict, Way};
use crate::admission::{AuthorClass, DayNumber};
use crate::limits::{REMEMBERED_LEFT, ROOM_GAP};
use crate::store::{Arrival, Records};
use propagule_files::clock::Moment;
use propagule_files::journal::StoreError;
use propagule_files::journal::frame::HEAD_BYTES;

/// Records that were not kept today, and when room was last looked for in vain.
#[derive(Debug, Default)]
pub(super) struct Left {
    day: DayNumber,
    pub(super) ids: HashSet<RecordId>,
    looked_in_vain: Option<Moment>,
}

impl Left {
    fn remember(&mut self, id: RecordId) {
        if self.ids.len() < REMEMBERED_LEFT {
            self.ids.insert(id);
        }
    }
}

/// Why a good record is not kept now.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum WhyLeft {
    /// Gossip brings its author's records too fast; exchange may bring it at once.
    Hurried,
    /// Its author has brought enough for today.
    OverDay,
    /// There is no room for all strangers, and its author is not among those kept.
    Outside,
}

impl Gate {
    pub(super) fn left_of(&self, today: DayNumber) -> MutexGuard<'_, Left> {
        let mut left = self.left.lock().unwrap_or_else(PoisonError::into_inner);
        if left.day != today {
            *left = Left { day: today, ..Left::default() };
        }
        left
    }

    /// Whether an author is seen for the first time. Who has records here and is not written down is from before that was
    /// done, and stays known.
    pub(super) fn is_unseen(&self, store: &dyn Records, author: &AuthorKey) -> Result<bool, StoreError> {
        Ok(self.admission().first_seen(author).is_none() && !store.holds_author(author)?)
    }

    /// Why a good record is not kept now, if it is not. What is known costs nothing.
    pub(super) fn left_out(
        &self,
        store: &dyn Records,
        judged: &Judged,
        way: Way,
    ) -> Result<Option<WhyLeft>, StoreError> {
        let Judged::Accepted(signed) = judged else { return Ok(None) };
        if store.knows(&signed.id)? {
            return Ok(None);
        }
        let (author, now) = (signed.author, self.clock.moment());
        let mut admission = self.admission();
        let class = admission.class(&author, now, || store.holds_author(&author))?;
        if class == AuthorClass::New && !admission.range().holds(&author) {
            return Ok(Some(WhyLeft::Outside));
        }
        let is_hurried = way == Way::Gossip && {
            let mut authors = self.authors.lock().unwrap_or_else(PoisonError::into_inner);
            !authors.admit(author, self.ticker.now())
        };
        if is_hurried {
            return Ok(Some(WhyLeft::Hurried));
        }
        Ok((!admission.count(author, class, now)).then_some(WhyLeft::OverDay))
    }

    /// Remembers that a record is not to be asked for again today; one that gossip brought too fast is.
    pub(super) fn leave(&self, why: WhyLeft, judged: &Judged) -> Verdict {
        if why != WhyLeft::Hurried
            && let Judged::Accepted(signed) = judged
        {
            let mut left = self.left_of(self.clock.moment().day());
            left.remember(signed.id);
        }
        if why == WhyLeft::Outside { Verdict::Dropped } else { Verdict::Delayed }
    }

    /// Where the batch does not fit, strangers beyond their share make room, and then known authors beyond theirs.
    pub(super) fn find_room(
        &self,
        store: &dyn Records,
        judged: &[Result<Judged, Refusal>],
    ) -> Result<(), StoreError> {
        let now = self.clock.moment();
        let signed = judged.iter().filter_map(|judged| match judged {
            Ok(Judged::Accepted(signed)) => Some(signed),
            _ => None,
        });
        let mut wants: HashMap<AuthorKey, u64> = HashMap::new();
        for signed in signed {
            *wants.entry(signed.author).or_default() += (signed.bytes.len() + HEAD_BYTES) as u64;
        }
        let ((used, quota), wanted) = (store.disk(), wants.values().sum::<u64>());
        let is_pressed = used + wanted > quota;
        if !is_pressed && used <= quota / 2 {
            self.admission().widen(now)?;
        }
        let lately = self.left_of(now.day()).looked_in_vain;
        if !is_pressed || lately.is_some_and(|looked| now.since(looked) < ROOM_GAP) {
            return Ok(());
        }
        let sizes = store.sizes()?;
        let go = self.admission().make_room(&sizes, (quota, used + wanted - quota), &wants, now)?;
        if go.is_empty() {
            self.left_of(now.day()).looked_in_vain = Some(now);
            return Ok(());
        }
        tracing::info!(authors = go.len(), "records of strangers make room");
        store.drop_authors(&go.into_iter().collect())
    }

    /// Whom the grower backs may be others once vouches, rotations or revocations came.
    pub(super) fn note_circle(&self, arrivals: &[Arrival], verdicts: &[Verdict]) {
        let came: HashSet<RecordId> = verdicts.iter().filter_map(Verdict::id).collect();
        let acts = |arrival: &Arrival| match arrival {
            Arrival::Accepted { signed, .. } => signed.body.summary().is_none() && came.contains(&signed.id),
            Arrival::Aside { .. } => false,
        };
        if arrivals.iter().any(acts) {
            self.admission().backing_may_have_changed();
        }
    }

    #[cfg(test)]
    pub(super) fn looked_in_vain(&self) -> Option<Moment> {
        self.left_of(self.clock.moment().day()).looked_in_vain
    }

    #[cfg(test)]
    pub(super) fn left_today_are(&self, ids: impl Iterator<Item = RecordId>) {
        let mut left = self.left_of(self.clock.moment().day());
        ids.for_each(|id| left.remember(id));
    }
}
