//! Several commands on one home at the same time.

use std::process::{Child, Stdio};

use crate::home::{Ran, TRIAL, TestHome, ran};
use crate::serving::Serving;

fn all_at_once(home: &TestHome, commands: &[Vec<&str>]) -> Vec<Ran> {
    let start = |words: &Vec<&str>| {
        let mut command = home.command(words);
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().expect("starts")
    };
    let started: Vec<Child> = commands.iter().map(start).collect();
    started.into_iter().map(|child| ran(&child.wait_with_output().expect("ends"))).collect()
}

fn publishes_once(home: &TestHome) {
    let runs = all_at_once(home, &vec![vec!["publish", "M1", "--yes", "--now", "--json"]; 6]);
    let answers: Vec<serde_json::Value> =
        runs.iter().map(|run| serde_json::from_str(&run.out).unwrap_or_else(|_| panic!("{run:?}"))).collect();
    assert_eq!(answers.iter().filter(|answer| answer["published"] == true).count(), 1, "{answers:?}");
    assert!(answers.iter().all(|answer| answer["revision"] == 0), "{answers:?}");
    assert_eq!(home.json(&["peers", "list"])["records"], 1);
}

#[test]
fn a_trial_is_published_once_however_many_ask() {
    publishes_once(&TestHome::with_trial());
    let home = TestHome::with_trial();
    let _serving = Serving::start(home.command(&["serve", "--listen", "/ip4/127.0.0.1/tcp/0"]));
    publishes_once(&home);
}

#[test]
fn imports_at_the_same_time_are_all_kept() {
    let home = TestHome::new();
    let tables: Vec<String> =
        (1..=6).map(|n| home.write(&format!("{n}.csv"), TRIAL.replace("M1", &format!("M{n}")))).collect();
    let commands: Vec<Vec<&str>> =
        tables.iter().map(|table| vec!["trial", "import", table.as_str(), "--yes"]).collect();
    for run in all_at_once(&home, &commands) {
        assert_eq!(run.code, 0, "{run:?}");
    }
    assert_eq!(home.json(&["trial", "list"])["trials"].as_array().map(Vec::len), Some(6));
}

#[test]
fn entries_at_the_same_time_are_all_kept_and_an_entry_sent_twice_is_one() {
    let home = TestHome::new();
    home.ok(&[
        "trial",
        "new",
        "L1",
        "Lumetta rosea",
        "--arm",
        "A:",
        "--arm",
        "B:",
        "--pots",
        "4",
        "--pieces",
        "5",
    ]);
    home.ok(&["stick", "L1", "--on", "2026-06-06"]);
    let counts: Vec<String> = (1..=6).map(|pot| format!("P{pot}:dead=1")).collect();
    let once: Vec<String> = (1..=6).map(|pot| format!("entry-{pot}")).collect();
    let entries = counts.iter().zip(&once);
    let commands: Vec<Vec<&str>> = entries
        .flat_map(|(count, once)| {
            let words = vec!["check", "L1", "--on", "2026-06-20", count.as_str(), "--once", once.as_str()];
            [words.clone(), words]
        })
        .collect();
    for run in all_at_once(&home, &commands) {
        assert_eq!(run.code, 0, "{run:?}");
    }
    let history = home.json(&["trial", "history", "L1"]);
    let numbers: std::collections::BTreeSet<u64> = history["entries"]
        .as_array()
        .expect("entries")
        .iter()
        .filter_map(|entry| entry["entry"].as_u64())
        .collect();
    assert_eq!(numbers.len(), 6, "{history}");
}

#[test]
fn a_home_made_by_many_at_once_is_made_once() {
    let home = TestHome::bare();
    let runs = all_at_once(&home, &vec![vec!["init", "--network", "test", "--json"]; 12]);
    let answers: Vec<serde_json::Value> =
        runs.iter().map(|run| serde_json::from_str(&run.out).unwrap_or_else(|_| panic!("{run:?}"))).collect();
    assert_eq!(answers.iter().filter(|answer| answer["new"] == true).count(), 1, "{answers:?}");
    assert!(home.ok(&["trial", "list"]).contains("No trials yet."));
}
