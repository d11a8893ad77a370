//! E: an adviser's table, exported and pooled again; the report.

use super::{has, says};
use crate::home::TestHome;

const SIX: &str = "grower,trial,arm,method,medium,region,stuck,rooted\n\
    g1,1,A,cuttings,unknown,unknown,20,3\ng2,1,A,cuttings,unknown,unknown,15,0\n\
    g3,1,A,cuttings,unknown,unknown,12,5\ng3,1,B,cuttings,unknown,unknown,12,3\n\
    g4,1,A,cuttings,unknown,unknown,25,5\ng5,1,A,cuttings,unknown,unknown,10,0\n\
    g6,1,A,cuttings,unknown,unknown,30,11\n";

#[test]
fn six_growers_pool_to_the_figures_of_the_story() {
    let home = TestHome::new();
    let file = home.write("six.csv", SIX);
    let pool = home.json(&["pool", "Ostrava tarda", "--from", &file, "--by", "none"]);
    let method = &pool["methods"][0];
    assert_eq!(
        (&method["growers"], &method["rooted"], &method["started"]),
        (&6.into(), &27.into(), &124.into())
    );
    let near = |name: &str, index: usize, value: f64| {
        let found = method[name][index].as_f64().expect("a number");
        assert!((found - value).abs() < 0.006, "{name}[{index}]: {found}");
    };
    let mean = method["average_grower_rate_mean"].as_f64().expect("a mean");
    assert!((mean - 0.226).abs() < 0.001, "{mean}");
    near("average_grower_rate_q", 0, 0.11);
    near("average_grower_rate_q", 2, 0.40);
    near("new_grower_rate_q", 0, 0.016);
    near("new_grower_rate_q", 2, 0.71);
}

#[test]
fn an_exported_bench_reads_back_the_same() {
    let home = TestHome::with_trial();
    home.ok(&["trial", "new", "L2", "Lumetta rosea", "--pieces", "8", "--note", "=1+1 is no formula here"]);
    home.ok(&["stick", "L2", "--on", "2026-06-06"]);
    home.ok(&["lift", "L2", "--on", "2026-08-29", "rooted=5,green=1", "--rest", "dead"]);
    let folder = home.path().parent().expect("a folder").join("out");
    let folder = folder.display().to_string();
    home.ok(&["export", &folder]);
    let again = home.fails(1, &["export", &folder]);
    has(&again, &["is there already", "--force"]);
    let table = std::fs::read_to_string(format!("{folder}/trials.csv")).expect("a table");
    assert!(table.contains("'=1+1"), "cells that begin like a formula are guarded: {table}");
    let second = TestHome::new();
    second.ok(&["trial", "import", &format!("{folder}/trials.csv")]);
    let counts =
        |home: &TestHome, code: &str| home.json(&["trial", "show", code])["trial"]["arms"][0]["lift"].clone();
    assert_eq!(counts(&second, "L2"), counts(&home, "L2"));
    assert_eq!(counts(&second, "M1"), counts(&home, "M1"));
    has(&second.json(&["trial", "show", "L2"])["trial"]["note"].to_string(), &["=1+1 is no formula here"]);
    let json: serde_json::Value =
        serde_json::from_str(&std::fs::read_to_string(format!("{folder}/bench.json")).expect("a file"))
            .expect("JSON");
    assert_eq!(json["trials"].as_array().map(Vec::len), Some(2));
    assert!(json["entries"].as_array().is_some_and(|entries| !entries.is_empty()));
}

#[test]
fn the_report_has_protocol_counts_losses_flags_and_version() {
    let home = TestHome::with_trial();
    let page = home.path().parent().expect("a folder").join("report.html").display().to_string();
    home.ok(&["trial", "report", "M1", "--out", &page]);
    let html = std::fs::read_to_string(&page).expect("a page");
    has(
        &html,
        &["Protocol", "Counts", "Deaths and losses", "Flags", env!("CARGO_PKG_VERSION"), "Morus nigra", "24"],
    );
    let json = home.json(&["trial", "report", "M1"]);
    let note =
        json["page"]["report"]["sections"].as_array().expect("sections").last().expect("a note").to_string();
    has(&note, &["none of 24 rooted", "after 14 weeks"]);
    for private in ["2026-06-05", "8b", "M1"] {
        assert!(!note.contains(private), "{private} in {note}");
    }
    let _ = says(&home, &["trial", "list"]);
}
