//! Tables as large as a nursery's whole archive, alone and through a running node.

use std::fmt::Write;

use crate::home::TestHome;
use crate::serving::Serving;

/// Ten thousand where there is time (`.ci/long`); fewer are still longer than one part of a message, which is 1 MiB.
fn rows() -> usize {
    if std::env::var_os("PROPAGULE_LONG").is_some() { 10_000 } else { 4_000 }
}

fn trials() -> String {
    let mut table =
        String::from("trial,species,started,started_on,arm,lift_on,lift_alive,lift_rooted,note\n");
    let note = "a note as long as this one makes the table longer than one part of a message; ".repeat(3);
    let note = note.trim_end();
    for row in 0..rows() {
        writeln!(table, "B{row:05},Morus nigra,24,2026-06-05,A,2026-09-12,4,0,{note}").expect("a string");
    }
    table
}

#[test]
fn thousands_of_trials_pass_through_a_running_node() {
    let home = TestHome::new();
    let table = trials();
    assert!(table.len() > 1 << 20, "{} bytes pass in one part", table.len());
    let file = home.write("archive.csv", table);
    let _serving =
        Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0", "--page-port", "0"]));
    let imported = home.json(&["trial", "import", &file, "--yes"]);
    assert_eq!(imported["trials"].as_array().map(Vec::len), Some(rows()));
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(rows()));
    let again = home.json(&["trial", "import", &file, "--yes"]);
    let is_unchanged = |trial: &serde_json::Value| trial["change"] == "unchanged";
    assert!(again["trials"].as_array().expect("a list").iter().all(is_unchanged));
}

#[test]
fn the_last_of_thousands_of_rows_is_named_when_it_is_wrong() {
    let home = TestHome::new();
    let last = format!("B{:05},Morus nigra,", rows() - 1);
    let file = home.write("archive.csv", trials().replace(&format!("{last}24"), &last));
    let message = home.fails(1, &["trial", "import", &file, "--yes"]);
    let place = format!("row {}, column \"started\": the number started is missing", rows() + 1);
    assert!(message.contains(&place), "{message}");
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(0));
}

#[test]
fn ten_thousand_arms_of_evidence_are_added_up() {
    let mut table = String::from("grower,trial,arm,method,medium,region,stuck,rooted\n");
    for row in 0..10_000 {
        writeln!(table, "g{},t{row},1,m,p,all,20,{}", row % 50, row % 20).expect("a string");
    }
    let home = TestHome::bare();
    let file = home.write("archive.csv", table);
    let method = home.json(&["pool", "--from", &file])["methods"][0].clone();
    // 500 rounds of 0 + 1 + … + 19 = 190.
    assert_eq!((&method["started"], &method["rooted"]), (&200_000.into(), &95_000.into()));
    assert_eq!((&method["growers"], &method["arms_none"]), (&50.into(), &500.into()));
}
