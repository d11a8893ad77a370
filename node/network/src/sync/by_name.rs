//! The end of a session: what a home wants of growers that it knows and no common range holds.

use negentropy::Id;
use propagule_protocol::{AuthorKey, RecordId};

use super::super::{LocalSet, Question};
use super::{Pull, Stage, Step};
use crate::limits::LANE_IDS;
use crate::spread::Offence;
use propagule_files::journal::StoreError;

impl Pull {
    /// The next question about authors that no common range holds.
    pub(super) fn next_by_name(&mut self) -> Option<Question> {
        if let Some(author) = self.lane.next_differing() {
            self.stage = Stage::OfAuthor(author, None);
            return Some(Question::OfAuthor(author, None));
        }
        let authors = self.lane.next_heads()?;
        self.moved += authors.len() * size_of::<AuthorKey>();
        self.stage = Stage::Heads(authors.clone());
        Some(Question::Heads(authors))
    }

    /// Wants what a peer lists of an author; ids that do not rise lead nowhere.
    pub(super) fn listed(
        &mut self,
        (author, after): (AuthorKey, Option<RecordId>),
        ids: Vec<RecordId>,
        set: &(impl LocalSet + ?Sized),
    ) -> Result<Step, StoreError> {
        self.moved += ids.len() * size_of::<RecordId>();
        let rises = ids.iter().is_sorted()
            && ids.first().is_none_or(|first| after.is_none_or(|after| *first > after));
        if ids.len() > LANE_IDS || !rises {
            return Ok(self.blame(Offence::Garbled, 1));
        }
        let last = ids.last().copied().filter(|_| ids.len() == LANE_IDS);
        self.want(ids.into_iter().map(|id| Id::from_byte_array(id.0)).collect(), set)?;
        match last.filter(|_| !self.is_over_budget(0)) {
            Some(last) => {
                self.stage = Stage::OfAuthor(author, Some(last));
                Ok(Step::Ask(Question::OfAuthor(author, Some(last))))
            }
            None => self.next(set),
        }
    }
}
