//! Notes, moves, plants that leave, graft tape and suckers.

use crate::kind::{KindWords, capital};

/// The heading of a note.
pub fn note_on(code: &str) -> String {
    format!("Note on {code}")
}

/// The heading of moves and sales.
pub fn move_or_sell(code: &str) -> String {
    format!("Move or sell from {code}")
}

/// The heading of what is done to grafts.
pub fn tape_and_suckers(words: &KindWords, code: &str) -> String {
    format!("{} and suckers of {code}", capital(words.trade("graft tape")))
}

/// The button of a note.
pub const SAVE_NOTE: &str = "Save the note";
/// The heading of a move.
pub const MOVE_LIVING: &str = "Move the living ones to another bench";

/// What a move does to counts.
pub fn after_a_move(words: &KindWords) -> String {
    format!(
        "The trial stays one, and the number {} stays the same. What is first seen {} after a move counts for both benches, \
         one after the other.",
        words.started, words.lead
    )
}

/// The treatments of a trial, to be ticked.
pub const WHICH_MOVE: &str = "Treatments that move";
/// The bench.
pub const WHERE_TO: &str = "Where to";
/// How it may be named.
pub const WHERE_TO_HELP: &str = "One of your benches, or words of your own";
/// The details that change.
pub const WHAT_ELSE: &str = "What else differs from then on";
/// An example of them, as it is typed.
pub const WHAT_ELSE_EXAMPLE: &str = "container=pot; cover=none";

/// How they are written.
pub fn what_else_help() -> String {
    format!("Such as {WHAT_ELSE_EXAMPLE}")
}
/// The button of a move.
pub const MOVE: &str = "Move";
/// The heading of a sale or gift.
pub const SOME_LEFT: &str = "Sold, given or planted out";
/// The pot they stood in.
pub const FROM: &str = "From";

/// How many left.
pub fn how_many(words: &KindWords) -> String {
    format!("How many {}", words.plural())
}

/// How they left.
pub const THEY_WERE: &str = "They were";
/// Ways: what is sent, and what is read.
pub const WAYS: [(&str, &str); 3] =
    [("sold", "sold"), ("given", "given away"), ("planted out", "planted out for good")];
/// As what they left.
pub const THEY_LEFT: &str = "They left";
/// Whether finished: what is sent, and what is read.
pub const GRADES: [(&str, &str); 2] = [
    ("yes", "as finished, by my own standard: they count so"),
    ("no", "before they were finished: their outcome is not known"),
];
/// Shoots of the rootstock.
pub const SUCKERS: &str = "Rootstock suckers";
/// How many of them, by treatment.
pub const REMOVED: &str = "Removed, where there were any";
/// The button of suckers.
pub const SUCKERS_REMOVED: &str = "Suckers removed";

/// The heading of what binds a graft.
pub fn tape(words: &KindWords) -> String {
    capital(words.trade("graft tape"))
}

/// Its button.
pub fn tape_is_cut(words: &KindWords) -> String {
    capital(words.trade("tape cut"))
}
