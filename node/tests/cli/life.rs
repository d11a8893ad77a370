//! What a trial says of its pieces: the sentences of the worked cases of fates and of lineage, by real commands.

use serde_json::Value;

use crate::home::TestHome;

fn home() -> TestHome {
    let home = TestHome::new();
    home.at("2028-01-10T12:00:00Z");
    home
}

fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Numbers and codes of a text, days left out.
fn numbers(text: &str) -> Vec<String> {
    let is_day = |word: &str| word.len() == 10 && word.as_bytes()[4] == b'-' && word.as_bytes()[7] == b'-';
    let words = text.split(|c: char| !(c.is_alphanumeric() || c == '.' || c == '-'));
    let words = words.map(|word| word.trim_matches(['.', '-'])).filter(|word| !is_day(word));
    words.filter(|word| word.chars().any(|c| c.is_ascii_digit())).map(str::to_lowercase).collect()
}

/// Every number of `expected` is in `text`, in that order.
fn says(text: &str, expected: &str) {
    let mut found = numbers(text).into_iter();
    for number in numbers(expected) {
        assert!(
            found.any(|other| other == number),
            "{number} of \"{expected}\" is not in its place:\n{text}"
        );
    }
}

fn put_in(home: &TestHome, code: &str, kind: &str, on: &str, arms: &[&str]) {
    let with = format!("kind={kind}");
    let mut words = vec!["trial", "new", code, "Lumetta rosea", "--on", on, "--with", &with];
    words.extend(arms.iter().flat_map(|arm| ["--arm", arm]));
    home.ok(&words);
    home.ok(&["stick", code, "--on", on]);
}

fn show(home: &TestHome, code: &str) -> String {
    flat(&home.ok(&["trial", "show", code, "--detail"]))
}

/// F1 of the worked fates: 10 of 10 had rooted, 5 of them died.
#[test]
fn what_rooted_and_died_is_said_beside_the_headline() {
    let home = home();
    put_in(&home, "F1", "stem cutting", "2026-06-08", &["A: pots=2; pieces=5"]);
    home.ok(&["check", "F1", "--on", "2026-07-20", "--yes", "P1:rooted=5", "P2:rooted=4,green=1"]);
    home.ok(&["check", "F1", "--on", "2026-08-03", "--yes", "P2:rooted=5"]);
    home.ok(&["check", "F1", "--on", "2026-08-31", "--yes", "P1:alive=2", "P2:alive=3"]);
    home.ok(&["lift", "F1", "--on", "2026-09-14", "P1:rooted=2", "P2:rooted=3"]);
    let text = show(&home, "F1");
    says(&text, "5 of 10 rooted (50 %); ever rooted 10 of 10, 5 died");
    assert!(text.contains("10 of 10 rooted at some time, 5 of them died"), "{text}");
    let arm = &home.json(&["trial", "show", "F1"])["stages"][0]["arms"][0];
    assert_eq!(
        (&arm["rate"]["count"], &arm["ever_rooted"], &arm["dead_rooted"]),
        (&5.into(), &10.into(), &5.into())
    );
}

/// F2 and F3: pots that nobody named live on; roots that nobody looked for are not zero.
#[test]
fn what_nobody_looked_at_or_for_is_said() {
    let home = home();
    put_in(&home, "F2", "stem cutting", "2026-06-08", &["A: pots=3; pieces=8"]);
    home.ok(&["check", "F2", "--on", "2026-06-22", "--yes", "P1:dead=1"]);
    home.ok(&["check", "F2", "--on", "2026-07-06", "--yes", "P3:dead=2,lost=1"]);
    home.ok(&["check", "F2", "--on", "2026-07-20"]);
    says(&show(&home, "F2"), "20 of 24 alive (P2 8 of 8 carried)");
    put_in(&home, "F3", "stem cutting", "2026-06-08", &["A: pots=2; pieces=6"]);
    home.ok(&["check", "F3", "--on", "2026-06-22", "--yes", "P1:dead=1", "P2:alive=6"]);
    home.ok(&["check", "F3", "--on", "2026-07-20", "--yes", "P1:rooted=2"]);
    home.ok(&["check", "F3", "--on", "2026-08-17", "--yes", "P1:rooted=3", "P2:rooted=4,green=1,dead=1"]);
    let text = show(&home, "F3");
    assert!(text.contains("22 Jun 2026 day 14 rooting not checked yet"), "{text}");
    says(&text, "at least 2, in the 6 put in there; 7 of 12 ever rooted");
}

