//! A: the first year of a grower, on a phone, without a place.

use super::{entry, has, says, two_arms, two_arms_words};
use crate::home::TestHome;

fn stuck() -> TestHome {
    let home = two_arms("3");
    home.ok(&["stick", "L1", "--on", "about 2026-06-06"]);
    home
}

/// The whole season up to the lift; returns the number of the lift's entry.
fn lifted(home: &TestHome) -> String {
    home.ok(&["check", "L1", "--on", "2026-06-20"]);
    home.ok(&["check", "L1", "--on", "4 Jul 2026", "P2:dead=1", "--once", "phone-1"]);
    home.ok(&["check", "L1", "--on", "2026-07-20", "P5:lost=4,cause=tipped"]);
    entry(
        home,
        &[
            "lift",
            "L1",
            "--on",
            "2026-08-29",
            "P1:rooted=4",
            "P2:rooted=3",
            "P3:rooted=2,green=2",
            "P4:rooted=3,green=1",
            "P6:rooted=2,dead=2",
        ],
    )
}

#[test]
fn before_sticking_it_says_what_24_cuttings_can_show() {
    let home = TestHome::new();
    let text = says(&home, &two_arms_words("3"));
    // Two-sided Fisher test at 0.05 with 12 against 12 (power by enumeration; figures of the worked season).
    has(
        &text,
        &[
            "20% and 80%",
            "3 pots of 4 per treatment would show the difference",
            "69 times in 100 (81 if pots never differed)",
            "50% and 75% ###................. only 14 times in 100",
        ],
    );
    has(
        &text,
        &[
            "12 cuttings in P1, P2 and P3",
            "12 cuttings in P4, P5 and P6",
            "powder and none differ in rooting hormone only",
        ],
    );
    has(&text, &["Rooting hormone: follow its label", "label"]);
    let early = home.fails(1, &["check", "L1"]);
    assert!(early.contains("hint: propagule stick L1"), "{early}");
}

#[test]
fn an_entry_that_is_sent_again_counts_once() {
    let home = stuck();
    let words = ["check", "L1", "--on", "2026-07-04", "P2:dead=1", "--once", "phone-1"];
    let first = entry(&home, &words);
    let again = home.json(&words);
    assert_eq!((again["entry"].to_string(), again["saved"].as_bool()), (first, Some(false)));
    has(&says(&home, &["trial", "history", "L1"]), &["P2 1 dead"]);
    assert_eq!(home.ok(&["trial", "history", "L1"]).matches("1 dead").count(), 1);
}

#[test]
fn nine_of_twelve_against_six_of_twelve_could_easily_be_luck() {
    let home = stuck();
    let lift = lifted(&home);
    home.ok(&["trial", "correct", "L1", "--entry", &lift, "P6:rooted=3,dead=1"]);
    let text = says(&home, &["trial", "show", "L1"]);
    has(
        &text,
        &[
            "powder and none: 9 of 12 against 6 of 12 rooted. These counts cannot tell them apart. If it made no difference, a result this lopsided would turn up about 40 times in 100.",
            "4 lost; without them 6 of 8 (75%)",
            "Without the lost cuttings: 9 of 12 against 6 of 8, both 75%.",
        ],
    );
    let history = says(&home, &["trial", "history", "L1"]);
    has(&history, &["P6 3 rooted, 1 dead", "until", "P6 2 rooted, 2 dead"]);
}

#[test]
fn zone_and_hemisphere_are_enough_to_publish() {
    let home = stuck();
    let lift = lifted(&home);
    home.ok(&["trial", "correct", "L1", "--entry", &lift, "P6:rooted=3,dead=1"]);
    let refused = home.fails(1, &["publish", "L1"]);
    assert!(refused.contains("a trial needs a site before it can be published"), "{refused}");
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    home.ok(&["note", "L1", "the window side looks paler", "--file", "pots.jpg"]);
    let preview = home.json(&["publish", "L1", "--preview"]);
    let leaves = preview["leaves"].to_string();
    for there in ["\"2026-06\"", "\"12\"", "strength unknown"] {
        assert!(leaves.contains(there), "{there} in {leaves}");
    }
    for private in ["2026-06-06", "2026-08-29", "paler", "pots.jpg", "\"L1\"", "P3"] {
        assert!(!leaves.contains(private), "{private} in {leaves}");
    }
    home.ok(&["publish", "L1", "--yes"]);
    let pool = home.json(&["pool", "Lumetta rosea", "--by", "auxin"]);
    let counts: Vec<(u64, u64)> = pool["methods"]
        .as_array()
        .expect("methods")
        .iter()
        .map(|method| {
            (method["rooted"].as_u64().expect("a count"), method["started"].as_u64().expect("a count"))
        })
        .collect();
    assert!(counts.contains(&(9, 12)) && counts.contains(&(6, 12)), "{counts:?}");
}

#[test]
fn the_due_list_follows_the_season() {
    let home = stuck();
    has(&says(&home, &["due", "--as-of", "2026-06-07"]), &["Next: L1, check, 20 Jun 2026."]);
    home.ok(&["check", "L1", "--on", "2026-06-20"]);
    has(&says(&home, &["due", "--as-of", "2026-07-18"]), &["Now 4 Jul 2026 L1: check, 14 days ago"]);
    let calendar = home.json(&["due", "--as-of", "2026-06-21"])["calendar"].to_string();
    assert!(
        calendar.contains("BEGIN:VEVENT") && calendar.contains("DTSTART;VALUE=DATE:20260704"),
        "{calendar}"
    );
}
