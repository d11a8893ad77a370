//! Answers in words; what they say stands in `answer`.

use propagule_present::document::Document;

use crate::answer::screens;
use crate::answer::screens::pool::Around;
use crate::app::outcome::answers::PoolOutcome;

/// How often the methods of a species succeed.
pub(super) fn pooled(pooled: &PoolOutcome) -> Document {
    let around = Around { also: &pooled.synonyms, ..Around::default() };
    screens::pool(&pooled.answer, &around).document()
}
