//! The key that signs: rotated, started afresh, revoked from a month on.

mod sheets;

use std::fs;
use std::process::Stdio;

use serde_json::Value;

use crate::home::{IN_SPRING, Ran, TRIAL, TestHome, ran};
use crate::serving::Serving;

/// A home with its trial published.
fn published() -> TestHome {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    home
}

fn at(home: &TestHome, now: &str, words: &[&str]) -> Ran {
    ran(&home.command(words).env("PROPAGULE_CLOCK", now).output().expect("runs"))
}

/// All that a home holds, in a file.
fn bundle_of(home: &TestHome) -> String {
    let path = home.path().with_file_name("all.bundle");
    if path.exists() {
        fs::remove_file(&path).expect("removes");
    }
    let path = path.display().to_string();
    home.ok(&["bundle", "out", &path]);
    path
}

/// What a stranger's home makes of all that `home` published: growers, trials, rooted in spring.
fn strangers_pool(home: &TestHome, stage: &str) -> (u64, u64, u64) {
    let bundle = bundle_of(home);
    let other = TestHome::new();
    other.ok(&["bundle", "in", &bundle, "--as-known"]);
    let pool = other.json(&["pool", "Morus nigra", "--stage", stage]);
    let count = |name: &str| pool["methods"][0][name].as_u64().unwrap_or(0);
    (count("growers"), count("trials"), count("rooted"))
}

fn keys(home: &TestHome) -> Vec<Value> {
    home.json(&["key", "show"])["keys"].as_array().cloned().expect("a list")
}

#[test]
fn rotating_asks_first_and_says_what_it_does() {
    let home = published();
    let unasked = home.run(&["key", "rotate"]);
    assert_eq!(unasked.code, 1, "{unasked:?}");
    assert!(
        unasked.out.contains("that is published") && unasked.out.contains("nothing is lost"),
        "{}",
        unasked.out
    );
    assert!(unasked.err.contains("hint: propagule key replace --yes"), "{}", unasked.err);
    assert_eq!(keys(&home).len(), 1, "nothing was changed");
}

#[test]
fn a_trial_goes_on_under_a_rotated_key_as_the_same_trial_of_the_same_grower() {
    let home = published();
    let rotated = home.json(&["key", "rotate", "--yes", "--now"]);
    assert_eq!((&rotated["format"], &rotated["rotated"]), (&"propagule.key_rotate/1".into(), &true.into()));
    let listed = keys(&home);
    assert_eq!((&listed[0]["key"], &listed[1]["key"]), (&rotated["new"], &rotated["old"]));
    assert_eq!((&listed[0]["author"], &listed[1]["author"]), (&rotated["old"], &rotated["old"]));
    assert!(
        home.ok(&["publish", "M1", "--yes", "--now"]).contains("published as it stands"),
        "still this home's own"
    );
    home.import_spring();
    assert_eq!(home.json(&["publish", "M1", "--yes", "--now"])["revision"], 1);
    assert_eq!(keys(&home)[0]["results"], 1, "the new key signed the revision");
    assert_eq!(strangers_pool(&home, "spring"), (1, 1, 3));
    assert_eq!(home.json(&["trial", "list"])["trials"][0]["published_revision"], 1);
    home.ok(&["withdraw", "M1", "--yes"]);
    let gone = strangers_pool_fails(&home);
    assert!(gone.contains("Morus nigra"), "{gone}");
}

/// What a stranger's home says when nothing of the species stands.
fn strangers_pool_fails(home: &TestHome) -> String {
    let bundle = bundle_of(home);
    let other = TestHome::new();
    other.ok(&["bundle", "in", &bundle, "--as-known"]);
    let ran = other.run(&["pool", "Morus nigra"]);
    format!("{}{}", ran.out, ran.err)
}

/// Starts a rotation and kills it once its `file` is there, unless it is done before.
fn kill_rotation_at(home: &TestHome, file: &str) {
    let folder = home.path().join("keys");
    let names = || -> Vec<String> {
        let entries =
            fs::read_dir(&folder).expect("a folder").map(|entry| entry.expect("an entry").file_name());
        entries.filter_map(|name| name.into_string().ok()).collect()
    };
    let before = names();
    let mut rotation = home.command(&["key", "rotate", "--yes", "--now"]);
    let mut rotation = rotation.stdout(Stdio::null()).spawn().expect("starts");
    let is_there = || names().iter().any(|name| name.starts_with(file) && !before.contains(name));
    while !is_there() && rotation.try_wait().expect("waits").is_none() {
        std::thread::yield_now();
    }
    // It may be done by now.
    let _ = rotation.kill();
    rotation.wait().expect("ends");
}

