//! Answers in words; what they say stands in `answer`.

use crate::document::Document;

use crate::screens;
use crate::screens::pool::Around;
use propagule_app::outcome::answers::PoolOutcome;

/// How often the methods of a species succeed.
pub(super) fn pooled(pooled: &PoolOutcome) -> Document {
    let around = Around { also: &pooled.synonyms, ..Around::default() };
    screens::pool(&pooled.answer, &around).document()
}
