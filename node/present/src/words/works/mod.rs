//! What the pages of the room "What works" say around an answer: fields, folds, buttons and ways between them.

pub mod many;
pub mod methods;
pub mod near;
#[cfg(test)]
mod tests;

use propagule_evidence::{Outcome, Stage, Whose};

/// The button that asks.
pub const SHOW: &str = "Show results";
/// The plant that is asked about.
pub const PLANT: &str = "Plant";
/// How it may be named.
pub const PLANT_HELP: &str = "Scientific or common name";
/// The heading over plants to choose from.
pub const WHICH_PLANT: &str = "Which plant?";
/// The way to the data of an answer.
pub const AS_JSON: &str = "Answer as JSON";
/// Which count is asked about.
pub const COUNT: &str = "Count";
/// What of it is a success.
pub const OUTCOME: &str = "What counts";
/// Whose trials are read.
pub const WHOSE: &str = "Whose results";
/// Where a method ends and another begins.
pub const SPLIT_BY: &str = "Split methods by";
/// Pages of a long list.
pub const PAGES: &str = "Pages";

/// Counts: what is sent, and what is read.
pub const STAGES: [(&str, &str); 4] = [
    ("", "the first count: lift, take, germination"),
    (Stage::Season.word(), "the season-end count"),
    (Stage::Spring.word(), "the spring count"),
    (Stage::Final.word(), "the final count"),
];

/// Outcomes: what is sent, and what is read.
pub const OUTCOMES: [(&str, &str); 6] = [
    ("", "the usual: rooted, or finished at the final count"),
    (Outcome::Rooted.word(), "rooted, taken or germinated"),
    (Outcome::Alive.word(), "alive"),
    (Outcome::Callused.word(), "callused"),
    (Outcome::Established.word(), "established"),
    (Outcome::Final.word(), "finished"),
];

/// Whose results: what is sent, and what is read.
pub const WHOSE_RESULTS: [(&str, &str); 6] = [
    ("", "the usual: growers you trust, where you chose some"),
    ("everybody", "everybody"),
    ("circle", "growers you trust, by how far you trust them"),
    ("friends-of-friends", "growers you chose, and those they chose"),
    ("friends", "only growers you chose yourself"),
    ("mine", "you alone"),
];

/// What a field that lists codes, by commas, is read as: each name with a space for its line.
pub fn plain(name: &str) -> String {
    name.split(',').map(crate::kind::detail).collect::<Vec<_>>().join(", ")
}

/// Whose results count, in words.
pub fn whose_words(whose: Whose) -> &'static str {
    match whose {
        Whose::Mine => "you alone",
        Whose::Friends | Whose::Circle => "growers you trust",
        Whose::FriendsOfFriends => "growers you trust, and those they trust",
        Whose::Everybody => "everybody",
    }
}
