//! Finding a trial among many.

use super::sentences::number_of;

/// The field.
pub const LABEL: &str = "Find a trial or batch";
/// By what it is found.
pub const HELP: &str = "By code, plant, treatment or note; more words narrow it down.";
/// The button.
pub const FIND: &str = "Find";
/// The way back to all of them.
pub const ALL: &str = "Show all";
/// Before anything was set up.
pub const EMPTY: &str = "No trial yet.";

/// How many were found.
pub fn found(trials: usize) -> String {
    match trials {
        0 => "Nothing on the bench has these words.".to_owned(),
        some => format!("{} found.", number_of(some, "trial or batch", "trials and batches")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn none_one_and_several() {
        assert_eq!(found(0), "Nothing on the bench has these words.");
        assert_eq!([found(1), found(12)], ["1 trial or batch found.", "12 trials and batches found."]);
    }
}
