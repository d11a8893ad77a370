//! Wrong input at the bench: each is refused in words, and nothing is lost.

use super::{entry, has, says};
use crate::home::TestHome;

fn stuck() -> TestHome {
    let home = super::two_arms("2");
    home.ok(&["stick", "L1", "--on", "2026-06-06"]);
    home
}

#[test]
fn a_new_trial_is_checked_before_it_is_saved() {
    let home = TestHome::new();
    let cases: [(&[&str], &str); 12] = [
        (&["L:1", "Lumetta rosea", "--pieces", "4"], "cannot be the code of a trial"),
        (&["L1", "lumetta", "--pieces", "4"], "cannot set up the trial"),
        (&["L1", "Lumetta rosea"], "how many are started?"),
        (
            &["L1", "Lumetta rosea", "--pieces", "4", "--question", "which?"],
            "a question needs two treatments",
        ),
        (&["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A"], "nothing"),
        (&["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A: auxn=none"], "did you mean auxin"),
        (&["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A: leaves=halvd"], "did you mean halved"),
        (&["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A: auxin"], "it has no `=`"),
        (
            &["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A:", "--arm", "a:"],
            "two treatments have this label",
        ),
        (&["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A: stock=hedge"], "no stock plant \"hedge\""),
        (&["L1", "Lumetta rosea", "--pieces", "4", "--arm", "A: spot=frame"], "no bench \"frame\""),
        (
            &["L1", "Lumetta rosea", "--arm", "A:", "--arm", "B:", "--shared-pots", "3x1"],
            "one of each treatment at least",
        ),
    ];
    for (words, why) in cases.into_iter().filter(|(_, why)| *why != "nothing") {
        let message =
            home.fails(1 + i32::from(why.contains("code of a trial")), &[&["trial", "new"], words].concat());
        assert!(message.contains(why), "{words:?}: {message}");
    }
    has(&says(&home, &["trial", "list"]), &["No trials yet"]);
    home.ok(&["trial", "new", "L1", "Lumetta rosea", "--pieces", "4"]);
    has(
        &home.fails(1, &["trial", "new", "l1", "Lumetta rosea", "--pieces", "4"]),
        &["a trial \"L1\" already"],
    );
}

#[test]
fn counts_that_cannot_be_are_refused_by_pot() {
    let home = stuck();
    let cases: [(&[&str], &str); 9] = [
        (&["check", "L1", "P1:dead=5"], "P1"),
        (&["check", "L1", "P1:alive=5"], "5 are more than the 4 started"),
        (&["check", "L1", "P1:ded=1"], "did you mean dead"),
        (&["check", "L1", "P7:dead=1"], "no such pot or treatment"),
        (&["check", "L1", "powder:dead=1"], "counted pot by pot"),
        (&["check", "L1", "dead=1"], "which pot or treatment"),
        (&["check", "L1", "P1:dead=1", "P1:lost=1"], "counted twice"),
        (&["lift", "L1", "P1:rooted=2"], "2 of 4 are not accounted for"),
        (&["lift", "L1", "P1:rooted=5"], "only 4 left at the last count"),
    ];
    for (words, why) in cases {
        let message = home.fails(1, &[words, &["--on", "2026-07-01"]].concat());
        assert!(message.contains(why), "{words:?}: {message}");
    }
    has(&home.fails(1, &["lift", "L1"]), &["nothing was counted"]);
    has(&home.fails(1, &["check", "L1", "--on", "2026-05-01"]), &["is before trial \"L1\" was started"]);
    has(&home.fails(1, &["check", "L1", "--on", "2026-02-30"]), &["--on \"2026-02-30\""]);
    has(&home.fails(1, &["check", "L9"]), &["no trial \"L9\""]);
    assert_eq!(home.json(&["trial", "history", "L1"])["entries"], serde_json::json!([]), "nothing was saved");
}

