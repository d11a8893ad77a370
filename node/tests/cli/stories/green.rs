//! D: none rooted and most green at lift, moved to a frame, roots in spring.

use super::{has, placed, says};
use crate::home::{IN_SPRING, TestHome};

fn lifted() -> TestHome {
    let home = placed();
    home.ok(&["stock", "seedlings", "--with", "stock_origin=seedling; stock_age=8 years"]);
    home.ok(&["spot", "fog house", "--with", "growing_place=glass; humidity=fog"]);
    home.ok(&["spot", "dome bench", "--with", "growing_place=glass; humidity=dome"]);
    home.ok(&["spot", "frame", "--with", "growing_place=cold frame; humidity=open"]);
    home.ok(&["care", "dome bench", "--water", "every 2 days", "--on", "2026-07-04"]);
    let text = says(
        &home,
        &[
            "trial",
            "new",
            "O1",
            "Ostrava tarda",
            "--on",
            "2026-07-04",
            "--with",
            "kind=stem cutting; stock=seedlings",
            "--arm",
            "A: medium=coarse perlite; container=pot; leaves=whole; humidity=fog; pieces=12",
            "--arm",
            "B: medium=bark; container=deep pot; leaves=whole; humidity=dome; watering=kept moist; pieces=15",
            "--arm",
            "C: medium=bark; container=deep pot; leaves=halved; humidity=dome; watering=kept moist; pieces=13",
            "--arm",
            "D: medium=bark; container=deep pot; leaves=quartered; humidity=dome; watering=kept moist; pieces=14",
        ],
    );
    has(
        &text,
        &[
            "A and B differ in container, mist or cover, medium and watering at the base at once, so this trial cannot say which one matters.",
        ],
    );
    has(&text, &["B and C differ in leaves only.", "A difference between pots would look just the same"]);
    has(&text, &["The same number in 2 pots per treatment", "The same number in 3 pots per treatment"]);
    home.ok(&["stick", "O1", "--on", "2026-07-04"]);
    let counts = ["A:rooted=0,alive=5", "B:rooted=0,alive=9", "C:rooted=0,alive=12", "D:rooted=0,alive=8"];
    home.ok(&[&["lift", "O1", "--on", "2026-10-17", "--rest", "dead"][..], &counts].concat());
    let moved = says(&home, &["move", "O1", "--to", "frame", "--on", "2026-10-17"]);
    has(
        &moved,
        &[
            "C: same trial, same 13 stuck, same method. Any that root from now on count for C, as rooted after the move to frame (week 15).",
        ],
    );
    home
}

#[test]
fn none_of_54_says_how_much_is_not_known() {
    let home = lifted();
    let text = says(&home, &["trial", "show", "O1"]);
    has(&text, &["All treatments: 0 of 54 rooted", "34 still green, not rooted"]);
    has(
        &text,
        &[
            "B and C: 0 of 15 against 0 of 13 rooted. Nothing rooted in either, so there is nothing to compare yet. The true rates could still be as high as about 18% and about 21%.",
        ],
    );
    has(
        &text,
        &[
            "A and B: 0 of 12 against 0 of 15 rooted. No verdict: container, mist or cover, medium and watering at the base changed together and cannot be separated.",
        ],
    );
    assert!(!text.contains("better") && !text.contains("10%"), "{text}");
    let stages = home.json(&["trial", "show", "O1"])["stages"].to_string();
    assert!(
        stages.contains("nothing_to_see") && stages.contains("confounded") && !stages.contains("\"tested\""),
        "{stages}"
    );
}

/// Three growers with none rooted, as evidence of others.
const OTHERS: &str = "grower,trial,arm,method,medium,region,stuck,rooted\n\
    g1,1,A,cuttings,unknown,unknown,14,0\ng2,1,A,cuttings,unknown,unknown,9,0\ng3,1,A,cuttings,unknown,unknown,20,0\n\
    me,1,A,cuttings,unknown,unknown,12,0\nme,1,B,cuttings,unknown,unknown,15,0\nme,1,C,cuttings,unknown,unknown,13,0\n\
    me,1,D,cuttings,unknown,unknown,14,0\n";

#[test]
fn four_growers_without_a_root_give_no_number_to_stick() {
    let home = TestHome::new();
    let file = home.write("others.csv", OTHERS);
    let text = says(&home, &["pool", "Ostrava tarda", "--from", &file, "--by", "none"]);
    has(&text, &["97", "as high as about 3%"]);
    let pool = home.json(&["pool", "Ostrava tarda", "--from", &file, "--by", "none"]);
    let method = &pool["methods"][0];
    let near = |name: &str, index: usize, value: f64, tolerance: f64| {
        let found = method[name][index].as_f64().expect("a number");
        assert!((found - value).abs() < tolerance, "{name}[{index}]: {found}");
    };
    // Figures of the worked season: average 2.0 % (0.03–11), a new grower 0.02–12 %.
    let mean = method["average_grower_rate_mean"].as_f64().expect("a mean");
    assert!((mean - 0.020).abs() < 0.002, "{mean}");
    near("average_grower_rate_q", 2, 0.11, 0.006);
    near("new_grower_rate_q", 2, 0.12, 0.006);
}

