//! The day on which they are stuck, grafted or sown, and how many.

use crate::kind::KindWords;

/// The heading of the numbers.
pub fn number(words: &KindWords) -> String {
    format!("Number {}", words.started)
}

/// Why they are counted now.
pub const COUNT_NOW: &str = "Count them now: this number stays for ever, and every share is of it.";
/// Where there was no count.
pub const FROM_MEMORY: &str = "The numbers are from memory, not counted on the day";
/// The bench.
pub const BENCH: &str = "Where they stand";
/// No bench is named.
pub const AS_PLANNED: &str = "as planned, or not said";
/// Whether the trial is announced.
pub const ANNOUNCING: &str = "Announcing on the network";
/// What announcing is for.
pub const ANNOUNCING_HELP: &str = "An announced trial is published on this day: method and number, no result. Then everybody can see \
     how many trials were never reported. Chosen once, for all later trials.";
/// Announces.
pub const ANNOUNCE: &str = "Announce this and later trials";
/// Does not.
pub const DO_NOT_ANNOUNCE: &str = "Do not announce trials";

/// What was chosen earlier, and stays.
pub const fn leave_it(announces: Option<bool>) -> &'static str {
    match announces {
        Some(true) => "Leave it: trials are announced",
        Some(false) => "Leave it: trials are not announced",
        None => "Not now",
    }
}

/// The button.
pub fn record(words: &KindWords) -> String {
    format!("Record as {}", words.started)
}

/// The box where there are too many pots for a field each.
pub const DIFFERS: &str = "Where it differs from the plan";
/// How it is filled.
pub const DIFFERS_HELP: &str = "One pot a line or parted by commas, such as P3=4";