#[test]
fn killed_while_it_rotates_a_home_goes_on_as_the_same_grower() {
    let home = published();
    let author = keys(&home)[0]["author"].clone();
    for file in ["next.part", "next.key", "former-"].repeat(5) {
        kill_rotation_at(&home, file);
        let listed = keys(&home);
        assert!(listed.iter().all(|key| key["author"] == author), "{file}: {listed:?}");
        assert_eq!(
            listed.iter().map(|key| key["results"].as_u64().unwrap_or(0)).sum::<u64>(),
            1,
            "{listed:?}"
        );
    }
    home.ok(&["key", "rotate", "--yes", "--now"]);
    assert!(keys(&home).len() > 1);
    home.import_spring();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    assert_eq!(strangers_pool(&home, "spring"), (1, 1, 3));
}

#[test]
fn a_serving_node_signs_with_the_new_key_at_once() {
    let home = published();
    home.at(IN_SPRING);
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0"]));
    home.ok(&["key", "rotate", "--yes", "--now"]);
    home.import_spring();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let results: Vec<_> = keys(&home).iter().map(|key| key["results"].clone()).collect();
    assert_eq!(results, [1, 1]);
}

#[test]
fn a_fresh_key_is_another_grower_to_strangers_and_published_trials_stay_with_the_old_one() {
    let home = published();
    let unasked = home.run(&["key", "rotate", "--fresh"]);
    assert!(
        unasked.out.contains("another grower")
            && unasked.err.contains("propagule key replace --unlinked --yes")
    );
    assert_eq!(home.json(&["key", "rotate", "--fresh", "--yes"])["record"], Value::Null);
    home.import_spring();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    assert_eq!(strangers_pool(&home, "spring"), (1, 1, 3));
    let second = home.write("second.csv", TRIAL.replace("M1", "M2").replace("2026-06-05", "2026-07-09"));
    home.ok(&["trial", "import", &second, "--yes"]);
    home.ok(&["publish", "M2", "--yes", "--now"]);
    assert_eq!(strangers_pool(&home, "lift").0, 2);
    let authors: Vec<_> =
        keys(&home).iter().map(|key| (key["author"] == key["key"], key["results"].clone())).collect();
    assert_eq!(authors, [(true, 1.into()), (true, 2.into())]);
}

#[test]
fn what_was_signed_from_the_month_on_falls_out_and_can_be_published_again() {
    let home = published();
    let unasked = home.run(&["key", "revoke", "--from", "2026-11"]);
    assert_eq!(unasked.code, 1);
    assert!(
        unasked.out.contains("0 stay and 1 falls out") && unasked.out.contains("replace it instead"),
        "{unasked:?}"
    );
    assert!(unasked.err.contains("hint: propagule key cancel --from 2026-11 --yes"), "{}", unasked.err);
    let revoked = home.json(&["key", "revoke", "--from", "2026-11", "--yes"]);
    let listed = keys(&home);
    assert_eq!((&listed[0]["key"], &listed[1]["revoked_from"]), (&revoked["new"], &"2026-11".into()));
    assert!(strangers_pool_fails(&home).contains("error: "), "nothing stands");
    assert_eq!(home.json(&["publish", "M1", "--yes", "--now"])["published"], true);
    assert_eq!(strangers_pool(&home, "lift"), (1, 1, 0));
    let again =
        home.ok(&["key", "revoke", "--from", "2027-03", "--key", &listed[1]["key"].to_string()[1..9]]);
    assert!(again.contains("cancelled from 2026-11 on already"), "{again}");
}

