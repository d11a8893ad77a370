//! The history of a trial.

/// The heading.
pub fn title(code: &str) -> String {
    format!("History of {code}")
}

/// Before anything was entered.
pub const EMPTY: &str = "Nothing yet.";
/// Pages of a long history.
pub const ENTRIES: &str = "Entries";
/// The heading of what was changed in the description.
pub const CHANGES: &str = "Changes of the description";
/// Corrects an entry.
pub const CORRECT: &str = "Correct";

/// When an entry was typed.
pub fn typed(time: &str) -> String {
    format!("typed {time}")
}

/// Before what an entry said until then.
pub fn until(time: &str) -> String {
    format!("until {time}: ")
}
