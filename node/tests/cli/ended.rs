//! Trials that are closed, kept private, or looked at all at once, as a grower does it. All trials are invented.

use std::fmt::Write;

use serde_json::Value;

use crate::home::TestHome;

/// M1 stands in the mist house, N1 on the cold frame, O1 was forgotten a year ago; P1 is planned.
fn home() -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    home.ok(&["spot", "mist house", "--with", "growing place=glass"]);
    home.ok(&["spot", "cold frame", "--with", "growing place=glass"]);
    let arms = ["--arm", "dip: auxin=IBA 3000 mg/L quick dip", "--arm", "none: auxin=none"];
    home.ok(&[&["trial", "new", "M1", "Morus nigra", "--pots", "2", "--pieces", "4"][..], &arms].concat());
    for code in ["N1", "O1", "P1"] {
        home.ok(&["trial", "new", code, "Cornus mas", "--pieces", "12"]);
    }
    home.ok(&["stick", "M1", "--on", "2026-11-02", "--spot", "mist house"]);
    home.ok(&["stick", "N1", "--on", "2026-11-03", "--spot", "cold frame"]);
    home.ok(&["stick", "O1", "--on", "2025-06-06"]);
    home
}

/// A trial of two arms that was lifted ten weeks ago.
const SECOND: &str = "trial,species,started,started_on,arm,lift_on,lift_alive,lift_rooted,lift_dead,lift_lost\n\
    M2,Morus nigra,24,2026-06-05,A,2026-09-12,17,5,7,0\nM2,Morus nigra,24,2026-06-05,B,2026-09-12,17,5,7,0\n";

fn codes(value: &Value) -> Vec<&str> {
    value.as_array().expect("a list").iter().filter_map(Value::as_str).collect()
}

fn entries(home: &TestHome, code: &str) -> usize {
    let history = home.json(&["trial", "history", code]);
    let all = history["entries"].as_array().expect("a list").iter();
    all.filter(|entry| !entry["stands"].is_null()).count()
}

#[test]
fn a_trial_with_pieces_left_is_closed_only_with_their_fate() {
    let home = home();
    let asked = home.fails(1, &["trial", "close", "M1", "--because", "given-up"]);
    assert!(asked.contains("16 alive or not seen") && asked.contains("--rest"), "{asked}");
    home.ok(&["trial", "close", "M1", "--because", "given-up", "--rest", "dead"]);
    let shown = home.ok(&["trial", "show", "M1"]);
    assert!(shown.contains("closed (given up); the rest: dead, 25 Nov 2026"), "{shown}");
    assert!(!home.ok(&["due", "--all"]).contains("M1"));
    home.ok(&["trial", "close", "P1"]);
    assert!(home.fails(1, &["stick", "P1"]).contains("trial reopen P1"));
}

#[test]
fn a_closed_trial_refuses_counts_and_names_the_way_back() {
    let home = home();
    home.ok(&["trial", "close", "M1", "--rest", "lost"]);
    let before = entries(&home, "M1");
    let refused: [&[&str]; 8] = [
        &["check", "M1"],
        &["check", "M1", "P1:dead=1"],
        &["check", "M1", "--suckers"],
        &["lift", "M1", "P1:rooted=2"],
        &["spring", "M1", "P1:rooted=2"],
        &["move", "M1", "--to", "cold frame"],
        &["move", "M1", "P1", "--sold", "1"],
        &["spot", "cold frame", "--lots", "M1"],
    ];
    for words in refused {
        let said = home.fails(1, words);
        assert!(
            said.contains("hint: if it goes on after all: propagule trial reopen M1"),
            "{words:?}: {said}"
        );
    }
    assert_eq!(entries(&home, "M1"), before, "nothing was saved");
    home.ok(&["trial", "reopen", "M1"]);
    home.ok(&["check", "M1", "P1:dead=1"]);
    assert!(home.fails(1, &["trial", "reopen", "M1"]).contains("not closed"));
}

#[test]
fn sleepers_are_listed_before_they_are_closed() {
    let home = home();
    assert!(home.ok(&["due"]).contains("1 trial of 2025"));
    let asked = home.run(&["trial", "close", "--asleep", "--rest", "not-known"]);
    assert_eq!(asked.code, 1);
    assert!(asked.out.contains("O1  Cornus mas, started 6 Jun 2025, 12 left"), "{}", asked.out);
    assert_eq!(entries(&home, "O1"), 0, "nothing is closed without a yes");
    let closed = home.json(&["trial", "close", "--asleep", "--rest", "not-known", "--yes"]);
    assert_eq!(codes(&closed["trials"]), ["O1"]);
    assert!(!home.ok(&["due"]).contains("Asleep"));
}

