//! Names of plants as growers type them, at each door of the program: a new trial, a stock plant, a sheet.

use serde_json::Value;

use crate::close::{list, text};
use crate::home::{Ran, TestHome};
use crate::report::Report;

pub(crate) fn play(file: &Value, report: &mut Report) {
    for case in list(file, "cases") {
        report.case(text(case, "typed"), || {
            at_a_command(case, "trial");
            at_a_command(case, "stock");
            in_a_sheet(case);
        });
    }
}

fn words(case: &Value, key: &str) -> Vec<String> {
    let all = case[key].as_array().into_iter().flatten();
    all.map(|word| word.as_str().expect("a word").to_owned()).collect()
}

/// Runs the command that hands the name in, and says under which name it was kept.
fn enter(home: &TestHome, door: &str, typed: &str, yes: bool) -> (Ran, Option<String>) {
    let mut command = match door {
        "trial" => vec!["trial", "new", "X1", typed, "--pieces", "5"],
        _ => vec!["stock", "old hedge", "--species", typed],
    };
    command.extend(yes.then_some("--yes"));
    let ran = home.run(&command);
    let kept = match door {
        "trial" => home.json(&["trial", "list"])["trials"][0]["species"].clone(),
        _ => home.json(&["stock"])["stock_plants"][0]["species"].clone(),
    };
    (ran, kept.as_str().map(str::to_owned))
}

/// What is noted is said before anything is kept; what has to be asked is kept with a yes alone, and a yes makes no plant of
/// what is none.
fn at_a_command(case: &Value, door: &str) {
    let (typed, taken) = (text(case, "typed"), case["taken"].as_str().map(str::to_owned));
    let home = TestHome::new();
    let (ran, kept) = enter(&home, door, typed, false);
    let said = format!("{}{}", ran.out, ran.err);
    notes(case, &said, typed);
    if case["asks"] == true {
        assert_eq!((ran.code, kept), (1, None), "{door}: {typed} is asked back: {said}");
        offers(case, &said);
        assert!(taken.iter().all(|name| said.contains(name.as_str())), "{said}");
        let (ran, kept) = enter(&home, door, typed, true);
        assert_eq!((ran.code, &kept), (i32::from(taken.is_none()), &taken), "{door}: {typed} with a yes");
    } else {
        assert_eq!((ran.code, kept), (0, taken), "{door}: {typed}: {said}");
    }
    if case["refused"] == true {
        assert!(case["taken"].is_null(), "{case}");
        assert!(!said.contains("--yes") && !said.contains("did you mean"), "nothing is offered: {said}");
    }
}

fn notes(case: &Value, said: &str, typed: &str) {
    let noted = words(case, "noted");
    for note in &noted {
        assert!(said.contains(note.as_str()), "{typed}: \"{note}\" is not in {said}");
    }
    assert!(!noted.is_empty() || !said.contains("Taken as"), "{typed}: nothing is noted: {said}");
}

/// All that is offered, in that order, and nothing else.
fn offers(case: &Value, said: &str) {
    let offers = words(case, "offers");
    match said.split_once("did you mean ").map(|(_, rest)| rest) {
        Some(rest) => assert!(rest.starts_with(&format!("{}?", offers.join(", "))), "{offers:?}: {said}"),
        None => assert!(offers.is_empty(), "{offers:?} are not offered: {said}"),
    }
}

/// The preview shows the name that will be kept and published; a sheet is asked nothing row by row, so what would need a
/// yes is refused with what to write instead.
fn in_a_sheet(case: &Value) {
    let (typed, home) = (text(case, "typed"), TestHome::new());
    let sheet = format!("trial,species,started,started_on,arm\nX1,\"{typed}\",5,2026-06-05,A\n");
    let sheet = home.write("names.csv", sheet);
    let shown = home.run(&["trial", "import", &sheet]);
    let said = format!("{}{}", shown.out, shown.err);
    let preview: Value =
        serde_json::from_str(&home.run(&["trial", "import", &sheet, "--json"]).out).expect("JSON");
    let line = &list(&preview, "lines")[1];
    notes(case, &said, typed);
    let listed = || home.json(&["trial", "list"])["trials"][0]["species"].clone();
    assert!(listed().is_null(), "a preview saves nothing");
    let saved = home.run(&["trial", "import", &sheet, "--yes"]);
    if case["asks"] == true {
        assert_eq!((shown.code, saved.code, &line["outcome"]), (1, 1, &"refused".into()), "{said}");
        notes(case, text(line, "why"), typed);
        offers(case, &said);
        assert!(listed().is_null(), "{typed} is not kept");
    } else {
        assert_eq!((shown.code, saved.code, &line["species"]), (0, 0, &case["taken"]), "{said}");
        notes(case, &preview["questions"].to_string(), typed);
        assert_eq!(listed(), case["taken"], "{typed}");
    }
}