#[test]
fn a_day_that_is_yet_to_come_is_refused_wherever_something_has_happened() {
    let home = stuck();
    home.ok(&["spot", "mist house", "--with", "humidity=mist"]);
    let entry = entry(&home, &["check", "L1", "--on", "2026-07-01"]);
    home.ok(&["trial", "new", "N2", "Ribes nigrum", "--pieces", "30", "--on", "2027-02-01"]);
    let before = home.ok(&["trial", "history", "L1"]);
    let cases: [&[&str]; 12] = [
        &["check", "L1"],
        &["check", "L1", "P1:dead=1"],
        &["check", "L1", "--suckers"],
        &["check", "L1", "--wrap-cut"],
        &["lift", "L1", "P1:rooted=4"],
        &["move", "L1", "--to", "mist house"],
        &["move", "L1", "P1", "--sold", "1"],
        &["note", "L1", "--note", "green"],
        &["care", "mist house", "--feed", "half strength"],
        &["spot", "mist house", "--lots", "L1"],
        &["trial", "correct", "L1", "--entry", &entry],
        &["stick", "N2"],
    ];
    for words in cases {
        let message = home.fails(1, &[words, &["--on", "2062-07-01"]].concat());
        has(&message, &["2062-07-01 is yet to come", "did you mean 2026-07-01?"]);
    }
    let started = ["trial", "correct", "L1", "--started-on", "2026-12-25"];
    has(&home.fails(1, &started), &["2026-12-25 is yet to come", "did you mean 2025-12-25?"]);
    let month = home.fails(1, &["check", "L1", "--on", "June 2027"]);
    has(&month, &["June 2027 is yet to come", "look at the year"]);
    assert_eq!(home.ok(&["trial", "history", "L1"]), before, "nothing was saved");
    // East of here it is tomorrow already; a month that has begun is not to come; what is planned may be.
    home.ok(&["check", "L1", "--on", "2026-11-26"]);
    home.ok(&["note", "L1", "--note", "green", "--on", "November 2026"]);
    home.ok(&["trial", "correct", "N2", "--started-on", "2027-03-01"]);
    home.ok(&[
        "care",
        "mist house",
        "--shade",
        "40 % blocked",
        "--on",
        "2026-11-20",
        "--until",
        "2027-03-01",
    ]);
    // Where the clock was never set, nothing is held against it.
    home.at("1970-01-01T00:00:20Z");
    home.ok(&["check", "L1", "--on", "2026-11-26"]);
}

#[test]
fn rows_of_a_table_with_days_to_come_are_refused_and_days_set_in_advance_are_not() {
    let home = TestHome::new();
    let header = "trial,species,started,started_on,lift_on,lift_rooted\n";
    let rows = "R1,Ribes nigrum,20,2062-06-05,,\nR2,Ribes nigrum,20,2026-06-05,2062-10-09,12\n\
                R3,Ribes nigrum,20,2026-11-05,2027-02-09,\n";
    let table = home.write("rows.csv", format!("{header}{rows}"));
    let message = home.fails(1, &["trial", "import", &table, "--yes"]);
    has(&message, &["row 2, column \"started_on\": 2062-06-05 is yet to come", "look at the year"]);
    has(&message, &["row 3, column \"lift_on\": 2062-10-09 is yet to come"]);
    assert!(!message.contains("row 4"), "{message}");
    let ran = home.run(&["trial", "import", &table, "--leave-out", "--yes", "--json"]);
    assert_eq!(ran.code, 1, "two rows were left out: {}", ran.err);
    let taken: serde_json::Value = serde_json::from_str(&ran.out).expect("JSON and nothing else");
    assert_eq!(taken["trials"].as_array().map(Vec::len), Some(1), "{taken}");
    assert_eq!(taken["refused"].as_array().map(Vec::len), Some(2), "{taken}");
}

#[test]
fn a_facet_without_words_is_not_stated_and_one_that_stood_is_taken_back() {
    let home = stuck();
    home.ok(&["spot", "mist house", "--with", "humidity=mist; growing place=glass"]);
    let spot = home.json(&["spot", "mist house", "--with", "humidity="]);
    assert_eq!(spot["spot"]["facets"], serde_json::json!({ "growing_place": "glass" }));
    home.ok(&["stock", "old hedge", "--with", "stock age=8 years"]);
    assert!(home.ok(&["stock", "old hedge", "--with", "stock age="]).contains("nothing recorded yet"));
    home.ok(&["trial", "correct", "L1", "--arm", "powder: wood="]);
    let shown = home.ok(&["trial", "show", "L1"]);
    assert!(!shown.contains("wood ,") && !shown.contains("wood \n"), "{shown}");
    let new = home.json(&["trial", "new", "E1", "Ribes nigrum", "--pieces", "3", "--with", "wood="]);
    assert_eq!(new["trial"]["arms"][0]["facets"], serde_json::json!({}));
}

