//! Whole seasons by commands. Species, cultivars and growers are invented. The first five are the
//! worked seasons A to E: their figures were reckoned apart from this program, before it was written.

mod adviser;
mod bad_entries;
mod first_year;
mod grafter;
mod green;
mod more_seasons;
mod nursery;
mod paper;

use crate::home::TestHome;

/// A home on the test network with zone and hemisphere.
fn placed() -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    home
}

/// What a command says, with every run of blanks as one: lines are broken to the width of the terminal.
fn says(home: &TestHome, words: &[&str]) -> String {
    flat(&home.ok(words))
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[track_caller]
fn has(text: &str, parts: &[&str]) {
    for part in parts {
        assert!(text.contains(part), "\"{part}\" is not in: {text}");
    }
}

/// Number of the entry that a command saved.
fn entry(home: &TestHome, words: &[&str]) -> String {
    home.json(words)["entry"].as_u64().expect("a number").to_string()
}

/// Sets up a trial L1 of powder against none, in pots of four pieces.
fn two_arms_words(pots: &str) -> [&str; 14] {
    [
        "trial",
        "new",
        "L1",
        "Lumetta rosea",
        "--with",
        "kind=stem cutting; wood=softwood",
        "--arm",
        "powder: auxin=powder, strength unknown",
        "--arm",
        "none: auxin=none",
        "--pots",
        pots,
        "--pieces",
        "4",
    ]
}

/// A home with that trial; nothing is put in yet.
fn two_arms(pots: &str) -> TestHome {
    let home = TestHome::new();
    home.ok(&two_arms_words(pots));
    home
}