/// F4 and F7: nothing rooted is a finding, and lost pieces are read both ways where the order turns.
#[test]
fn none_is_a_finding_and_lost_pieces_turn_an_order() {
    let home = home();
    put_in(&home, "F4", "stem cutting", "2026-07-04", &["A: pieces=7", "B: pieces=6", "C: pieces=5"]);
    home.ok(&["lift", "F4", "--on", "2026-10-10", "A:green=4,dead=3", "B:dead=6", "C:green=5"]);
    says(&show(&home, "F4"), "A 0 of 7 rooted, 4 green; B 0 of 6; C 0 of 5, 5 green; 0 of 18, up to 15 %");
    put_in(&home, "F7", "stem cutting", "2026-06-08", &["A: pots=2; pieces=6", "B: pots=2; pieces=6"]);
    home.ok(&["check", "F7", "--on", "2026-07-13", "--yes", "P2:lost=6"]);
    home.ok(&[
        "lift",
        "F7",
        "--on",
        "2026-09-07",
        "P1:rooted=5,green=1",
        "P3:rooted=5,dead=1",
        "P4:rooted=4,green=2",
    ]);
    says(&show(&home, "F7"), "A 5 of 12 (42 %), without the lost 5 of 6 (83 %); B 9 of 12 (75 %)");
}

/// F6: pieces that were sold keep their roots for ever.
#[test]
fn sold_pieces_stay_ever_rooted() {
    let home = home();
    put_in(&home, "F6", "stem cutting", "2026-06-05", &["A: pieces=15"]);
    home.ok(&["lift", "F6", "--on", "2026-10-09", "A:rooted=11,green=1,dead=3"]);
    home.ok(&["move", "F6", "A", "--sold", "6", "--on", "2027-03-20"]);
    home.ok(&["move", "F6", "A", "--sold", "2", "--below-grade", "--on", "2027-04-10"]);
    home.ok(&["check", "F6", "--on", "2027-05-15", "--yes", "A:alive=3,rooted=3"]);
    says(&show(&home, "F6"), "11 of 15; 6 left as finished, 2 below grade, 3 with roots, 4 dead");
}

/// F9: a winter between, three arms of 22.
#[test]
fn the_next_summer_is_told_for_every_arm_and_in_total() {
    let home = home();
    let arms = ["plain: pieces=22", "heel: pieces=22", "halved: pieces=22"];
    put_in(&home, "F9", "stem cutting", "2026-07-02", &arms);
    let lift = [
        "plain:rooted=4,green=15,dead=3",
        "heel:rooted=3,green=18,dead=1",
        "halved:rooted=2,green=16,dead=4",
    ];
    home.ok(&[&["lift", "F9", "--on", "2026-11-12"][..], &lift].concat());
    assert_eq!(home.json(&["trial", "show", "F9"])["life"], Value::Null);
    home.ok(&[
        "check",
        "F9",
        "--on",
        "2027-04-18",
        "--yes",
        "plain:alive=13",
        "heel:alive=17",
        "halved:alive=10",
    ]);
    let look =
        ["plain:rooted=5,green=4,dead=4", "heel:rooted=6,green=8,dead=3", "halved:rooted=2,green=5,dead=3"];
    home.ok(&[&["check", "F9", "--on", "2027-06-10"][..], &look].concat());
    let text = show(&home, "F9");
    let said = "Of 49 still green on 12 Nov 2026, 4 had rooted by 10 Jun 2027; 17 are still green, 28 died before \
                rooting. In all, 13 of 66 rooted at some time.";
    assert!(text.contains(said), "{text}");
    says(
        &text,
        "plain: of 15 still green, 1 rooted since, 4 still green, 10 died before rooting; in all 5 of 22. heel: of 18 still green, 3; 6 of 22. halved: of 16 still green, 0; 2 of 22.",
    );
    let life = &home.json(&["trial", "show", "F9"])["life"];
    assert_eq!((&life["green_at"], &life["on"]), (&"2026-11-12".into(), &"2027-06-10".into()));
    assert_eq!(
        (&life["rooted_since"], &life["still_waiting"], &life["died"]),
        (&4.into(), &17.into(), &28.into())
    );
    assert_eq!(life["whole_life"], serde_json::json!({ "ever_rooted": 13, "of": 66 }));
}

