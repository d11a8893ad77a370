//! From outcomes to documents, and from those to what a command prints. All words stand here and in the crate
//! `propagule-present`; no decision does.

mod place;
mod units;

use propagule_present::document::Document;
use propagule_present::text;

use crate::app::Report;
use crate::app::outcome::Outcome;

/// What is shown of an outcome.
pub fn document(outcome: &Outcome) -> Document {
    match outcome {
        Outcome::PlaceSaved(saved) => place::saved(saved),
        Outcome::Places(places) => place::all(places),
        Outcome::Units(units) => units::all(units),
    }
}

/// An outcome as a command shows it: its words at a width, and its data.
pub fn report(outcome: &Outcome, width: usize) -> Report {
    let json = serde_json::to_value(outcome).expect("outcomes are plain data");
    Report { text: text::render(&document(outcome), width), json }
}
