//! What changes the record says how to take that back, where a command does so.

use crate::home::{TestHome, ran};
use crate::manual::commands;

/// An invented grower whose key is that of RFC 8032 §7.1, test 1.
const GROWER: &str = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
const NODE: &str = "12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
const OTHER_NODE: &str = "12D3KooWCCaMmrZvAj5d5TsybtPuGBNtwbUEeTRmV8vmrrGN67VZ";

/// Commands that can be taken back, in an order in which each can be done after the one before was taken back.
const CHANGES: &[&[&str]] = &[
    &["check", "L1", "--on", "2026-07-01"],
    &["check", "L1", "--on", "2026-07-01", "P1:dead=1"],
    &["check", "L1", "--on", "2026-07-01", "--suckers"],
    &["check", "L1", "--on", "2026-07-01", "--tape-cut"],
    &["lift", "L1", "--on", "2026-09-01", "P1:rooted=4"],
    &["season", "L1", "--on", "2026-09-20", "P1:rooted=4"],
    &["spring", "L1", "--on", "2026-10-01", "P1:rooted=4"],
    &["final", "L1", "--on", "2026-11-01", "P1:finished=4"],
    &["move", "L1", "--bench", "mist house", "--on", "2026-07-01"],
    &["give", "L1", "P2=1", "--on", "2026-07-01"],
    &["plant-out", "L1", "P2=1", "--on", "2026-07-01"],
    &["sell", "L1", "P1=1", "--on", "2026-07-01"],
    &["note", "L1", "--note", "green"],
    &["note", "mist house", "--note", "the timer stuck"],
    &["log", "mist house", "--feed", "half strength"],
    &["bench", "mist house", "--trials", "L1", "--on", "2026-07-01"],
    &["check", "--bench", "ok", "--on", "2026-07-02"],
    &["trial", "close", "L1", "--because", "given-up", "--rest", "dead", "--on", "2026-07-02"],
    &["trial", "private", "L1"],
    &["names", "Rubus niger", "--same-as", "Morus nigra"],
    &["trust", "add", GROWER, "--as", "the nursery"],
    &["trust", "mute", "the nursery"],
    &["trust", "vouch", "the nursery", "--yes"],
    &["peers", "allow", NODE],
];

/// Commands that take back what stands, and name the way to where it was.
const BACK: &[(&[&str], &[&str])] = &[
    (&["trial", "close", "L1", "--rest", "lost", "--on", "2026-07-02"], &["trial", "reopen", "L1"]),
    (&["trial", "reopen", "L1"], &["trial", "private", "L1"]),
    (&["settings", "publishing", "on"], &["settings", "publishing", "off"]),
    (&["settings", "clock", "right"], &["settings", "clock", "checked"]),
    (&["settings", "announce", "on"], &["settings", "announce", "off"]),
    (&["names", "Rubus niger", "--same-as", "Morus nigra"], &["names", "Rubus niger", "--apart"]),
    (&["trust", "add", GROWER], &["trust", "remove", GROWER]),
    (&["trust", "mute", GROWER], &["trust", "unmute", GROWER]),
    (&["peers", "allow", NODE, "--as", "a friend"], &["peers", "disallow", NODE]),
    (&["peers", "allow", OTHER_NODE], &["peers", "disallow", OTHER_NODE]),
];

/// Commands that change something and have nothing to name, with the reason.
const WITHOUT: [(&str, &str); 25] = [
    ("settings dialect", "the same command chooses another"),
    ("settings units", "the same command chooses others"),
    ("settings country", "the same command names another"),
    ("settings date-order", "the same command chooses the other"),
    ("init", "a home is a folder"),
    ("site", "the same command describes it anew"),
    ("stock", "the same command describes it anew"),
    ("trial new", "a description is corrected: it names how"),
    ("trial copy", "a description is corrected: it names how"),
    ("fix", "it is itself a correction, and the history keeps what stood before"),
    ("undo", "it is itself the way back: what it took back stays in the history"),
    ("stick", "a description is corrected: it names how"),
    ("trial import", "a mended table is read again"),
    ("trial edit", "it is itself a correction, and the history keeps what stood before"),
    ("trial layout", "the same command lays it out anew"),
    ("cautions hide", "it says until when"),
    ("withdraw", "it is final, and says so before"),
    ("key replace", "it is final, and says so before"),
    ("key cancel", "it is final, and says so before"),
    ("peers add", "an address that leads nowhere is forgotten by itself"),
    ("bundle import", "records of others are kept by their own rules"),
    ("store repair", "what it takes out is kept aside"),
    ("store compact", "nothing is lost by it"),
    ("export", "it writes files and changes nothing"),
    ("restore", "a home is a folder"),
];