#[test]
fn alive_means_rooted_ones_too_and_the_message_says_so() {
    let home = stuck();
    let message = home.fails(1, &["lift", "L1", "--on", "2026-09-01", "P1:rooted=2,alive=2,dead=0"]);
    has(&message, &["2 of 4 are not accounted for"]);
    home.ok(&["lift", "L1", "--on", "2026-09-01", "P1:rooted=2,green=2"]);
    has(&says(&home, &["trial", "show", "L1"]), &["powder: 8 cuttings"]);
}

#[test]
fn an_earlier_entry_may_not_make_a_later_one_impossible() {
    let home = stuck();
    home.ok(&[
        "lift",
        "L1",
        "--on",
        "2026-09-01",
        "P1:rooted=4",
        "P2:rooted=4",
        "P3:rooted=4",
        "P4:rooted=4",
    ]);
    let message = home.fails(1, &["check", "L1", "--on", "2026-07-01", "P1:dead=1"]);
    has(&message, &["(lift on 2026-09-01) could then not be", "hint: correct that one first"]);
    let history = home.json(&["trial", "history", "L1"]);
    assert_eq!(history["entries"].as_array().map(Vec::len), Some(1));
    let number = history["entries"][0]["entry"].to_string();
    has(
        &home.fails(1, &["trial", "correct", "L1", "--entry", &number, "P1:rooted=5"]),
        &["P1: 5 counted as alive, but only 4 left"],
    );
    has(
        &home.fails(1, &["trial", "correct", "L1", "--entry", &number, "--on", "2026-01-01"]),
        &["is before trial \"L1\" was started"],
    );
    has(&home.fails(1, &["trial", "correct", "L1", "--entry", &number]), &["stands so already"]);
    has(&home.fails(1, &["trial", "correct", "L1", "--entry", "99", "--take-back"]), &["has no entry 99"]);
    has(&home.fails(1, &["trial", "correct", "L1"]), &["nothing would change"]);
}

#[test]
fn the_description_is_corrected_with_its_history() {
    let home = stuck();
    home.ok(&[
        "trial",
        "correct",
        "L1",
        "--started-on",
        "2026-06-07",
        "--arm",
        "powder: auxin=IBA powder 3000 mg/kg",
        "--started",
        "P1=5",
    ]);
    let history = says(&home, &["trial", "history", "L1"]);
    has(
        &history,
        &[
            "day stuck: 6 Jun 2026 → 7 Jun 2026",
            "powder, rooting hormone: powder, strength unknown → IBA powder 3000 mg/kg",
        ],
    );
    has(&history, &["powder, number stuck: 8 → 9"]);
    has(&says(&home, &["trial", "show", "L1"]), &["powder: 9 cuttings", "7 Jun 2026"]);
    for (words, why) in [
        (&["--arm", "gel: auxin=none"][..], "no treatment \"gel\""),
        (&["--arm", "none: pots=3"][..], "not changed here"),
        (&["--relabel", "P9=P8"][..], "no pot \"P9\""),
        (&["--relabel", "P1=P2"][..], "a pot or treatment \"P2\" already"),
        (&["--started", "P1=0"][..], "not a whole number from 1"),
        (&["--species", "lumetta"][..], "correct:"),
        (&["--control", "gel"][..], "no treatment \"gel\" to be the control"),
        (&["--done-by", "R: P99"][..], "there is no pot or treatment P99"),
    ] {
        let message = home.fails(1, &[&["trial", "correct", "L1"], words].concat());
        assert!(message.contains(why), "{words:?}: {message}");
    }
}

#[test]
fn what_the_others_are_held_against_is_chosen_before_the_first_count_and_who_did_it_at_any_time() {
    let home = stuck();
    let correct = |words: &[&str]| says(&home, &[&["trial", "correct", "L1"], words].concat());
    has(&correct(&["--control", "powder"]), &["control: none → powder"]);
    home.ok(&["check", "L1", "P1:dead=1", "--on", "2026-06-20"]);
    let message = home.fails(1, &["trial", "correct", "L1", "--control", "none"]);
    assert!(
        message.contains("chosen before that") && message.contains("propagule trial copy L1"),
        "{message}"
    );
    has(&correct(&["--done-by", "R: P1,P2"]), &["P1, done by: not given → R", "P2, done by: not given → R"]);
    has(&says(&home, &["trial", "history", "L1"]), &["control: none → powder", "P2, done by: not given → R"]);
}

