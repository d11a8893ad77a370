//! Trials in print: all that an empty home can answer, apart from growers' results, and never in what leaves a home.

use std::fs;
use std::path::Path;

use serde_json::Value;

use crate::home::TestHome;

/// An invented source on the species of the trials of these tests, with one row that cannot be true.
const MINE: &str = "source_id,use,species,trial,arm,arm_label,kind,wood,humidity,started,rooted,all_arms_reported,grade,country\n\
    H01,answer,Morus nigra,H01-1,1,heel in sand,stem cutting,hardwood,open,4711,1234,yes,B,Ireland\n\
    H01,answer,Morus nigra,H01-1,2,no heel,stem cutting,hardwood,open,40,41,yes,B,Ireland\n";
const WORKS: &str = "source_id,citation,date_read\nH01,\"A bulletin on cuttings. 1931.\",2026-11-20\n";

/// What would betray a printed row: labels of sources and trials, and counts that nothing else has.
const PRINTED: [&str; 6] = ["H01", "4711", "A bulletin on cuttings", "P02-1", "P05-1", "Khajeali"];

fn with_tables(home: &TestHome) {
    let folder = home.path().join("printed");
    fs::create_dir_all(&folder).expect("a folder");
    fs::write(folder.join("mine.csv"), MINE).expect("writes");
    fs::write(folder.join("works.csv"), WORKS).expect("writes");
}

/// A home with one published trial of *Morus nigra*.
fn published() -> TestHome {
    let home = TestHome::with_trial();
    home.ok(&["publish", "M1", "--yes", "--now"]);
    home
}

/// The answer without what stands in print.
fn growers(answer: &Value) -> Value {
    let mut growers = answer.clone();
    growers.as_object_mut().expect("an object").remove("printed").expect("a field");
    growers
}

#[test]
fn the_first_question_on_an_empty_home_is_answered_from_print() {
    let home = TestHome::new();
    let text = home.ok(&["pool", "Juglans regia"]);
    let before = "Juglans regia: rooted at the lift count\n\nNo grower has reported Juglans regia yet.\n";
    assert!(text.starts_with(before), "{text}");
    assert!(text.contains("1 printed source, 1 trial, 7 treatments; each count stands by itself."), "{text}");
    let joined = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for said in [
        "72 of 90 took, in 1 source. Fewer than 3 sources, so there is no rate over sources.",
        "74 of 90 took, in 1 source.",
        "12 of 30 took, in 1 source.",
        "28 of 30 took, 93% (79–98%): patch bud, 1 August. P02 (2015), Iran, started in August, counted after 4 weeks. Best \
         of several, expect less. Grade B: stated in the abstract or message that was read.",
        "30 of 30 took, 90% or more: T bud, 1 August.",
    ] {
        assert!(joined.contains(said), "{said}\n{text}");
    }
    assert_eq!(joined.matches("not signed or seen by the researchers").count(), 1, "{text}");
    // The citation is one command away, and that command is the one named.
    assert!(
        text.contains("Sources in full: propagule pool 'Juglans regia' --printed=only --detail"),
        "{text}"
    );
    let cited = home.ok(&["pool", "Juglans regia", "--printed=only", "--detail"]);
    assert!(cited.contains("Khajeali M, Mohammadkhani A."), "{cited}");
    let answer = home.json(&["pool", "Juglans regia"]);
    assert_eq!(answer["methods"], serde_json::json!([]));
    assert_eq!(
        (&answer["printed"]["show"], &answer["printed"]["no_grower"]),
        (&"alone".into(), &true.into())
    );
}

#[test]
fn a_subspecies_is_found_under_its_species_and_what_nobody_printed_has_no_answer() {
    let home = TestHome::new();
    let answer = home.json(&["pool", "Artemisia tridentata"]);
    let method = &answer["printed"]["methods"][0];
    assert_eq!((method["rooted"].as_u64(), method["started"].as_u64()), (Some(266), Some(675)));
    let nothing = home.fails(1, &["pool", "Morus nigra"]);
    assert!(nothing.contains("nobody has reported Morus nigra here yet"), "{nothing}");
    home.fails(1, &["pool", "Morus nigra", "--printed=only"]);
    home.fails(1, &["pool", "Juglans regia", "--stage", "spring"]);
}

