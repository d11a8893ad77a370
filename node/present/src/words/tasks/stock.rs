//! Stock plants, which some call mother plants.

use crate::kind::{capital, in_dialect, reads};

/// The heading of the form.
pub fn one() -> String {
    capital(in_dialect("stock plant", reads().dialect))
}

/// What they are, before how a treatment names one.
pub const ABOUT: &str = "The plants that cuttings and scions are taken from. Their names stay at home; a treatment names one with ";
/// How a treatment names one.
pub const NAMED: &str = "stock=NAME";
/// An example.
pub const NAME_HELP: &str = "Such as old hedge; the same name again adds to it";
/// The plant need not be named.
pub const PLANT_HELP: &str = "Genus and species, or a common name; may stay empty";
/// Seed, cutting or graft.
pub const RAISED_FROM: &str = "Raised from";
/// In years.
pub const AGE: &str = "Age";
/// An example.
pub const AGE_HELP: &str = "Such as 8 years";

/// The button.
pub fn save() -> String {
    format!("Save the {}", in_dialect("stock plant", reads().dialect))
}
