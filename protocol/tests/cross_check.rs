//! Our records and classes under other people's libraries: cbor2 5.9.0, pycose 1.1.0, cddl-verifier 1.5.3 and
//! climaclass 0.3.0.
//!
//! Runs when `PROPAGULE_PYTHON` names a Python with the packages of `cross_check.requirements.txt`.
//! Otherwise it says that it was skipped, and fails if `PROPAGULE_REQUIRE_ALL=1`.
#![expect(clippy::print_stdout, reason = "the verdict is printed")]

use std::ffi::OsString;
use std::fmt::Write as _;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

use propagule_protocol::place::koppen;
use propagule_protocol::{Judged, NetworkId, judge};

mod sample;

#[test]
fn other_libraries_agree_and_we_take_what_they_signed() {
    let Some(python) = python("cross_check") else { return };
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

#[test]
fn another_library_gives_the_same_classes() {
    let Some(python) = python("cross_check_climate") else { return };
    let script = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cross_check_climate.py");
    let mut child = Command::new(&python)
        .arg(script)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap_or_else(|error| panic!("{}: {error}", python.display()));
    // A script that stops early closes the pipe; its verdict is what counts.
    let _ = child.stdin.take().expect("piped").write_all(random_climates(20_000).as_bytes());
    let output = child.wait_with_output().expect("the script ends");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    println!("{}", String::from_utf8_lossy(&output.stdout).trim());
}

/// Rows of class, hemisphere of the warm half, temperatures and rains. Temperatures end in 3 hundredths, so
/// that none lies on a limit of the rule, where variants of it differ.
fn random_climates(rows: usize) -> String {
    let mut random = Random(1);
    let mut text = String::new();
    for _ in 0..rows {
        let (coldest, range, wet) = (random.below(75) - 45, random.below(35), random.below(300) + 1);
        let month = |at: i32| {
            let height = f64::from(6 - (at - 6).abs()) / 6.0;
            (f64::from(coldest) + f64::from(range) * height).floor() + 0.03
        };
        let mut temperature: [f64; 12] = std::array::from_fn(|at| month(at as i32));
        let mut rain: [f64; 12] = std::array::from_fn(|_| f64::from(random.below(wet * 10)) / 10.0);
        if random.below(2) == 0 {
            let season = random.below(6) as usize + 3;
            rain[..season].iter_mut().for_each(|mm| *mm = (*mm / 20.0 * 10.0).floor() / 10.0);
        }
        let warm = if range > 0 && random.below(3) == 0 { "south" } else { "north" };
        if warm == "south" {
            temperature.rotate_left(6);
        }
        let class = koppen(&temperature, &rain);
        let list = |months: [f64; 12]| months.map(|n| n.to_string()).join(" ");
        writeln!(text, "{class}\t{warm}\t{}\t{}", list(temperature), list(rain))
            .expect("writing to a string");
    }
    text
}

/// A small generator (Knuth's MMIX constants), so that every run checks the same climates.
struct Random(u64);

impl Random {
    fn below(&mut self, end: i32) -> i32 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 33) % u64::from(end.unsigned_abs())) as i32
    }
}

fn python(check: &str) -> Option<OsString> {
    let python = std::env::var_os("PROPAGULE_PYTHON").filter(|path| !path.is_empty());
    if python.is_none() {
        println!("skipped: {check} (PROPAGULE_PYTHON is not set)");
        let is_required = std::env::var_os("PROPAGULE_REQUIRE_ALL").is_some_and(|value| value == "1");
        assert!(!is_required, "{check} was skipped under PROPAGULE_REQUIRE_ALL=1");
    }
    python
}
