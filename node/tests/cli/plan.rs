//! `plan` as a person meets it.

use crate::home::TestHome;

const HEADER: &str = "grower,trial,arm,method,medium,region,stuck,rooted";
/// Story E's counts.
const ADVISER: &str = "g1,t1,1,m,p,x,20,3\ng2,t1,1,m,p,x,15,0\ng3,t1,1,m,p,x,12,5\ng3,t1,2,m,p,x,12,3\n\
                       g4,t1,1,m,p,x,25,5\ng5,t1,1,m,p,x,10,0\ng6,t1,1,m,p,x,30,11\n";

fn table(home: &TestHome, rows: &str) -> String {
    home.write("e.csv", format!("{HEADER}\n{rows}"))
}

#[test]
fn a_table_gives_a_number_with_what_it_rests_on() {
    let home = TestHome::bare();
    let file = table(&home, ADVISER);
    let text = home.ok(&["plan", "--from", &file]);
    assert!(text.contains("Start about 60 for an 80% chance of at least 5 rooted."), "{text}");
    assert!(text.contains("27 of 124 in 6 trials by 6 growers"), "{text}");
    let answer = home.json(&["plan", "--from", &file, "--want", "5", "--sure", "0.8"]);
    assert_eq!((&answer["format"], &answer["methods"][0]["stick"]), (&"propagule.plan/1".into(), &57.into()));
    assert!(answer["methods"][0]["mu_mean"].is_f64() && answer["tell_apart"][0]["power"].is_f64());
    let mine = home.json(&["plan", "--from", &file, "--own", "g6"]);
    assert_eq!(mine["methods"][0]["basis"], "own");
}

#[test]
fn nothing_rooted_is_no_number() {
    let home = TestHome::bare();
    let file = table(&home, "g1,t1,1,m,p,x,54,0\ng2,t1,1,m,p,x,43,0\n");
    let answer = home.json(&["plan", "--from", &file]);
    let method = &answer["methods"][0];
    assert!(method["stick"].is_null() && method["why_not"] == "nothing_rooted");
    assert!(
        answer["bold_arm"]["sentence"]
            .as_str()
            .expect("words")
            .contains("One treatment nobody has tried, with 24")
    );
}

#[test]
fn what_cannot_be_meant_gets_a_way_on() {
    let home = TestHome::bare();
    let file = table(&home, ADVISER);
    let sure = home.fails(2, &["plan", "--from", &file, "--sure", "80"]);
    assert!(sure.contains("write --sure 80%"), "{sure}");
    for sure in ["0", "-1", "nan", "100", "inf"] {
        let text = home.fails(2, &["plan", "--from", &file, "--sure", sure]);
        assert!(text.contains("hint: write --sure 80%"), "{text}");
    }
    for (option, value) in
        [("--want", "0"), ("--want", "2001"), ("--spare", "1"), ("--cost", "-3"), ("--minutes", "nan")]
    {
        let text = home.fails(2, &["plan", "--from", &file, option, value]);
        assert!(text.contains(&format!("such as {option} ")), "{text}");
    }
    let own = home.fails(1, &["plan", "--from", &file, "--own", "g7"]);
    assert!(own.contains("no counted row of g7") && own.contains("such as --own g1"), "{own}");
    let other = home.fails(1, &["plan", "--from", &file, "--own", "G1"]);
    assert!(other.contains("did you mean g1?"), "{other}");
}

#[test]
fn records_of_the_home_are_planned_from_and_an_unknown_species_says_so() {
    let home = TestHome::with_trial();
    assert!(home.fails(1, &["plan", "Moris nigra"]).contains("did you mean Morus nigra?"));
    home.ok(&["publish", "M1", "--yes"]);
    let answer = home.json(&["plan", "Morus nigra"]);
    assert_eq!((&answer["format"], &answer["source"]), (&"propagule.plan/1".into(), &"network".into()));
    assert_eq!(answer["methods"][0]["basis"], "own");
}

#[test]
fn a_plan_fits_its_width_without_escape_codes() {
    let home = TestHome::bare();
    let file =
        table(&home, &format!("{ADVISER}g7,t1,1,a much longer label of a method than most,p,x,30,9\n"));
    for columns in ["60", "100"] {
        let args = ["plan", "--from", &file, "--cost", "0.4", "--minutes", "3", "--pieces", "40"];
        let output = home.command(&args).env("COLUMNS", columns).output().expect("runs");
        let text = String::from_utf8(output.stdout).expect("text");
        let limit: usize = columns.parse().expect("a number");
        assert!(text.contains("What to try next") && text.contains("10 each"), "{text}");
        assert_eq!(text.lines().find(|line| line.chars().count() > limit), None);
        assert!(!text.contains('\u{1b}'));
    }
}

#[test]
fn flags_that_choose_records_say_nothing_about_a_table() {
    let home = TestHome::bare();
    let file = table(&home, ADVISER);
    for command in ["pool", "plan"] {
        for flag in ["--announced-only", "--transcribed"] {
            let text = home.fails(2, &[command, "--from", &file, flag]);
            assert!(text.contains(&format!("leave {flag} out")), "{text}");
        }
    }
}

#[test]
fn detail_and_the_choice_of_records_reach_the_home() {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes"]);
    let detail = home.json(&["pool", "Morus nigra", "--detail", "--replicated-only"]);
    assert!(detail["detail"].is_array() && detail["influence"].is_array());
    let opened = home.json(&["pool", "Morus nigra", "--opened-only"]);
    assert_eq!(opened["methods"], serde_json::json!([]));
    assert!(
        opened["left_out"][0]["reason"].as_str().expect("words").starts_with("trials not announced before")
    );
    let file = table(&home, ADVISER);
    let text = home.ok(&["pool", "--from", &file, "--detail"]);
    assert!(text.contains("without g6: average 19%"), "{text}");
}
