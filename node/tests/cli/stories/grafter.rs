//! C: a grafter whose cultivars and grafters cannot be separated.

use super::{entry, has, placed, says};
use crate::home::{IN_SPRING, TestHome};

const NEW: [&str; 12] = [
    "trial",
    "new",
    "F1",
    "Ferulastra montana",
    "--with",
    "kind=graft; form=whip; rootstock=Ferulastra vulgata",
    "--arm",
    "Brasswing: cultivar=Brasswing; operator=P",
    "--arm",
    "Low Lantern: cultivar=Low Lantern; operator=Q",
    "--shared-pots",
    "16x3",
];

/// Grafted, laid out in sixteen plants of three stems, and the take counted in the order of the printed sheet.
fn taken() -> (TestHome, Vec<(String, u16)>) {
    let home = placed();
    let asked = home.fails(1, &[&NEW[..], &["--on", "5-4"]].concat());
    has(&asked, &["5 April", "4 May", "which year"]);
    home.ok(&[&NEW[..], &["--on", "5-4", "--dates", "month-first", "--year", "2026"]].concat());
    home.ok(&["stick", "F1", "--on", "2026-05-04"]);
    let layout = home.json(&["trial", "layout", "F1", "--seed", "4"]);
    let order: Vec<String> = layout["sheet_order"]
        .as_array()
        .expect("an order")
        .iter()
        .map(|code| code.as_str().expect("a code").to_owned())
        .collect();
    // Odd plants hold two stems of the first and one of the second cultivar, even ones the other way round.
    let stems = |code: &str| {
        let plant: u16 = code[1..code.len() - 1].parse().expect("a number");
        if (plant % 2 == 1) == code.ends_with('A') { 2 } else { 1 }
    };
    let mut failures = [5_u16, 10];
    let mut counts = Vec::new();
    for code in &order {
        let arm = usize::from(code.ends_with('B'));
        let failed = failures[arm].min(1);
        failures[arm] -= failed;
        counts.push((code.clone(), stems(code) - failed));
    }
    let typed: Vec<String> = counts.iter().map(|(_, taken)| taken.to_string()).collect();
    home.ok(&["lift", "F1", "--on", "2026-06-08", "--in-order", &typed.join(" "), "--rest", "dead"]);
    (home, counts)
}

#[test]
fn the_take_is_typed_in_the_order_of_the_sheet() {
    let (home, _) = taken();
    let text = says(&home, &["trial", "show", "F1", "--detail"]);
    has(
        &text,
        &[
            "19 of 24 against 14 of 24 took",
            "cultivar and who did the work changed together and cannot be separated",
        ],
    );
    // Fisher's exact test of 19/24 against 14/24 (figure of the worked season).
    has(&text, &["as if every graft were independent: p = 0.21"]);
    let plain = says(&home, &["trial", "show", "F1"]);
    assert!(!plain.contains("p = 0.21") && !plain.contains("better"), "no verdict: {plain}");
}

#[test]
fn suckers_are_looked_for_until_leaf_fall() {
    let (home, _) = taken();
    let due = home.json(&["due", "--as-of", "2026-06-09"]);
    let days: Vec<&str> = due["due"]
        .as_array()
        .expect("a list")
        .iter()
        .filter(|item| item["kind"] == "suckers")
        .map(|item| item["day"].as_str().expect("a day"))
        .collect();
    assert_eq!((days.len(), days[0], days[9]), (10, "2026-06-22", "2026-10-26"));
    home.ok(&["check", "F1", "--on", "2026-06-22", "--suckers", "Brasswing=3"]);
    let due = home.json(&["due", "--as-of", "2026-06-23"]);
    assert_eq!(
        due["due"].as_array().expect("a list").iter().filter(|item| item["kind"] == "suckers").count(),
        9
    );
    has(&says(&home, &["trial", "history", "F1"]), &["rootstock suckers removed: Brasswing 3"]);
    home.ok(&["check", "F1", "--on", "2026-06-23", "--wrap-cut"]);
    assert!(!home.ok(&["due", "--as-of", "2026-06-23"]).contains("cut the graft tape"));
}

