//! The revocation on a sheet: offered, written, typed in, published from any home.

use std::fs;

use super::{at, bundle_of, keys, published, strangers_pool, strangers_pool_fails};
use crate::home::{TestHome, ran};

#[test]
fn the_first_record_under_a_key_offers_a_sheet_and_later_ones_do_not() {
    let home = TestHome::with_trial();
    let first = home.ok(&["publish", "M1", "--yes", "--now"]);
    assert!(first.contains("propagule key cancel --write-sheet cancel-key.txt"), "{first}");
    home.import_spring();
    assert!(!home.ok(&["publish", "M1", "--yes", "--now"]).contains("--write-sheet"));
}

/// Writes the sheet of a home that published, and returns what stands on it.
fn sheet_of(home: &TestHome) -> String {
    let path = home.write("sheet.txt", "");
    let kept = home.fails(1, &["key", "revoke", "--write-sheet", &path]);
    assert!(kept.contains("is there already"), "{kept}");
    home.ok(&["key", "revoke", "--write-sheet", &path, "--force"]);
    fs::read_to_string(path).expect("reads")
}

#[test]
fn a_sheet_ends_a_lost_key_from_any_home() {
    let home = published();
    let sheet = sheet_of(&home);
    assert!(
        sheet.contains("Network: test") && sheet.lines().all(|line| line.chars().count() <= 100),
        "{sheet}"
    );
    let finder = TestHome::new();
    let typed: String =
        sheet.lines().filter(|line| line.contains('·')).map(|line| format!("{line}\n")).collect();
    let path = finder.write("typed.txt", typed.to_uppercase());
    let unasked = finder.run(&["key", "revoke", "--sheet", &path]);
    assert!(unasked.code == 1 && unasked.out.contains("a key that is not yours"), "{unasked:?}");
    assert!(unasked.err.contains("--yes"), "{}", unasked.err);
    assert_eq!(finder.json(&["peers", "list"])["records"], 0, "nothing was revoked");
    finder.ok(&["key", "revoke", "--sheet", &path, "--yes"]);
    assert!(finder.ok(&["key", "revoke", "--sheet", &path]).contains("published already"));
    assert_eq!(finder.json(&["peers", "list"])["outbox"], 1, "it waits for peers");
    // It reaches the home whose key it is: nothing of it stands, and only a fresh key goes on.
    let bundle = bundle_of(&finder);
    home.ok(&["bundle", "in", &bundle, "--as-known"]);
    assert!(strangers_pool_fails(&home).contains("error: "));
    let refused = home.fails(1, &["publish", "M1", "--yes", "--now"]);
    assert!(refused.contains("your key is cancelled"), "{refused}");
    let rotate = home.fails(1, &["key", "rotate", "--yes", "--now"]);
    assert!(rotate.contains("propagule key replace --unlinked"), "{rotate}");
    let pasted = ran(&home.pasted(&rotate).output().expect("runs"));
    assert!(pasted.out.contains("Nothing links a new unlinked key"), "{pasted:?}");
    home.ok(&["key", "rotate", "--fresh", "--yes"]);
    assert_eq!(home.json(&["publish", "M1", "--yes", "--now"])["published"], true);
    assert_eq!(strangers_pool(&home, "lift"), (1, 1, 0));
}

#[test]
fn the_sheet_of_the_own_key_moves_the_home_to_a_fresh_one() {
    let home = published();
    sheet_of(&home);
    let path = home.path().with_file_name("sheet.txt").display().to_string();
    let unasked = home.run(&["key", "revoke", "--sheet", &path]);
    assert!(
        unasked.out.contains("your key, for ever") && unasked.out.contains("new unlinked key"),
        "{unasked:?}"
    );
    let revoked = home.json(&["key", "revoke", "--sheet", &path, "--yes"]);
    assert_eq!(keys(&home)[0]["key"], revoked["new"]);
    assert_eq!(home.json(&["publish", "M1", "--yes", "--now"])["published"], true);
    assert_eq!(strangers_pool(&home, "lift"), (1, 1, 0));
}

#[test]
fn slips_on_a_typed_sheet_are_named_by_line_and_other_papers_refused() {
    let home = published();
    let sheet = sheet_of(&home);
    let line = sheet.lines().find(|line| line.starts_with("  2  ")).expect("a second line").to_owned();
    let digit = line.chars().nth(5).expect("a digit");
    let slip = format!("{}{}{}", &line[..5], if digit == '0' { '1' } else { '0' }, &line[6..]);
    let read = |text: &str| {
        let path = home.write("typed.txt", text);
        home.fails(1, &["key", "revoke", "--sheet", &path, "--yes"])
    };
    assert!(read(&sheet.replace(&line, &slip)).contains("line 2: the check does not fit"));
    assert!(read(&sheet.replace(&line, "")).contains("line 2 is expected, found line 3"));
    assert!(read("a shopping list").contains("no numbered lines"));
    let last = sheet.trim_end().rsplit_once('\n').expect("lines").0;
    assert!(read(last).contains("not a whole sheet"));
    let elsewhere = TestHome::bare();
    elsewhere.ok(&["init", "--network", "elsewhere"]);
    let path = elsewhere.write("sheet.txt", &sheet);
    let message = elsewhere.fails(1, &["key", "revoke", "--sheet", &path, "--yes"]);
    assert!(message.contains("does not hold in the network \"elsewhere\""), "{message}");
    assert_eq!(keys(&home).len(), 1);
}

#[test]
fn a_sheet_from_the_future_waits_for_a_clock_that_is_right() {
    let home = published();
    sheet_of(&home);
    let path = home.path().with_file_name("sheet.txt").display().to_string();
    let early = at(&home, "2026-08-02T12:00:00Z", &["key", "revoke", "--sheet", &path, "--yes"]);
    assert!(early.code == 2 && early.err.contains("made in 2026-11"), "{early:?}");
}
