//! Correcting an entry.

use crate::kind::{KindWords, capital};

/// The heading.
pub fn title(number: u64) -> String {
    format!("Correct entry {number}")
}

/// Before what the entry says.
pub const SAYS: &str = "It says: ";
/// The button.
pub const CORRECT: &str = "Save the correction";
/// The other button.
pub const UNDO: &str = "It never happened: undo it";
/// What is kept.
pub const KEPT: &str = "How it stood before stays in the history.";
/// Why some died or were lost.
pub const CAUSE: &str = "Cause";

/// The fold of counts that were not used.
pub fn more_of(place: &str) -> String {
    format!("More of {place}")
}

/// The field of a count.
pub fn count(name: &str, words: &KindWords) -> String {
    match name {
        "finished" => "Finished, by your standard".to_owned(),
        "alive" => format!("Alive, {} ones included", words.lead),
        "dead" => "Dead since the count before".to_owned(),
        "lost" => "Lost since the count before".to_owned(),
        "found-alive" => "Dead before, found alive".to_owned(),
        other => capital(&words.state(other)),
    }
}