#[test]
fn roots_after_the_move_count_for_both_places_and_the_trial_stays_one() {
    let home = lifted();
    assert_eq!(home.json(&["publish", "O1", "--yes"])["revision"], 0);
    home.at(IN_SPRING);
    home.ok(&[
        "spring",
        "O1",
        "--on",
        "2027-04-20",
        "A:leafing=0",
        "B:leafing=2",
        "C:leafing=4",
        "D:leafing=1",
        "--rest",
        "not-known",
    ]);
    let leafing = says(&home, &["trial", "show", "O1"]);
    has(&leafing, &["0 of 54 rooted"]);
    has(&leafing, &["At the spring count, 20 Apr 2027", "A: rooting not checked yet in A"]);
    assert!(!leafing.contains("4 of 54"), "leafing is no root: {leafing}");
    home.ok(&[
        "spring",
        "O1",
        "--on",
        "2027-06-05",
        "A:rooted=0",
        "B:rooted=1",
        "C:rooted=3",
        "D:rooted=0",
        "--rest",
        "not-known",
    ]);
    let text = says(&home, &["trial", "show", "O1"]);
    has(&text, &["moved to frame after 15 weeks", "All treatments: 4 of 54 rooted", "C: 3 of 13 rooted"]);
    has(&text, &["of these, 3 rooted after the move to frame in week 15 (of 13 stuck)"]);
    has(
        &text,
        &[
            "Of 34 still green on 17 Oct 2026, 4 had rooted by 5 Jun 2027",
            "In all, 4 of 54 rooted at some time.",
        ],
    );
    assert!(!text.contains("3 of 12"), "survivors are no denominator: {text}");
    assert_eq!(home.json(&["publish", "O1", "--yes"])["revision"], 1);
    let sums = |stage: &str| {
        let pool = home.json(&["pool", "Ostrava tarda", "--by", "none", "--stage", stage]);
        let first = &pool["methods"][0];
        (
            first["trials"].as_u64(),
            first["rooted"].as_u64(),
            first["started"].as_u64(),
            pool["methods"].to_string(),
        )
    };
    let (trials, rooted, started, _) = sums("lift");
    assert_eq!((trials, rooted, started), (Some(1), Some(0), Some(54)));
    let (trials, rooted, started, words) = sums("spring");
    assert_eq!((trials, rooted, started), (Some(1), Some(4), Some(54)));
    assert!(!words.contains("hardwood"), "{words}");
    // One trial put in one way: the frame is a part of its count, never a method or a denominator of its own.
    let spring = home.json(&["pool", "Ostrava tarda", "--by", "none", "--stage", "spring"]);
    let moved = spring["methods"][0]["moved"].as_array().expect("moves");
    let sum = |name: &str| moved.iter().map(|of| of[name].as_u64().expect("a number")).sum::<u64>();
    assert_eq!((sum("rooted"), sum("started")), (4, 54), "{spring}");
    assert!(moved.iter().all(|of| of["weeks"] == serde_json::json!([15, 15])), "{spring}");
    let by_method = home.json(&["pool", "Ostrava tarda", "--stage", "spring"])["methods"].to_string();
    assert!(!by_method.contains("after 15 weeks") && !by_method.contains("hardwood"), "{by_method}");
    let text = says(&home, &["pool", "Ostrava tarda", "--stage", "spring", "--by", "leaves"]);
    has(&text, &["Of these, 3 rooted first after the move to cold frame", "in week 15, of 13 stuck."]);
    let by_path = home.json(&["pool", "Ostrava tarda", "--stage", "spring", "--by", "path"]);
    assert!(by_path["methods"].to_string().contains("after 15 weeks"), "{by_path}");
    assert_eq!(by_path["by"], serde_json::json!(["path"]));
    // Below the lift headline: whoever rooted later is in the whole life and in no rate at lift.
    let lift = says(&home, &["pool", "Ostrava tarda", "--by", "none"]);
    has(&lift, &["0 of 54 rooted", "In all, 4 of 54 rooted at some time: 7.4%"]);
    let again = says(&home, &["move", "O1", "--to", "frame", "--on", "2026-10-17"]);
    has(&again, &["O1 is on frame already. Nothing was added."]);
}
