//! Our records under other people's libraries: cbor2 5.9.0, pycose 1.1.0 and cddl-verifier 1.5.3.
//!
//! Runs when `PROPAGULE_PYTHON` names a Python with the packages of `cross_check.requirements.txt`.
//! Otherwise it says that it was skipped, and fails if `PROPAGULE_REQUIRE_ALL=1`.

#![expect(clippy::print_stdout, reason = "the verdict is printed")]

use std::ffi::OsString;
use std::path::Path;
use std::process::Command;

use propagule_protocol::{Judged, NetworkId, judge};

mod sample;

#[test]
fn other_libraries_agree_and_we_take_what_they_signed() {
    let Some(python) = python() else { return };
    let here = Path::new(env!("CARGO_MANIFEST_DIR"));
    let output = Command::new(&python)
        .arg(here.join("tests/cross_check.py"))
        .arg(here.join("vectors"))
        .arg(here.join("schema.cddl"))
        .output()
        .unwrap_or_else(|error| panic!("{}: {error}", python.display()));
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.success(), "{said}");
    println!("{}", said.trim());
    let signed: serde_json::Value =
        serde_json::from_slice(&output.stdout).expect("a record signed by pycose");
    let network = NetworkId::of(signed["network"].as_str().expect("a network"));
    let record = sample::view::unhex(signed["record"].as_str().expect("a record"));
    assert!(matches!(judge(&record, &network), Ok(Judged::Accepted(_))), "{:?}", judge(&record, &network));
}

fn python() -> Option<OsString> {
    let python = std::env::var_os("PROPAGULE_PYTHON").filter(|path| !path.is_empty());
    if python.is_none() {
        println!("skipped: cross_check (PROPAGULE_PYTHON is not set)");
        let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
        assert!(!is_required, "cross_check was skipped under PROPAGULE_REQUIRE_ALL=1");
    }
    python
}
