//! What is asked with `--json`, in one home and in this order.

/// An invented grower whose key is that of RFC 8032 §7.1, test 1.
const GROWER: &str = "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a";
const NODE: &str = "12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";
const ADDRESS: &str = "/ip4/192.0.2.7/tcp/48620/p2p/12D3KooWK99VoVxNE7XzyBwXEzW7xhK7Gpv85r9F3V3fyKSUKPH5";

/// Commands that answer; what they answer holds as many of its fields as can be had in one home.
pub(super) const ASKED: &[&[&str]] = &[
    &[],
    &["init"],
    &["place", "--zone", "8b", "--hemisphere", "north"],
    &["place"],
    &["stock", "old hedge", "--species", "Ribes nigrum", "--with", "stock age=8 years"],
    &["stock"],
    &["spot", "mist house", "--with", "growing place=glass"],
    &["trial", "new", "N1", "Ribes nigrum", "--pieces", "30"],
    &["stick", "N1", "--on", "2026-11-02"],
    &["spot", "mist house", "--lots", "N1", "--on", "2026-11-03"],
    &["care", "mist house", "--mist", "8 s every 4 min 07:00-20:00", "--on", "2026-11-03"],
    &["spot"],
    &["spot", "cold frame", "--with", "growing place=cold frame"],
    &["check", "N1", "--on", "2026-11-20", "dead=2"],
    &["move", "N1", "--to", "cold frame", "--on", "2026-11-21"],
    &["lift", "N1", "--on", "2026-11-22", "rooted=20", "--rest", "alive"],
    &["season", "N1", "--on", "2026-11-22", "rooted=20", "--rest", "alive"],
    &["spring", "N1", "--on", "2026-11-23", "rooted=22", "--rest", "alive"],
    &["final", "N1", "--on", "2026-11-24", "finished=20", "--rest", "alive"],
    &["fix", "N1", "last", "alive=28,finished=21", "--on", "2026-11-25"],
    &["pots", "N1"],
    &["trial", "pots", "N1"],
    &["trial", "copy", "N1"],
    &["note", "N1", "--note", "strong roots"],
    &["undo", "--yes"],
    &["trial", "list"],
    &["trial", "show", "N1"],
    &["trial", "history", "N1"],
    &["trial", "correct", "N1", "--note", "by the wall"],
    &["trial", "layout", "M1"],
    &["trial", "labels", "M1"],
    &["trial", "sheet", "M1"],
    &["trial", "report", "M1"],
    &["trial", "caution", "mist-water", "--hide"],
    &["due", "--as-of", "2026-12-20"],
    &["check", "--spot", "cold frame", "ok", "--on", "2026-11-24"],
    &["trial", "close", "N1", "--because", "done", "--rest", "not-known"],
    &["trial", "close", "--asleep", "--rest", "not-known", "--yes"],
    &["trial", "reopen", "N1"],
    &["trial", "private", "N1"],
    &["settings", "publishing", "on"],
    &["settings"],
    &["trial", "import", "spring.csv", "--dry-run"],
    &["publish", "M1", "--yes", "--now"],
    &["pool", "Morus nigra"],
    &["pool", "Arbutus unedo"],
    &["pool", "--from", "evidence.csv"],
    &["compare", "g01/t1", "--from", "evidence.csv", "--sites", "sites.csv"],
    &["plan", "--from", "evidence.csv", "--want", "12"],
    &["withdraw", "M1", "--reason", "mistaken", "--yes"],
    &["plant", "black mulberry"],
    &["plant", "Rubus niger", "--same-as", "Morus nigra"],
    &["plant"],
    &["circle", "trust", GROWER, "--as", "the nursery"],
    &["circle", "untrust", "the nursery"],
    &["circle", "mute", "the nursery"],
    &["circle", "unmute", "the nursery"],
    &["circle", "vouch", "the nursery", "--yes"],
    &["circle"],
    &["circle", "unvouch", "the nursery"],
    &["key", "show"],
    &["key", "revoke", "--write-sheet", "-"],
    &["key", "rotate", "--yes"],
    &["key", "revoke", "--from", "2026-11", "--yes"],
    &["peers", "add", ADDRESS],
    &["peers", "allow", NODE, "--as", "a friend"],
    &["peers", "list"],
    &["peers", "disallow", NODE],
    &["bundle", "out", "all.bundle"],
    &["bundle", "request", "mine.request"],
    &["bundle", "in", "all.bundle"],
    &["store", "verify"],
    &["store", "repair"],
    &["store", "compact"],
    &["export", "exported"],
    &["export", "exported.zip"],
    &["doctor"],
    &["trial", "show", "Z9"],
];

/// The same while the node of that home runs.
pub(super) const ASKED_OF_A_NODE: &[&[&str]] = &[
    &["peers", "invite"],
    &["peers", "list"],
    &["peers", "allow", NODE],
    &["peers", "allow", "--all"],
    &["doctor"],
];

/// What no command answers, and where a sample of it is held against its schema.
pub(super) const NOT_SHOWN: [(&str, &str); 3] = [
    ("propagule.units/1", "asked for by other commands: present/tests/sent.rs"),
    ("propagule.page_saved/1", "told to the script of the page: src/web/rooms/tests.rs"),
    ("propagule.page_refused/1", "told to the script of the page: src/web/rooms/tests.rs"),
];

/// Commands that do not answer, and what they do.
pub(super) const WITHOUT: [(&str, &str); 5] = [
    ("restore", "makes a home where there is none: asked by itself"),
    ("serve", "runs until it is stopped"),
    ("demo", "plays a story to be watched"),
    ("man", "writes pages for another program"),
    ("completions", "writes a script for a shell"),
];