#[test]
fn a_result_signed_before_the_month_stays_and_its_later_counts_cannot_follow() {
    let home = published();
    let december = "2026-12-10T12:00:00Z";
    let revoked = at(&home, december, &["key", "revoke", "--from", "2026-12", "--yes"]);
    assert_eq!(revoked.code, 0, "{revoked:?}");
    assert_eq!(strangers_pool(&home, "lift"), (1, 1, 0));
    home.import_spring();
    let refused = at(&home, december, &["publish", "M1", "--yes", "--now"]);
    assert!(refused.code == 1 && refused.err.contains("stands as signed in 2026-11"), "{refused:?}");
    let second = home.write("second.csv", TRIAL.replace("M1", "M2"));
    home.ok(&["trial", "import", &second, "--yes"]);
    assert_eq!(
        at(&home, december, &["publish", "M2", "--yes", "--now"]).code,
        0,
        "new trials go on under the fresh key"
    );
}

#[test]
fn the_list_that_goes_out_is_shown_and_what_is_disowned_is_not_on_it() {
    let home = published();
    let second = home.write("second.csv", TRIAL.replace("M1", "M2"));
    home.ok(&["trial", "import", &second, "--yes"]);
    home.ok(&["publish", "M2", "--yes", "--now"]);
    let old = keys(&home)[0]["key"].as_str().expect("a key")[..8].to_owned();
    home.ok(&["key", "replace", "--yes", "--now"]);
    let cancel =
        |more: &[&str]| home.run(&[&["key", "cancel", "--key", &old, "--from", "2026-12"], more].concat());
    let shown = cancel(&[]);
    let line = shown.out.lines().find(|line| line.contains("M2, Morus nigra, signed 2026-11, number "));
    let record = line.and_then(|line| line.split_whitespace().last()).expect("the second result is listed");
    assert!(
        shown.out.contains("2 stay and 0 fall out") && shown.out.contains("M1, Morus nigra"),
        "{shown:?}"
    );
    let unknown = cancel(&["--except", "00"]);
    assert!(
        unknown.err.contains("no one result of this key has a number that begins with \"00\""),
        "{unknown:?}"
    );
    let without = cancel(&["--except", record]);
    assert!(without.out.contains("1 stays and 1 falls out") && without.out.contains("This one stays yours"));
    assert_eq!(cancel(&["--except", record, "--yes"]).code, 0);
    // M2 says a month before the key ended, and does not count all the same; the rotation that leads on does.
    assert_eq!(strangers_pool(&home, "lift").0, 1);
    let listed = keys(&home);
    assert_eq!(listed[0]["author"], listed[1]["key"]);
    let again = cancel(&["--yes"]);
    assert!(again.out.contains("cancelled from 2026-12 on already"), "{again:?}");
}

#[test]
fn rotated_first_and_revoked_from_the_next_month_on_all_trials_go_on() {
    let home = published();
    let message = home.fails(1, &["key", "revoke", "--from", "2026-12", "--yes"]);
    assert!(message.contains("is still to come") && message.contains("hint: to go on"), "{message}");
    home.ok(&["key", "rotate", "--yes", "--now"]);
    let old = keys(&home)[1]["key"].as_str().expect("a key")[..8].to_owned();
    let early = home.run(&["key", "revoke", "--key", &old, "--from", "2026-11"]);
    assert!(early.out.contains("Cancelled from 2026-12 on, that step stays"), "{}", early.out);
    home.ok(&["key", "revoke", "--key", &old, "--from", "2026-12", "--yes"]);
    home.import_spring();
    let may = "2027-05-02T12:00:00Z";
    assert_eq!(at(&home, may, &["publish", "M1", "--yes", "--now"]).code, 0);
    let bundle = bundle_of(&home);
    let other = TestHome::new();
    at(&other, may, &["bundle", "in", &bundle, "--as-known"]);
    let pool = at(&other, may, &["pool", "Morus nigra", "--stage", "spring", "--json"]);
    let pool: Value = serde_json::from_str(&pool.out).expect("JSON");
    assert_eq!((&pool["methods"][0]["growers"], &pool["methods"][0]["rooted"]), (&1.into(), &3.into()));
}

#[test]
fn a_key_of_this_home_is_meant_by_its_first_digits() {
    let home = published();
    let message = home.fails(1, &["key", "revoke", "--key", "xyz", "--from", "2026-11", "--yes"]);
    assert!(
        message.contains("no key that begins with \"xyz\"") && message.contains("propagule key show"),
        "{message}"
    );
    let empty = home.fails(1, &["key", "revoke", "--key", "", "--from", "2026-11", "--yes"]);
    assert!(empty.contains("more than one of your keys"), "{empty}");
}