#[test]
fn growers_answers_are_the_same_byte_for_byte_with_print_and_without() {
    let home = published();
    let json = ["pool", "Morus nigra"];
    let detailed = ["pool", "Morus nigra", "--detail", "--by", "humidity"];
    let others: [&[&str]; 4] = [
        &["plan", "Morus nigra"],
        &["plan", "Morus nigra", "--json"],
        &["compare", "M1"],
        &["compare", "M1", "--json"],
    ];
    let before = (home.ok(&json), home.json(&json), home.json(&detailed), others.map(|words| home.ok(words)));
    assert!(before.1["printed"].is_null(), "{}", before.1);
    with_tables(&home);
    let (text, answer) = (home.ok(&json), home.json(&json));
    assert_eq!(text, format!("{}1 printed source: show with --printed\n", before.0));
    assert_eq!(growers(&answer).to_string(), growers(&before.1).to_string());
    assert_eq!(growers(&home.json(&detailed)).to_string(), growers(&before.2).to_string());
    assert_eq!(others.map(|words| home.ok(words)), before.3);
    let beside = home.ok(&["pool", "Morus nigra", "--printed"]);
    assert!(
        beside.starts_with(&before.0) && beside.contains("1,234 of 4,711") | beside.contains("1234 of 4711"),
        "{beside}"
    );
    assert_eq!(home.ok(&["pool", "Morus nigra", "--published"]), beside);
    let alone = home.ok(&["pool", "Morus nigra", "--printed=only"]);
    assert!(alone.contains("Print alone on Morus nigra") && !alone.contains("None of"), "{alone}");
}

#[test]
fn a_species_without_a_record_has_the_same_growers_answer_with_print_and_without() {
    let home = TestHome::new();
    let refused = home.fails(1, &["plan", "Morus nigra"]);
    with_tables(&home);
    assert!(home.ok(&["pool", "Morus nigra"]).contains("No grower has reported Morus nigra yet."));
    assert_eq!(home.fails(1, &["plan", "Morus nigra"]), refused, "print gives no number to a plan");
    home.fails(1, &["plan", "Juglans regia"]);
}

#[test]
fn a_wrong_row_is_named_by_the_doctor_and_the_others_are_used() {
    let home = TestHome::new();
    let well = home.ok(&["doctor"]);
    let line = well.lines().find(|line| line.contains("printed trials")).expect("a line").to_owned();
    assert!(line.starts_with("ok printed trials: edition 1 of 2026-11-28"), "{line}");
    with_tables(&home);
    let ran = home.run(&["doctor"]);
    assert_eq!(ran.code, 1, "{ran:?}");
    let said = ran.out.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        said.contains(
            "printed/mine.csv, row 3, column \"rooted\": 41 rooted of 40 started. 176 treatments are used."
        ),
        "{}",
        ran.out
    );
    assert!(said.contains("ok store"), "what else is looked at is looked at still: {}", ran.out);
    let answer = home.json(&["pool", "Morus nigra"]);
    assert_eq!(answer["printed"]["arms"], 1);
    assert_eq!(answer["printed"]["unused"][0]["problems"][0]["row"], 3, "{answer}");
}

/// All files below a folder but the tables of trials in print.
fn files(folder: &Path, out: &mut Vec<(String, Vec<u8>)>) {
    for entry in fs::read_dir(folder).expect("lists").flatten() {
        let path = entry.path();
        if path.is_dir() && entry.file_name() != "printed" {
            files(&path, out);
        } else if path.is_file() {
            out.push((path.display().to_string(), fs::read(&path).expect("reads")));
        }
    }
}

#[test]
fn nothing_printed_is_in_what_a_home_keeps_or_what_leaves_it() {
    let home = published();
    with_tables(&home);
    for species in ["Morus nigra", "Juglans regia", "Artemisia tridentata"] {
        home.ok(&["pool", species, "--printed"]);
    }
    let beside = |name: &str| home.path().parent().expect("a folder").join(name);
    let paths = ["all.bundle", "archive", "table", "rows.csv"].map(|name| beside(name).display().to_string());
    home.ok(&["bundle", "out", &paths[0]]);
    home.ok(&["export", &paths[1]]);
    home.ok(&["export", &paths[2], "--table"]);
    home.ok(&["pool", "Morus nigra", "--printed", "--evidence", &paths[3]]);
    let said = ["publish", "peers"].map(|command| {
        let words: &[&str] =
            if command == "peers" { &["peers", "list", "--json"] } else { &["publish", "M1", "--preview"] };
        home.run(words).out
    });
    let mut all: Vec<(String, Vec<u8>)> = Vec::new();
    files(home.path().parent().expect("a folder"), &mut all);
    all.extend(said.into_iter().map(|text| ("a command".to_owned(), text.into_bytes())));
    let whole: usize = all.iter().map(|(_, bytes)| bytes.len()).sum();
    assert!(whole > 10_000 && all.iter().any(|(name, _)| name.ends_with("all.bundle")), "{whole}");
    for (name, bytes) in &all {
        for printed in PRINTED {
            let is_there = bytes.windows(printed.len()).any(|part| part == printed.as_bytes());
            assert!(!is_there, "{name} holds {printed}");
        }
    }
    let silence = home.json(&["pool", "Morus nigra"])["silence"].clone();
    assert_eq!(silence, published().json(&["pool", "Morus nigra"])["silence"]);
}

#[test]
fn a_table_has_no_print_beside_it() {
    let home = TestHome::new();
    let file =
        home.write("e.csv", "grower,trial,arm,method,medium,region,stuck,rooted\ng1,t1,1,m,p,all,20,5\n");
    home.fails(2, &["pool", "--from", &file, "--printed"]);
    assert!(home.json(&["pool", "--from", &file])["printed"].is_null());
}
