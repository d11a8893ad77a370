//! What forms say around their fields, whatever they ask.

/// Leads from the notice to the field that is wrong.
pub const TO_FIELD: &str = "Go to the field";
/// How a day may be written.
pub const DAY_HELP: &str =
    "A day such as 2026-06-05 or 5 June 2026, a month, \u{201c}about 2026-06-06\u{201d}, or a range";
/// What comes first in a day written in numbers.
pub const ORDER: &str = "In days written in numbers";
/// Why that is asked.
pub const ORDER_HELP: &str = "5/6 is 5 June or 6 May";
/// The answers: what is sent, and what is read.
pub const ORDERS: [(&str, &str); 3] =
    [("", "not said"), ("day", "the day comes first"), ("month", "the month comes first")];
/// The year of days that have none.
pub const YEAR: &str = "The year of days without one";
/// The day of an entry.
pub const DAY: &str = "Day";
/// A note.
pub const NOTE: &str = "Note";
/// Who reads it.
pub const NOTE_HELP: &str = "Private; it is never published";
/// The heading where something could not be done.
pub const FAILED: &str = "That did not work";
/// The way on from there.
pub const TO_TODAY: &str = "Back to Today";

/// Help of a field that asks for a day.
pub fn day_help(help: &str) -> String {
    if help.is_empty() { DAY_HELP.to_owned() } else { format!("{help} {DAY_HELP}") }
}
