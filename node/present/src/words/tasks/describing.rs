//! Correcting how a trial was described.

use crate::kind::KindWords;
use propagule_bench::Stage;

/// The heading.
pub fn title(code: &str) -> String {
    format!("Correct the description of {code}")
}

/// The day on which they were started.
pub fn day(words: &KindWords) -> String {
    format!("Day of {}", words.starting)
}

/// The day on which they are to be counted first.
pub fn lift_day(words: &KindWords) -> String {
    format!("{}: the day set in advance", words.title(Stage::Lift))
}

/// The site.
pub const SITE: &str = "Where you grow";
/// The site does not change.
pub const AS_IT_IS: &str = "as it is";
/// When the number may be changed.
pub const NUMBER_HELP: &str = "Only where it was miscounted: losses never lower this number.";

/// The field of a treatment.
pub fn method_of(label: &str) -> String {
    format!("Change the method of {label}")
}

/// An example of it, as it is typed.
pub const METHOD_EXAMPLE: &str = "hormone=none; leaves=halved";

/// How it is filled.
pub fn method_help() -> String {
    format!("What changes, such as {METHOD_EXAMPLE}. What is not named stays.")
}

/// When one counts as rooted.
pub fn rule(words: &KindWords) -> String {
    format!("Your test for \u{201c}{}\u{201d}", words.lead)
}

/// When one counts as finished.
pub const STANDARD: &str = "Your standard for \u{201c}finished\u{201d}";
