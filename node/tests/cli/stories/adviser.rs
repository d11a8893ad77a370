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

/// The adviser's sheet: six growers under one key.
const SHEET: &str = "trial,grower,species,started,started_on,arm,kind,wood,humidity,lift_on,lift_rooted\n\
    E1,north garden,Ostrava tarda,20,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,3\n\
    E2,south garden,Ostrava tarda,15,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,0\n\
    E3,mill,Ostrava tarda,12,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,5\n\
    E3,mill,Ostrava tarda,12,2026-06-05,B,stem cutting,semi-ripe,dome,2026-09-12,3\n\
    E4,farm,Ostrava tarda,25,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,5\n\
    E5,yard,Ostrava tarda,10,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,0\n\
    E6,wood,Ostrava tarda,30,2026-06-05,A,stem cutting,semi-ripe,dome,2026-09-12,11\n";

/// A node that has published all six.
fn adviser() -> TestHome {
    let home = super::placed();
    let file = home.write("six.csv", SHEET);
    home.ok(&["trial", "import", &file, "--yes"]);
    for trial in ["E1", "E2", "E3", "E4", "E5", "E6"] {
        home.ok(&["publish", trial, "--yes", "--now"]);
    }
    home
}

#[test]
fn growers_entered_for_are_growers_of_their_own_to_the_adviser_and_one_publisher_to_strangers() {
    let home = adviser();
    let leaves = home.json(&["publish", "E1", "--preview"]).to_string();
    assert!(!leaves.contains("north garden"), "{leaves}");
    let pool = home.json(&["pool", "Ostrava tarda", "--by", "none"]);
    let method = &pool["methods"][0];
    assert_eq!(
        (&method["growers"], &method["rooted"], &method["started"]),
        (&6.into(), &27.into(), &124.into())
    );
    let mean = method["average_grower_rate_mean"].as_f64().expect("a mean");
    assert!((mean - 0.226).abs() < 0.001, "{mean}");
    // A second sheet for the same grower carries the same mark.
    let again =
        home.write("more.csv", SHEET.replace("E1,", "E7,").lines().take(2).collect::<Vec<_>>().join("\n"));
    home.ok(&["trial", "import", &again, "--yes"]);
    let mark = |trial: &str| home.json(&["trial", "show", trial])["trial"]["entered_for"]["mark"].to_string();
    assert_eq!(mark("E7"), mark("E1"));
    assert_ne!(mark("E2"), mark("E1"));
    let stranger = super::placed();
    let bundle = home.path().parent().expect("a folder").join("six.bundle").display().to_string();
    home.ok(&["bundle", "out", &bundle]);
    stranger.ok(&["bundle", "in", &bundle, "--as-known"]);
    let pool = stranger.json(&["pool", "Ostrava tarda", "--by", "none"]);
    let method = &pool["methods"][0];
    assert_eq!(
        (&method["growers"], &method["rooted"], &method["started"]),
        (&1.into(), &27.into(), &124.into())
    );
}

#[test]
fn a_reader_with_the_adviser_in_their_circle_counts_six_growers() {
    let home = adviser();
    let reader = super::placed();
    let bundle = home.path().parent().expect("a folder").join("six.bundle").display().to_string();
    home.ok(&["bundle", "out", &bundle]);
    reader.ok(&["bundle", "in", &bundle, "--as-known"]);
    let stranger = says(&reader, &["pool", "Ostrava tarda", "--by", "none"]);
    has(&stranger, &["27 of 124", "Entered by one publisher for several growers"]);
    let key = home.json(&["circle"])["key"].as_str().expect("a key").to_owned();
    reader.ok(&["circle", "trust", &key, "--as", "the adviser"]);
    let pool = reader.json(&["pool", "Ostrava tarda", "--by", "none", "--detail"]);
    let method = &pool["methods"][0];
    let counts = ["growers", "publishers", "rooted", "started"].map(|name| method[name].as_u64());
    assert_eq!(counts, [6, 1, 27, 124].map(Some));
    let near = |found: &serde_json::Value, value: f64, within: f64| {
        let found = found.as_f64().expect("a number");
        assert!((found - value).abs() < within, "{found} and {value}");
    };
    near(&method["average_grower_rate_mean"], 0.226, 0.001);
    near(&method["average_grower_rate_q"][0], 0.11, 0.006);
    near(&method["average_grower_rate_q"][2], 0.40, 0.006);
    near(&method["new_grower_rate_q"][0], 0.016, 0.001);
    near(&method["new_grower_rate_q"][2], 0.71, 0.006);
    // Without the last grower, 11 of 30: the one whose absence lowers the average most.
    let lines = pool["influence"].as_array().expect("one line a grower");
    let without = lines.iter().filter_map(|line| line["average_grower_rate_without"].as_f64());
    near(&without.fold(1.0, f64::min).into(), 0.193, 0.001);
    let author = &pool["authors"][0];
    assert_eq!((&author["growers"], &author["average_grower_rate_without"]), (&6.into(), &().into()));
    let plan = reader.json(&["plan", "Ostrava tarda", "--by", "none", "--want", "5", "--sure", "0.8"]);
    assert_eq!(plan["methods"][0]["stick"], 57);
    let text = says(&reader, &["pool", "Ostrava tarda", "--by", "none"]);
    has(&text, &["6 growers, 1 publisher"]);
}

