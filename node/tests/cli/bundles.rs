//! Bundles: what comes in, what is refused, what stays behind on disk.

use std::fs;

use crate::home::{PROGRAM, TestHome, ran};
use crate::serving::Serving;

fn published() -> (TestHome, String) {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes"]);
    let path = home.path().join("all.bundle").display().to_string();
    home.ok(&["bundle", "out", &path]);
    (home, path)
}

#[test]
fn a_bundle_brings_each_record_once() {
    let (home, path) = published();
    let other = TestHome::new();
    let counts = |value: &serde_json::Value| (value["new"].as_u64(), value["known"].as_u64());
    assert_eq!(counts(&other.json(&["bundle", "in", &path])), (Some(1), Some(0)));
    assert_eq!(counts(&other.json(&["bundle", "in", &path])), (Some(0), Some(1)));
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