#[test]
fn care_and_moves_are_checked() {
    let home = stuck();
    home.ok(&["spot", "bench", "--with", "growing_place=glass"]);
    for (words, why) in [
        (&["care", "bnch", "--mist", "8 s every 4 min"][..], "did you mean bench"),
        (&["care", "bench", "--mist", "8 every 4"][..], "not a unit of time"),
        (&["care", "bench", "--mist", "8 s"][..], "needs the word `every`"),
        (&["care", "bench", "--heat", "72"][..], "did you mean 72 °F"),
        (&["care", "bench", "--end", "mist"][..], "no mist is logged for bench"),
        (
            &["care", "bench", "--feed", "weak", "--on", "2026-07-02", "--until", "2026-07-01"][..],
            "before it begins",
        ),
        (&["spot", "shelf", "--with", "auxin=none"][..], "does not belong there"),
        (&["move", "L1", "--to", "cellar"][..], "no bench \"cellar\""),
        (&["move", "L1", "gel", "--to", "bench"][..], "no treatment \"gel\""),
        (&["move", "L1", "P1", "--sold", "9"][..], "only 4 were alive"),
        (&["note", "L1"][..], "nothing to note"),
        (&["note", "L7", "words"][..], "no trial \"L7\""),
        (&["check", "L1", "--suckers", "gel=1"][..], "no such treatment"),
        (&["trial", "caution", "sharp", "--hide"][..], "no caution \"sharp\""),
    ] {
        let message = home.fails(1, words);
        assert!(message.contains(why), "{words:?}: {message}");
    }
    has(&says(&home, &["care", "bench", "--heat", "72 °F"]), &["22 °C"]);
    has(&home.fails(2, &["sell", "L1", "P1=1", "P2=1"]), &["P2=1"]);
}

#[test]
fn a_place_can_be_six_numbers_with_their_units() {
    let home = TestHome::new();
    let place =
        home.json(&["place", "--zone", "8b", "--hemisphere", "north", "--six", "41F,18,32in,45%,50,55"]);
    let region = place["published_region"].to_string();
    has(&region, &["hardiness_zone", "Cf"]);
    has(&home.fails(2, &["place", "--hemisphere", "north", "--six", "5,18"]), &["six are needed"]);
    let hot = home.fails(1, &["place", "--hemisphere", "north", "--six", "40,75,800,45%,50,55"]);
    has(&hot, &["hottest month 75", "75F"]);
}

#[test]
fn a_hidden_caution_stays_away_for_the_season() {
    let home = TestHome::new();
    let words = [
        "trial",
        "new",
        "L1",
        "Lumetta rosea",
        "--pieces",
        "4",
        "--with",
        "auxin=IBA powder 3000 mg/kg",
        "--dry-run",
    ];
    has(&says(&home, &words), &["[hormone]"]);
    home.ok(&["trial", "caution", "auxin-powder", "--hide"]);
    assert!(!home.ok(&words).contains("[hormone]"));
    assert!(!home.ok(&["trial", "list"]).contains("L1"), "a dry run saves nothing");
}

#[test]
fn the_question_about_opening_is_asked_once() {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    for code in ["L1", "L2", "L3"] {
        home.ok(&["trial", "new", code, "Lumetta rosea", "--pieces", "4"]);
    }
    has(&home.fails(1, &["publish", "L1", "--yes"]), &["has not been started yet"]);
    has(&says(&home, &["stick", "L1", "--on", "2026-06-01"]), &["Choose once"]);
    has(&says(&home, &["stick", "L2", "--on", "2026-06-01", "--open"]), &["Announced, as you chose"]);
    assert_eq!(home.json(&["peers", "list"])["hidden"], 1, "L2 is opened");
    let third = says(&home, &["stick", "L3", "--on", "2026-06-01"]);
    assert!(third.contains("Announced, as you chose") && !third.contains("Choose once"), "{third}");
    assert_eq!(home.json(&["peers", "list"])["hidden"], 2, "L3 is opened");
    home.ok(&["lift", "L3", "--on", "2026-09-01", "rooted=3", "--rest", "dead"]);
    assert_eq!(
        home.json(&["publish", "L3", "--yes"])["revision"],
        1,
        "the counts are a revision of the opening"
    );
    has(&home.fails(1, &["stick", "L3"]), &["was started on 2026-06-01 already"]);
}
