//! Answers in words; what they say stands in `answer`.

use propagule_present::document::Document;

use propagule_app::outcome::answers::PoolOutcome;
use propagule_present::screens;
use propagule_present::screens::pool::Around;

/// How often the methods of a species succeed.
pub(super) fn pooled(pooled: &PoolOutcome) -> Document {
    let around = Around { also: &pooled.synonyms, ..Around::default() };
    screens::pool(&pooled.answer, &around).document()
}