/// F10 and F11: grafts through season end and spring with their suckers, and seed that is not up yet.
#[test]
fn grafts_and_seed_tell_their_lives() {
    let home = home();
    put_in(&home, "F10", "graft", "2026-04-20", &["whip: pieces=12", "cleft: pieces=12"]);
    home.ok(&["take", "F10", "--on", "2026-06-01", "whip:taken=9,dead=3", "cleft:taken=7,green=2,dead=3"]);
    home.ok(&["check", "F10", "--on", "2026-07-06", "cleft:taken=8,green=0,dead=1"]);
    home.ok(&["season", "F10", "--on", "2026-10-30", "whip:taken=8,dead=1", "cleft:taken=7,dead=1"]);
    home.ok(&["spring", "F10", "--on", "2027-04-25", "whip:taken=8", "cleft:taken=5,dead=2"]);
    for (day, whip, cleft) in [("06-22", 1, 4), ("07-06", 2, 3), ("07-20", 0, 4), ("08-03", 0, 0)] {
        let (whip, cleft) = (format!("whip={whip}"), format!("cleft={cleft}"));
        home.ok(&["check", "F10", "--on", &format!("2026-{day}"), "--suckers", &whip, &cleft]);
    }
    let text = show(&home, "F10");
    says(&text, "taken 9 of 12 and 7 of 12, 2 undecided; growing on 8 and 7; sound 8 of 12 and 5 of 12");
    says(&text, "ever taken 9 of 12; ever taken 8 of 12");
    assert!(text.contains("Rootstock suckers removed: whip 3, cleft 11; 14 in all, in 4 checks"), "{text}");
    put_in(&home, "F11", "seed", "2026-10-15", &["cold: pieces=50", "warm: pieces=50"]);
    home.ok(&["check", "F11", "--on", "2027-04-10", "cold:germinated=9", "warm:germinated=31"]);
    home.ok(&[
        "check",
        "F11",
        "--on",
        "2027-05-08",
        "cold:alive=44,dead=6,germinated=5",
        "warm:dead=8,germinated=30",
    ]);
    let text = show(&home, "F11");
    says(&text, "ever germinated 9 of 50, 5 germinated; ever germinated 31 of 50, 30 germinated");
    assert!(text.contains("39 still sound, not germinated"), "{text}");
}

/// The worked case of lineage: 15 of 24, worked again 4 of 9, fresh ones 8 of 12.
#[test]
fn trials_that_follow_one_another_are_never_added_up() {
    let home = home();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    let set_up = |code: &str, on: &str, pieces: &str, follows: &[&str]| {
        let words =
            ["trial", "new", code, "Juglans regia", "--on", on, "--pieces", pieces, "--with", "kind=graft"];
        home.ok(&[&words[..], follows].concat());
        home.ok(&["stick", code, "--on", on]);
    };
    set_up("J1", "2026-04-20", "24", &[]);
    home.ok(&["take", "J1", "--on", "2026-06-01", "taken=15,dead=9"]);
    set_up("J1b", "2026-06-05", "9", &["--regraft-of", "J1"]);
    home.ok(&["take", "J1b", "--on", "2026-07-20", "taken=4,dead=5"]);
    set_up("J1c", "2026-06-05", "12", &["--replaces", "J1"]);
    home.ok(&["take", "J1c", "--on", "2026-07-20", "taken=8,dead=4"]);
    let text = show(&home, "J1");
    says(
        &text,
        "15 of 24 taken; 9 of its stocks worked again (J1b): 4 of 9; stocks of J1 that carry a scion now: 19 of 24. Replaced by 12 fresh ones (J1c): 8 of 12.",
    );
    assert!(text.contains("Rootstocks of J1 that carry a scion now: 19 of 24."), "{text}");
    assert!(!text.contains("of 45"), "{text}");
    assert!(show(&home, "J1b").contains("Grafted again on the failed rootstocks of J1,"), "{text}");
    for code in ["J1", "J1b", "J1c"] {
        home.ok(&["publish", code, "--yes"]);
    }
    let pooled = |more: &[&str]| {
        let pool = home.json(&[&["pool", "Juglans regia", "--by", "none"][..], more].concat());
        let method = &pool["methods"][0];
        (
            method["rooted"].clone(),
            method["started"].clone(),
            method["growers"].clone(),
            pool["left_out"].to_string(),
        )
    };
    let (taken, started, growers, left_out) = pooled(&[]);
    assert_eq!((taken, started, growers), (23.into(), 36.into(), 1.into()));
    assert!(left_out.contains("again on the same rootstocks\"}]"), "{left_out}");
    let (taken, started, ..) = pooled(&["--with-regrafts"]);
    assert_eq!((taken, started), (27.into(), 45.into()), "each is still a trial of its own");
}