#[test]
fn spring_leaves_no_verdict_and_the_pool_keeps_the_stages_apart() {
    let (home, counts) = taken();
    let alive = |letter: char| {
        counts
            .iter()
            .filter(move |(code, taken)| code.ends_with(letter) && *taken > 0)
            .map(|(code, _)| code.clone())
    };
    let bird = alive('A').next().expect("one lives");
    home.ok(&["check", "F1", "--on", "2026-09-01", &format!("{bird}:lost=1,cause=bird")]);
    for code in alive('B').take(4) {
        home.ok(&["check", "F1", "--on", "2026-10-26", &format!("{code}:dead=1,cause=overtaken by suckers")]);
    }
    // In spring one more of the first cultivar and one more of the second have failed: 17 and 9 are sound.
    let standing = home.json(&["check", "F1", "--on", "2026-10-27"]);
    let mut more = [1_i64, 1];
    let mut words = vec!["final".to_owned(), "F1".to_owned(), "--on".to_owned(), "2027-04-20".to_owned()];
    for place in standing["stands"].as_array().expect("places") {
        let alive = place["alive"].as_i64().expect("a count");
        let code = place["place"].as_str().expect("a code");
        if alive == 0 {
            continue;
        }
        let failed = more[usize::from(code.ends_with('B'))].min(1);
        more[usize::from(code.ends_with('B'))] -= failed;
        words.push(format!("{code}:sound={},dead={failed}", alive - failed));
    }
    home.at(IN_SPRING);
    home.ok(&words.iter().map(String::as_str).collect::<Vec<_>>());
    let text = says(&home, &["trial", "show", "F1", "--detail"]);
    has(&text, &["17 of 24 finished", "1 lost", "9 of 24 finished"]);
    has(
        &text,
        &["17 of 24 against 9 of 24 finished. No verdict: cultivar and who did the work changed together"],
    );
    has(&text, &["as if every graft were independent: p = 0.041"]);
    home.ok(&["publish", "F1", "--yes"]);
    let sums = |stage: &str, outcome: &str| {
        let pool = home.json(&[
            "pool",
            "Ferulastra montana",
            "--by",
            "none",
            "--stage",
            stage,
            "--outcome",
            outcome,
        ]);
        (pool["methods"][0]["rooted"].as_u64(), pool["methods"][0]["started"].as_u64())
    };
    assert_eq!(sums("lift", "rooted"), (Some(33), Some(48)));
    assert_eq!(sums("final", "final"), (Some(26), Some(48)));
}

#[test]
fn regrafted_stems_are_a_new_lot_and_the_old_number_stands() {
    let (home, _) = taken();
    let parent =
        home.fails(1, &["trial", "new", "F2", "Ferulastra montana", "--pieces", "3", "--parent", "F9"]);
    has(&parent, &["no trial \"F9\""]);
    let text = says(
        &home,
        &[
            "trial",
            "new",
            "F2",
            "Ferulastra montana",
            "--pieces",
            "3",
            "--regraft-of",
            "F1",
            "--with",
            "kind=graft; form=whip",
        ],
    );
    has(&text, &["F2 is set up as a batch", "3 grafts"]);
    home.ok(&["stick", "F2", "--on", "2026-07-01"]);
    has(&says(&home, &["trial", "show", "F2"]), &["Grafted again on the failed rootstocks of F1"]);
    has(&says(&home, &["trial", "show", "F1"]), &["Brasswing: 24 grafts", "Low Lantern: 24 grafts"]);
}

#[test]
fn a_count_of_the_whole_arm_is_refused_where_pots_are_counted() {
    let (home, _) = taken();
    let message = home.fails(1, &["spring", "F1", "Brasswing:rooted=9"]);
    has(&message, &["this treatment is counted pot by pot", "P1A, P2A"]);
    let number = entry(&home, &["check", "F1", "--on", "2026-07-01"]);
    home.ok(&["trial", "correct", "F1", "--entry", &number, "--take-back"]);
    has(&says(&home, &["trial", "history", "F1"]), &["undone"]);
}
