//! The pots of a trial in words.

use crate::document::{Document, List};

use propagule_app::outcome::units::UnitsToCount;

/// The pots of a trial, in the order of their tags.
pub(super) fn all(of: &UnitsToCount) -> Document {
    let tags = of.units.tag_order().into_iter().map(|tag| tag.code);
    Document::new().say(format!("Pots of {}:", of.units.trial)).list(List::points(tags))
}
