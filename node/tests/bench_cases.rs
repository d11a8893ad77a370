//! Plays the worked cases of the bench through the real commands.
//!
//! `cargo test --release -p propagule-node --test bench_cases -- --nocapture` lists what fell short and prints
//! `bench cases: N passed, M failed`. `PROPAGULE_BENCH_CASES` names another folder of files of the same form.
#![allow(clippy::print_stdout, reason = "the list is what the runner is for")]

#[path = "cli/home.rs"]
#[allow(dead_code, reason = "the commands' own tests use the rest of it")]
mod home;

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
#[path = "bench_cases/verdicts.rs"]
mod verdicts;

use std::path::{Path, PathBuf};

use report::Report;
use serde_json::Value;

/// Plays all cases of a file.
type Player = fn(&Value, &mut Report);

/// What plays a file of cases, by the beginning of the file's name.
const PLAYERS: [(&str, Player); 7] = [
    ("bench-entry", entry::play),
    ("bench-fates", fates::play),
    ("bench-import", import::play),
    ("bench-lineage", lineage::play),
    ("bench-names", names::play),
    ("bench-pool", pool::play),
    ("bench-verdicts", verdicts::play),
];

fn folder() -> PathBuf {
    std::env::var_os("PROPAGULE_BENCH_CASES")
        .map_or_else(|| Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/cases"), PathBuf::from)
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
        let Some((_, play)) = PLAYERS.iter().find(|(begins, _)| name.starts_with(begins)) else { continue };
        let text = std::fs::read_to_string(&file).unwrap_or_else(|error| panic!("{name}: {error}"));
        let cases = serde_json::from_str(&text).unwrap_or_else(|error| panic!("{name}: {error}"));
        report.file(&name);
        play(&cases, &mut report);
    }
    let (passed, failed) = report.end();
    assert_eq!(failed, 0, "{failed} bench cases failed; see the list above");
    assert!(passed > 0, "no case was played in {}", folder.display());
}
