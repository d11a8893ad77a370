//! A question before something is saved.

use propagule_files::fault::Answer;

/// The heading.
pub const TITLE: &str = "Is that so?";
/// Saves nothing.
pub const NO: &str = "No: save nothing";

/// The button of an answer.
pub const fn answer(answer: Answer) -> &'static str {
    match answer {
        Answer::Yes => "Yes, save it",
        Answer::Instead => "Correct the earlier one",
        Answer::Again => "It is a second one of that day",
    }
}