#[test]
fn what_is_private_is_never_offered_and_never_published() {
    let home = TestHome::with_trial();
    home.ok(&["trial", "import", &home.write("second.csv", SECOND), "--yes"]);
    home.ok(&["settings", "publishing", "on"]);
    let kinds = |home: &TestHome| {
        let due = home.json(&["due", "--as-of", "2026-11-25"]);
        let all = due["due"].as_array().expect("a list");
        all.iter().filter_map(|item| item["kind"].as_str().map(str::to_owned)).collect::<Vec<_>>()
    };
    let asks = |home: &TestHome| kinds(home).iter().any(|kind| kind.starts_with("publish"));
    assert!(asks(&home), "{:?}", kinds(&home));
    home.ok(&["trial", "private", "M2"]);
    assert!(!asks(&home));
    let refused = home.fails(1, &["publish", "M2", "--yes"]);
    assert!(refused.contains("trial private M2 --allow-publishing"), "{refused}");
    home.ok(&["trial", "private", "M2", "--allow-publishing"]);
    assert!(asks(&home));
    home.ok(&["settings", "publishing", "off"]);
    assert!(!asks(&home));
    assert!(home.fails(1, &["publish", "M2", "--yes"]).contains("settings publishing on"));
    home.ok(&["settings", "publishing", "on"]);
    home.ok(&["publish", "M2", "--yes"]);
}

#[test]
fn a_grower_who_never_publishes_is_not_asked_to_and_one_who_has_is() {
    let home = TestHome::with_trial();
    home.ok(&["trial", "import", &home.write("second.csv", SECOND), "--yes"]);
    let asked =
        |home: &TestHome| home.ok(&["due", "--as-of", "2026-11-25", "--all"]).contains("not published");
    assert!(!asked(&home));
    home.ok(&["publish", "M1", "--yes"]);
    assert!(asked(&home), "M2 waits");
}

#[test]
fn all_that_stands_on_a_spot_is_looked_at_once() {
    let home = home();
    let looked = home.json(&["check", "--spot", "Mist House", "ok"]);
    assert_eq!((codes(&looked["looked"]), looked["spot"].as_str()), (vec!["M1"], Some("mist house")));
    let again = home.json(&["check", "--spot", "mist house", "ok"]);
    assert_eq!((codes(&again["looked"]), codes(&again["already"])), (vec![], vec!["M1"]));
    let all = home.json(&["check", "--bench", "ok"]);
    assert_eq!(codes(&all["looked"]), ["N1", "O1"], "planned trials are not on the bench");
    home.ok(&["check", "M1", "P1:dead=1"]);
    assert_eq!(entries(&home, "M1"), 3, "stood, looked, and the exception of the same day");
    home.ok(&["trial", "close", "N1", "--rest", "dead"]);
    let refused = home.fails(1, &["check", "--spot", "cold frame", "ok"]);
    assert!(refused.contains("no open trial stands on cold frame"), "{refused}");
}

#[test]
fn a_whole_bench_is_not_looked_at_by_a_slip_of_the_hand() {
    let home = home();
    let refused = home.fails(2, &["check", "--bench"]);
    assert!(refused.contains("hint: propagule check --bench ok"), "{refused}");
    assert!(home.fails(2, &["check", "--spot", "mist house", "M1"]).contains("M1"));
    assert_eq!(entries(&home, "N1"), 1, "nothing was saved but where it stands");
    home.ok(&["check", "M1", "ok"]);
    assert_eq!(entries(&home, "M1"), 2, "the same as check M1");
}

/// A table of lots that were put in over ten years and never touched again.
fn untouched(per_year: u16) -> String {
    let mut table = "trial,species,started,started_on\n".to_owned();
    for year in 2017..2027 {
        for lot in 0..per_year {
            let day = 1 + lot % 28;
            let _ = writeln!(table, "L{year}-{lot},Cornus mas,12,{year}-06-{day:02}");
        }
    }
    table
}

#[test]
fn ten_untouched_years_are_told_in_six_lines_and_a_bench_of_600_lots_in_forty() {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    home.ok(&["trial", "import", &home.write("lots.csv", untouched(119)), "--yes"]);
    let said = home.ok(&["due"]);
    assert!(said.lines().count() <= 6, "{said}");
    assert!(said.contains("1,190 trials: 119 of 2026, 119 of 2025,"), "{said}");
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    home.ok(&["trial", "import", &home.write("lots.csv", untouched(60)), "--yes"]);
    let said = home.ok(&["due", "--as-of", "2026-06-25"]);
    assert!(
        said.lines().count() <= 40 && said.lines().count() > 30,
        "{} lines: {said}",
        said.lines().count()
    );
    assert!(said.contains("more: propagule due --all"), "{said}");
    let calendar = home.json(&["due", "--as-of", "2026-06-25"])["calendar"].to_string();
    assert!(!calendar.contains("L2025"), "what sleeps is in no calendar");
}
