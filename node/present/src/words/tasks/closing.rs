//! Closing a trial, reopening it, keeping it at home.

use crate::words::new_trial::NOT_SAID;

/// The heading, and the button.
pub fn title(is_closed: bool, code: &str) -> String {
    format!("{} {code}", if is_closed { "Reopen" } else { "Close" })
}

/// What reopening does.
pub const REOPENING: &str = "Reopening undoes this, with what it said of the rest. The history keeps it.";
/// What closing does.
pub const CLOSING: &str = "Nothing is due for it any more, and nothing is counted there. Its results stand.";
/// The field of the reason.
pub const WHY: &str = "Why";
/// Reasons: what is sent, and what is read.
pub const REASONS: [(&str, &str); 5] = [
    ("", NOT_SAID),
    ("sold-out", "all sold"),
    ("given-up", "given up"),
    ("done", "done"),
    ("merged", "merged with another batch"),
];
/// From when that holds.
pub const REST_HELP: &str = "They count so from that day on";
/// What may have become of them: what is sent, and what is read.
pub const FATES: [(&str, &str); 4] =
    [("", "choose"), ("dead", "they are dead"), ("lost", "they are lost"), ("not-known", "not seen")];

/// The heading of the page that keeps a trial at home.
pub fn private_title(is_private: bool, code: &str) -> String {
    if is_private { format!("Allow publishing of {code}") } else { format!("Keep {code} private") }
}

/// Its button.
pub const fn private_button(is_private: bool) -> &'static str {
    if is_private { "Allow publishing" } else { "Keep it private" }
}

/// What it does.
pub const fn private_does(is_private: bool) -> &'static str {
    if is_private {
        "It may be published again; nothing is published by this."
    } else {
        "It is never offered for publishing, and publishing it is refused."
    }
}

/// What it does not do.
pub const PUBLISHED_STAYS: &str =
    "What is published of it stays so until you withdraw it on its page under Share.";
