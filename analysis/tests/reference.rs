//! Runs every check of a folder of reference cases (see `tests/reference/README.md`).
//!
//! `cargo test --release -p propagule-analysis --test reference -- --nocapture` lists what fell short and prints
//! `reference: N passed, M failed, U unsupported`. `PROPAGULE_REFERENCE_DIR` names another folder of the same form.
#![allow(clippy::print_stdout, reason = "the list is what the runner is for")]

mod reference_runner;

use std::path::{Path, PathBuf};

use reference_runner::{Tally, run_folder};

fn folder() -> PathBuf {
    std::env::var_os("PROPAGULE_REFERENCE_DIR")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference"), PathBuf::from)
}

#[test]
fn every_reference_check_is_met() {
    let folder = folder();
    let (lines, tally) = run_folder(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    for line in lines {
        println!("{line}");
    }
    let Tally { passed, failed, unsupported } = tally;
    println!("reference: {passed} passed, {failed} failed, {unsupported} unsupported");
    assert_eq!(failed, 0, "{failed} reference checks failed; see the list above");
    assert!(passed > 0, "no check was passed in {}", folder.display());
}
