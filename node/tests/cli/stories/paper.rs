//! Layout, labels and sheets of a trial.

use super::{has, says};
use crate::home::TestHome;

fn trial() -> TestHome {
    super::two_arms("3")
}

#[test]
fn the_layout_is_random_by_a_seed_that_is_kept() {
    let home = trial();
    let first = home.json(&["trial", "layout", "L1", "--columns", "3"]);
    assert_eq!(home.json(&["trial", "layout", "L1"])["bench_order"], first["bench_order"], "it is kept");
    let seeded =
        |seed: &str| home.json(&["trial", "layout", "L1", "--seed", seed])["bench_order"].to_string();
    assert_eq!(seeded("7"), seeded("7"));
    let others: std::collections::BTreeSet<String> = ["1", "2", "3", "4", "5"].map(seeded).into();
    assert!(others.len() > 1, "other seeds give other benches");
    for pot in 1..=6 {
        assert_eq!(seeded("7").matches(&format!("P{pot}")).count(), 1);
    }
    has(&home.fails(2, &["trial", "layout", "L1", "--columns", "0"]), &["a bench has 1 to 40"]);
    home.ok(&["stick", "L1", "--on", "2026-06-06"]);
    has(&home.fails(1, &["trial", "layout", "L1", "--seed", "8"]), &["stands on the bench already"]);
    home.ok(&["lift", "L1", "--on", "2026-09-01", "--in-order", "4 4 4 4 4 4"]);
    let leaves = home.json(&["trial", "show", "L1"]);
    assert_eq!(leaves["trial"]["is_randomised"], true);
}

#[test]
fn labels_carry_a_check_character_and_tags_are_read_with_or_without_it() {
    let home = trial();
    home.ok(&["stick", "L1", "--on", "2026-06-06"]);
    let labels = home.json(&["trial", "labels", "L1"]);
    let labels = labels["page"]["labels"][0]["labels"].as_array().expect("labels").clone();
    assert_eq!(labels.len(), 6);
    let tag = format!(
        "{}-{}",
        labels[1]["code"].as_str().expect("a code"),
        labels[1]["check"].as_str().expect("one")
    );
    has(&tag, &["L1-P2-"]);
    home.ok(&["check", "L1", "--on", "2026-07-01", &format!("{tag}:dead=1")]);
    home.ok(&["check", "L1", "--on", "2026-07-02", "l1-p2:dead=1"]);
    has(&says(&home, &["trial", "history", "L1"]), &["P2 1 dead"]);
    let wrong = if tag.ends_with('K') { "L1-P2-L" } else { "L1-P2-K" };
    let message = home.fails(1, &["check", "L1", "--on", "2026-07-03", &format!("{wrong}:dead=1")]);
    has(&message, &["check character"]);
}

#[test]
fn a_blind_sheet_does_not_name_the_arms() {
    let home = trial();
    home.ok(&["stick", "L1", "--on", "2026-06-06"]);
    let folder = home.path().parent().expect("a folder").to_path_buf();
    let written = |name: &str, words: &[&str]| {
        let path = folder.join(name).display().to_string();
        home.ok(&[words, &["--out", &path]].concat());
        std::fs::read_to_string(&path).expect("a page")
    };
    let open = written("open.html", &["trial", "sheet", "L1"]);
    let blind = written("blind.html", &["trial", "sheet", "L1", "--blind", "--letter"]);
    assert!(open.contains("powder") && !blind.contains("powder"));
    assert!(open.contains("A4") && blind.to_lowercase().contains("letter"));
    let labels = written("labels.html", &["trial", "labels", "L1"]);
    assert!(labels.contains("<svg") && labels.contains("L1-P2"), "QR codes are drawn");
    let again =
        home.fails(1, &["trial", "labels", "L1", "--out", &folder.join("labels.html").display().to_string()]);
    has(&again, &["is there already; it was left alone"]);
}
