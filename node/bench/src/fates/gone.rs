//! Pieces that went since roots were last looked for, and of which it is not settled whether they had any.

use super::{Column, Fates};

/// Where a piece went.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Where {
    NotKnown,
    Dead,
    Lost,
    Finished,
    Below,
}

/// Pieces that went to one place on one day, booked as without roots.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Gone {
    pub(super) place: Where,
    pub(super) count: u16,
}

impl Fates {
    pub(super) fn column(&mut self, place: Where) -> &mut Column {
        match place {
            Where::NotKnown => &mut self.not_known,
            Where::Dead => &mut self.dead,
            Where::Lost => &mut self.lost,
            Where::Finished => &mut self.finished,
            Where::Below => &mut self.below,
        }
    }
}
