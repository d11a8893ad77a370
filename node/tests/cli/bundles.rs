//! Bundles: what comes in, what is refused, what stays behind on disk.

use std::fs;

use crate::home::{PROGRAM, TestHome, ran};
use crate::serving::Serving;

fn published() -> (TestHome, String) {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let path = home.path().join("all.bundle").display().to_string();
    home.ok(&["bundle", "out", &path]);
    (home, path)
}

#[test]
fn a_bundle_brings_each_record_once() {
    let (home, path) = published();
    let other = TestHome::new();
    let counts = |value: &serde_json::Value| (value["new"].as_u64(), value["known"].as_u64());
    assert_eq!(counts(&other.json(&["bundle", "in", &path, "--as-known"])), (Some(1), Some(0)));
    assert_eq!(counts(&other.json(&["bundle", "in", &path, "--as-known"])), (Some(0), Some(1)));
    assert_eq!(
        other.json(&["pool", "Morus nigra"])["methods"],
        home.json(&["pool", "Morus nigra"])["methods"]
    );
}

#[test]
fn no_flipped_byte_passes() {
    let (home, path) = published();
    let other = TestHome::new();
    let whole = fs::read(&path).expect("reads");
    for at in (0..whole.len()).step_by(whole.len() / 12) {
        let mut bytes = whole.clone();
        bytes[at] ^= 0x10;
        let flipped = home.write("flipped.bundle", &bytes);
        other.fails(1, &["bundle", "in", &flipped]);
    }
    // Whatever stood before the flipped byte whole was judged by itself; it can only be the record itself.
    let held = other.json(&["peers", "list"])["records"].as_u64().expect("a number");
    assert!(held <= 1, "{held}");
}

#[test]
fn a_bundle_cut_anywhere_is_refused() {
    let (home, path) = published();
    let whole = fs::read(&path).expect("reads");
    for length in [0, 1, 18, 19, 30, 51, 53, whole.len() / 2, whole.len() - 1] {
        let cut = home.write("cut.bundle", &whole[..length]);
        let message = TestHome::new().fails(1, &["bundle", "in", &cut]);
        assert!(message.contains("cut.bundle: it is "), "{length}: {message}");
    }
}

#[test]
fn a_bundle_that_cannot_be_finished_leaves_nothing_behind() {
    let (home, _) = published();
    let folder = home.fails(2, &["bundle", "out", "no/such/folder/x.bundle"]);
    assert!(folder.contains("cannot make no/such/folder/x.bundle"), "{folder}");
    let path = home.path().join("limited.bundle");
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0"]));
    let mut shell = home.bare_command("sh");
    // No file may grow; the program sees an error instead of a signal, and the node is not affected.
    shell.arg("-c").arg("trap '' XFSZ; ulimit -f 0; exec \"$0\" \"$@\"").arg(PROGRAM);
    shell.arg("--home").arg(home.path()).args(["bundle", "out"]).arg(&path);
    let limited = ran(&shell.output().expect("runs"));
    assert!(limited.code == 1 && limited.err.contains("limited.bundle: "), "{limited:?}");
    assert!(!path.exists(), "half a bundle would be in the way");
}

#[test]
fn files_that_are_no_bundles_are_told_apart_from_missing_ones() {
    let home = TestHome::new();
    assert!(home.fails(2, &["bundle", "in", "nowhere.bundle"]).contains("cannot read nowhere.bundle"));
    let empty = home.write("empty.bundle", "");
    assert!(home.fails(1, &["bundle", "in", &empty]).contains("it is not a bundle of records"));
    assert!(home.fails(1, &["bundle", "in", "."]).contains("hint: "));
}

/// A home with three published records in two signed months, and its bundle.
fn two_months() -> (TestHome, String) {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    let path = home.path().join("first.bundle").display().to_string();
    home.ok(&["bundle", "out", &path]);
    home.import_spring();
    let later = home
        .command(&["publish", "M1", "--yes", "--now"])
        .env("PROPAGULE_CLOCK", "2027-04-21T12:00:00Z")
        .output();
    assert!(later.expect("runs").status.success());
    (home, path)
}

#[test]
fn a_bundle_holds_what_was_signed_since_a_month() {
    let (home, _) = two_months();
    let out = |name: &str, since: &str| {
        let path = home.path().join(name).display().to_string();
        home.json(&["bundle", "out", &path, "--since", since])["records"].as_u64()
    };
    assert_eq!(out("all.bundle", "1900-01"), Some(2));
    assert_eq!(out("spring.bundle", "2027-04"), Some(1));
    assert_eq!(out("none.bundle", "2027-05"), Some(0));
    let ran = home.run(&["bundle", "out", "x.bundle", "--since", "April"]);
    assert!(ran.code == 2 && ran.err.contains("written like 2026-06"), "{ran:?}");
}

#[test]
fn a_bundle_for_a_request_holds_what_that_node_lacks() {
    let (home, first) = two_months();
    let other = TestHome::new();
    other.ok(&["bundle", "in", &first]);
    let request = other.path().join("other.request").display().to_string();
    assert_eq!(other.json(&["bundle", "request", &request])["records"], 1);
    assert!(other.fails(2, &["bundle", "request", &request]).contains("never overwritten"));
    let path = home.path().join("missing.bundle").display().to_string();
    assert_eq!(home.json(&["bundle", "out", &path, "--missing-for", &request])["records"], 1);
    let taken = || {
        let late = other
            .command(&["bundle", "in", &path, "--json"])
            .env("PROPAGULE_CLOCK", "2027-05-01T12:00:00Z")
            .output();
        serde_json::from_slice::<serde_json::Value>(&late.expect("runs").stdout).expect("JSON")
    };
    assert_eq!((taken()["new"].as_u64(), taken()["known"].as_u64()), (Some(1), Some(1)));
    let request = other.path().join("full.request").display().to_string();
    other.ok(&["bundle", "request", &request]);
    let path = home.path().join("nothing.bundle").display().to_string();
    assert_eq!(home.json(&["bundle", "out", &path, "--missing-for", &request])["records"], 0);
    // What is no request is told apart, and nothing is made of it.
    let message = home.fails(1, &["bundle", "out", "x.bundle", "--missing-for", &first]);
    assert!(message.contains("not a request file"), "{message}");
    let bytes = fs::read(&request).expect("reads");
    let cut = home.write("cut.request", &bytes[..bytes.len() - 3]);
    home.fails(1, &["bundle", "out", "x.bundle", "--missing-for", &cut]);
}