#[test]
fn taking_one_trial_back_lowers_every_count_by_one_in_any_order_of_arrival() {
    let home = adviser();
    let folder = home.path().parent().expect("a folder").to_path_buf();
    let bundle = |name: &str| {
        let path = folder.join(name).display().to_string();
        home.ok(&["bundle", "out", &path]);
        path
    };
    let before = bundle("before.bundle");
    let asked = home.fails(1, &["withdraw", "E3"]);
    assert!(asked.contains("needs your yes"), "{asked}");
    has(&home.fails(2, &["withdraw", "E3", "--reason", "mistakn", "--yes"]), &["did you mean mistaken"]);
    home.ok(&["withdraw", "E3", "--reason", "wrong plant", "--yes", "--now"]);
    has(&says(&home, &["withdraw", "E3", "--yes"]), &["E3 is withdrawn already"]);
    has(&home.fails(1, &["publish", "E3", "--yes", "--now"]), &["was withdrawn, and that is for good"]);
    has(&home.fails(1, &["withdraw", "E9"]), &["no trial \"E9\""]);
    let after = bundle("after.bundle");
    for order in [[&before, &after], [&after, &before]] {
        let reader = super::placed();
        for file in order {
            reader.ok(&["bundle", "in", file, "--as-known"]);
        }
        let method = reader.json(&["pool", "Ostrava tarda", "--by", "none"])["methods"][0].clone();
        assert_eq!(
            (&method["trials"], &method["rooted"], &method["started"]),
            (&5.into(), &19.into(), &100.into())
        );
    }
}

#[test]
fn the_same_arms_under_a_key_of_the_growers_own_are_perhaps_the_same_trial() {
    let home = adviser();
    let own = super::placed();
    let rows: Vec<&str> =
        SHEET.lines().enumerate().filter(|(at, _)| [0, 3, 4].contains(at)).map(|(_, row)| row).collect();
    let file = own.write("own.csv", rows.join("\n").replace(",mill,", ",,"));
    own.ok(&["trial", "import", &file, "--yes"]);
    own.ok(&["publish", "E3", "--yes", "--now"]);
    let bundle = own.path().parent().expect("a folder").join("own.bundle").display().to_string();
    own.ok(&["bundle", "out", &bundle]);
    home.ok(&["bundle", "in", &bundle, "--as-known"]);
    let pool = home.json(&["pool", "Ostrava tarda", "--by", "none"]);
    assert_eq!(pool["methods"][0]["growers"], 6, "six clusters, not seven");
    let text = says(&home, &["pool", "Ostrava tarda", "--by", "none"]);
    has(&text, &["look like one"]);
}

#[test]
fn an_exported_bench_is_whole_and_its_archive_is_the_same_bench() {
    let home = TestHome::with_trial();
    home.ok(&["trial", "new", "L2", "Lumetta rosea", "--pieces", "8", "--note", "=1+1 is no formula here"]);
    home.ok(&["stick", "L2", "--on", "2026-06-06"]);
    home.ok(&["lift", "L2", "--on", "2026-08-29", "rooted=5,green=1", "--rest", "dead", "--note", "=2+2"]);
    let folder = home.path().parent().expect("a folder").join("out");
    let folder = folder.display().to_string();
    let said = home.run(&["export", &folder]).err;
    has(&said, &["bench-table.csv takes the place of trials.csv"]);
    let again = home.fails(1, &["export", &folder]);
    has(&again, &["is there already", "--force"]);
    let table = std::fs::read_to_string(format!("{folder}/bench-table.csv")).expect("a table");
    assert!(table.contains("'=2+2"), "cells that begin like a formula are guarded: {table}");
    let archive = home.path().parent().expect("a folder").join("out.zip").display().to_string();
    home.ok(&["export", &archive]);
    let second = TestHome::bare();
    second.ok(&["restore", &archive]);
    for code in ["L2", "M1"] {
        assert_eq!(second.json(&["trial", "show", code]), home.json(&["trial", "show", code]));
    }
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
    has(&note, &["0 of 24 rooted", "after 14 weeks"]);
    for private in ["2026-06-05", "8b", "M1"] {
        assert!(!note.contains(private), "{private} in {note}");
    }
    let _ = says(&home, &["trial", "list"]);
}