/// Commands that change nothing that is kept.
const READING: [&str; 22] = [
    "trial pots",
    "trial list",
    "trial show",
    "trial history",
    "print labels",
    "print sheet",
    "print report",
    "due",
    "serve",
    "peers invite",
    "peers list",
    "key show",
    "pool",
    "compare",
    "plan",
    "bundle export",
    "bundle request",
    "store verify",
    "doctor",
    "demo",
    "man",
    "completions",
];

fn home() -> TestHome {
    let home = TestHome::with_trial();
    let arms = [
        "--treatment",
        "dip: auxin=IBA 3000 mg/L quick dip",
        "--treatment",
        "none: auxin=none",
        "--pots",
        "2",
    ];
    home.ok(&[&["trial", "new", "L1", "Cornus mas"][..], &arms, &["--per-pot", "4"]].concat());
    home.ok(&["stick", "L1", "--on", "2026-06-06"]);
    home.ok(&["bench", "mist house", "--about", "humidity=mist"]);
    home
}

/// The commands that an answer names for taking it back, on its line or the next.
fn named(said: &str) -> Vec<&str> {
    let behind = said.split("To undo this:").skip(1).map(str::trim_start);
    behind.filter_map(|rest| rest.strip_prefix("propagule ")?.lines().next()).collect()
}

/// Does what an answer names, as a shell reads it after pasting.
fn take_back(home: &TestHome, words: &[&str], said: &str) {
    let lines = named(said);
    assert_eq!(lines.len(), 1, "{words:?}: {said}");
    let back = ran(&home.pasted(&format!("hint: propagule {}", lines[0])).output().expect("a shell"));
    assert_eq!(back.code, 0, "{words:?}: {back:?}");
}

#[test]
fn what_is_saved_names_how_to_take_it_back_and_that_works() {
    let home = home();
    let before = home.json(&["trial", "show", "L1"]);
    for words in CHANGES {
        take_back(&home, words, &home.ok(words));
    }
    assert_eq!(home.json(&["trial", "show", "L1"]), before, "all of it was taken back");
    for (first, words) in BACK {
        home.ok(first);
        take_back(&home, words, &home.ok(words));
    }
}

#[test]
fn what_everybody_can_read_names_the_way_back_and_that_asks_first() {
    let home = home();
    let said = home.ok(&["publish", "M1", "--yes"]);
    assert_eq!(named(&said), ["withdraw M1 --reason mistaken"]);
    let asked = home.fails(1, &["withdraw", "M1", "--reason", "mistaken"]);
    assert!(asked.contains("--yes"), "{asked}");
    home.ok(&["trust", "vouch", GROWER, "--yes"]);
    let said = home.ok(&["trust", "unvouch", GROWER]);
    assert_eq!(named(&said), [format!("trust vouch {GROWER}")]);
    assert!(home.fails(1, &["trust", "vouch", GROWER]).contains("--yes"));
}

#[test]
fn a_list_that_is_dropped_can_be_had_again() {
    let home = home();
    home.ok(&["peers", "allow", NODE, "--as", "a friend"]);
    home.ok(&["peers", "allow", OTHER_NODE]);
    let said = home.ok(&["peers", "allow", "--all"]);
    assert_eq!(
        named(&said),
        [format!("peers allow {NODE} --as 'a friend'"), format!("peers allow {OTHER_NODE}")]
    );
}

#[test]
fn every_command_is_taken_back_or_has_a_reason() {
    let all = commands();
    for one in all.iter().skip(1) {
        let words: Vec<&str> = one.words[1..].iter().map(String::as_str).collect();
        let is_group = all
            .iter()
            .any(|other| other.words.len() > one.words.len() && other.words.starts_with(&one.words));
        let name = words.join(" ");
        let changes = CHANGES.iter().copied().chain(BACK.iter().map(|(_, words)| *words));
        let is_tried = changes.clone().any(|tried| tried.starts_with(&words))
            || ["publish", "trust unvouch"].contains(&name.as_str());
        let is_excused =
            WITHOUT.iter().any(|(command, _)| *command == name) || READING.contains(&name.as_str());
        assert!(
            is_tried || is_excused || is_group,
            "{name}: in CHANGES of undo.rs, or in WITHOUT with the reason"
        );
    }
}
