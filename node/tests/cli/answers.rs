//! Useful answers where there is little to say.

use crate::home::{SPRING, TestHome};

const HEADER: &str = "grower,trial,arm,method,medium,region,stuck,rooted";

#[test]
fn none_rooted_leads_with_the_count_and_its_bound() {
    let home = TestHome::bare();
    let rows = "g1,t1,1,m,p,all,20,0\ng2,t1,1,m,p,all,10,0\ng3,t1,1,m,p,all,30,0\n";
    let file = home.write("e.csv", format!("{HEADER}\n{rows}"));
    let text = home.ok(&["pool", "--from", &file]);
    // Exact one-sided bound: 1 - 0.05^(1/60) = 4.87 % (rule of three: Hanley & Lippman-Hand 1983).
    assert!(text.contains("0 of 60 rooted. The true rate could still be as high as"), "{text}");
    let answer = home.json(&["pool", "--from", &file]);
    let bound = answer["methods"][0]["one_sided_upper"].as_f64().expect("a number");
    assert!((bound - 0.048_703).abs() < 1e-5, "{bound}");
}

#[test]
fn one_grower_gets_their_own_count_and_not_a_pooled_rate() {
    let home = TestHome::bare();
    let file = home.write("e.csv", format!("{HEADER}\ng1,t1,1,m,p,all,20,5\n"));
    let text = home.ok(&["pool", "--from", &file]);
    assert!(text.contains("5 of 20") && text.contains("from one grower"), "{text}");
}

#[test]
fn nothing_held_and_names_misspelt_get_a_way_on() {
    let home = TestHome::new();
    let empty = home.fails(1, &["pool", "Morus nigra"]);
    assert!(
        empty.contains("nobody has reported Morus nigra here yet") && empty.contains("propagule serve"),
        "{empty}"
    );
    let misspelt = home.fails(1, &["pool", "Moris nigra"]);
    assert!(misspelt.contains("did you mean Morus nigra?"), "{misspelt}");
    let no_name = home.fails(1, &["pool", "12"]);
    assert!(no_name.contains("a digit in a name"), "{no_name}");
    let home = TestHome::with_trial();
    let code = home.fails(1, &["compare", "M2"]);
    assert!(code.contains("there is no trial \"M2\"") && code.contains("propagule trial list"), "{code}");
}

#[test]
fn an_own_trial_alone_has_nothing_to_be_compared_with() {
    let home = TestHome::with_trial();
    let text = home.ok(&["compare", "M1"]);
    assert!(text.contains("0 of your 24 rooted") && text.contains("No other grower"), "{text}");
}

#[test]
fn every_reading_command_answers_in_json_with_its_format() {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes"]);
    for (words, format) in [
        (&["place"][..], "propagule.places/1"),
        (&["trial", "list"], "propagule.trials/1"),
        (&["trial", "show", "M1"], "propagule.trial/1"),
        (&["publish", "M1", "--preview"], "propagule.publish/1"),
        (&["peers", "list"], "propagule.peers/1"),
        (&["pool", "Morus nigra"], "propagule.pool/1"),
        (&["compare", "M1"], "propagule.compare/1"),
    ] {
        assert_eq!(home.json(words)["format"], format, "{words:?}");
    }
}

#[test]
fn text_fits_the_width_and_carries_no_escape_codes() {
    let home = TestHome::with_trial();
    home.write("spring.csv", SPRING);
    home.ok(&["publish", "M1", "--yes"]);
    for columns in ["60", "120"] {
        for words in [
            &["pool", "Morus nigra"][..],
            &["compare", "M1"],
            &["place"],
            &["trial", "show", "M1"],
            &["peers", "list"],
        ] {
            let output = home.command(words).env("COLUMNS", columns).output().expect("runs");
            let text = String::from_utf8(output.stdout).expect("text");
            let limit: usize = columns.parse().expect("a number");
            let long = text.lines().find(|line| line.chars().count() > limit);
            assert_eq!(long, None, "{words:?} at {columns}");
            assert!(!text.contains('\u{1b}'), "{words:?}");
        }
    }
}

#[test]
fn trials_are_found_by_code_plant_treatment_or_note() {
    let home = TestHome::new();
    let treatments = ["--arm", "dip: auxin=IBA 3000 mg/L quick dip", "--arm", "none: auxin=none"];
    let new = ["trial", "new", "M1", "Morus nigra", "--pots", "2", "--pieces", "4"];
    home.ok(&[&new[..], &treatments].concat());
    home.ok(&["trial", "new", "R9", "Ribes nigrum", "-n", "9", "--note", "the Left frame"]);
    let found = |words: &[&str]| {
        let list = home.json(&[&["trial", "list"][..], words].concat());
        let codes = list["trials"].as_array().into_iter().flatten().filter_map(|line| line["trial"].as_str());
        codes.collect::<Vec<_>>().join(" ")
    };
    let asked: [&[&str]; 7] =
        [&[], &["m1"], &["nigr"], &["iba", "nigra"], &["left frame"], &["left", "Morus"], &["dip"]];
    assert_eq!(asked.map(found), ["M1 R9", "M1", "M1 R9", "M1", "R9", "", "M1"]);
    let none = home.ok(&["trial", "list", "left", "Morus"]);
    assert!(
        none.contains("Nothing on the bench has these words.") && none.contains("propagule trial list"),
        "{none}"
    );
}
