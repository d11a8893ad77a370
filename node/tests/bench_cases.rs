//! Plays the worked cases of the bench through the real commands.
//!
//! Every file `bench-*` of the folder is played by what its name begins with; one that nothing plays has failed.
//! `cargo test --release -p propagule-node --test bench_cases -- --nocapture` lists what fell short and prints
//! `bench cases: N passed, M failed`. `PROPAGULE_BENCH_CASES` names another folder of files of the same form.
#![allow(clippy::print_stdout, reason = "the list is what the runner is for")]

#[path = "cli/home.rs"]
#[allow(dead_code, reason = "the commands' own tests use the rest of it")]
mod home;
#[path = "cli/replayed.rs"]
mod replayed;
#[allow(dead_code, reason = "the commands' own tests use the rest of it")]
mod schema;

#[path = "bench_cases/close.rs"]
mod close;
#[path = "bench_cases/entry.rs"]
mod entry;
#[path = "bench_cases/fates.rs"]
mod fates;
#[path = "bench_cases/figures.rs"]
mod figures;
#[path = "bench_cases/import.rs"]
mod import;
#[path = "bench_cases/laid.rs"]
mod laid;
#[path = "bench_cases/lineage.rs"]
mod lineage;
#[path = "bench_cases/names.rs"]
mod names;
#[path = "bench_cases/pool.rs"]
mod pool;
#[path = "bench_cases/report.rs"]
mod report;
#[path = "bench_cases/said.rs"]
mod said;
#[path = "bench_cases/screens.rs"]
mod screens;
#[path = "bench_cases/split.rs"]
mod split;
#[path = "bench_cases/table.rs"]
mod table;
#[path = "bench_cases/verdicts.rs"]
mod verdicts;

use std::path::{Path, PathBuf};

use report::Report;
use serde_json::Value;

/// How a file of cases is played.
enum Player {
    /// Cases written down as JSON.
    Cases(fn(&Value, &mut Report)),
    /// A table, with what stands beside it.
    Table(fn(&Path, &mut Report)),
}

/// What plays a file of cases, by the beginning of the file's name.
const PLAYERS: [(&str, Player); 8] = [
    ("bench-entry", Player::Cases(entry::play)),
    ("bench-fates", Player::Cases(fates::play)),
    ("bench-import", Player::Cases(import::play)),
    ("bench-lineage", Player::Cases(lineage::play)),
    ("bench-names", Player::Cases(names::play)),
    ("bench-pool", Player::Cases(pool::play)),
    ("bench-table", Player::Table(table::play)),
    ("bench-verdicts", Player::Cases(verdicts::play)),
];

/// Files that stand beside cases and are none: the program that computed them, and what the table's player reads.
const BESIDE: [&str; 2] = ["bench-reference", "bench-datapackage"];

fn folder() -> PathBuf {
    std::env::var_os("PROPAGULE_BENCH_CASES")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases"), PathBuf::from)
}

/// Plays a file; one that nothing plays, or that cannot be read, is a case that failed.
fn play(file: &Path, name: &str, report: &mut Report) {
    report.file(name);
    let Some((_, player)) = PLAYERS.iter().find(|(begins, _)| name.starts_with(begins)) else {
        return report.case("file", || panic!("nothing plays it"));
    };
    match player {
        Player::Table(table) => report.all(|report| table(file, report)),
        Player::Cases(cases) => report.all(|report| cases(&read(file), report)),
    }
}

fn read(file: &Path) -> Value {
    let text = std::fs::read_to_string(file).unwrap_or_else(|error| panic!("{error}"));
    serde_json::from_str(&text).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn every_bench_case_is_met() {
    let folder = folder();
    let listed = std::fs::read_dir(&folder).unwrap_or_else(|error| panic!("{}: {error}", folder.display()));
    let mut files: Vec<PathBuf> = listed.map(|entry| entry.expect("an entry").path()).collect();
    files.sort();
    let mut report = Report::default();
    for file in files {
        let name = file.file_name().and_then(|name| name.to_str()).unwrap_or_default().to_owned();
        let is_beside = BESIDE.iter().any(|begins| name.starts_with(begins));
        if name.starts_with("bench-") && !is_beside {
            play(&file, &name, &mut report);
        }
    }
    report.print();
    let (passed, failed) = report.counts();
    assert_eq!(failed, 0, "{failed} bench cases failed; see the list above");
    assert!(passed > 0, "no case was played in {}", folder.display());
}

#[test]
fn a_file_that_nothing_plays_has_failed_by_name() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut report = Report::default();
    for (name, text) in [("bench-other.json", "{}"), ("bench-names.json", "{"), ("bench-pool.json", "{}")] {
        let file = folder.path().join(name);
        std::fs::write(&file, text).expect("writes");
        play(&file, name, &mut report);
    }
    assert_eq!(report.counts(), (0, 3));
}
