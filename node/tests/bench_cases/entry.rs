//! Daily entry: commands as they are typed one after the other, what each says, and whether it saves.

use serde_json::Value;

use crate::home::TestHome;
use crate::report::Report;
use crate::said::says;

/// A day after all of them.
const AFTER: &str = "2031-06-01T12:00:00Z";
/// What the start is written down as here: set up, and put in. The cases count it as one.
const START: u64 = 2;

pub(crate) fn play(file: &Value, report: &mut Report) {
    let home = start(&file["start"]);
    let code = text(&file["start"], "trial");
    for (step, number) in file["steps"].as_array().expect("steps").iter().zip(1..) {
        report.case(&format!("step {number}"), || play_step(&home, code, step));
    }
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

/// One arm, with the pots of the case.
fn start(start: &Value) -> TestHome {
    let home = TestHome::new();
    home.at(AFTER);
    let (code, on, kind) = (text(start, "trial"), text(start, "stuck"), text(start, "kind"));
    let pots = start["pots"].as_object().expect("pots");
    let arm = format!("A: pots={}; pieces=1", pots.len());
    let kind = format!("kind={kind}");
    home.ok(&["trial", "new", code, "Lumetta rosea", "--on", on, "--with", &kind, "--arm", &arm]);
    let put_in: Vec<String> = pots.iter().map(|(pot, pieces)| format!("{pot}={pieces}")).collect();
    let words = ["stick", code, "--on", on];
    home.ok(&words.into_iter().chain(put_in.iter().map(String::as_str)).collect::<Vec<_>>());
    home
}

fn play_step(home: &TestHome, code: &str, step: &Value) {
    let before = home.ok(&["trial", "history", code]);
    let words: Vec<&str> = text(step, "cmd").split_whitespace().collect();
    let ran = home.run(&words);
    let said = format!("{}{}", ran.out, ran.err);
    assert_eq!(i64::from(ran.code), step["exit"].as_i64().expect("an exit code"), "{words:?}: {said}");
    for expected in step["says"].as_array().expect("sentences") {
        let expected = numbered(expected.as_str().expect("a sentence"));
        says(&said, &expected).unwrap_or_else(|why| panic!("{words:?}: {why}: {said}"));
    }
    let is_saved = home.ok(&["trial", "history", code]) != before;
    if let Some(saved) = step["saved"].as_bool() {
        assert_eq!(is_saved, saved, "{words:?}: {said}");
    }
    assert!(!said.contains("nothing saved") || !is_saved, "{words:?}: {said}");
}

/// Numbers of entries as they are in a home whose start took more than one.
fn numbered(expected: &str) -> String {
    let mut out = String::new();
    let mut rest = expected;
    while let Some(at) = rest.find("entry ") {
        let (before, behind) = rest.split_at(at + "entry ".len());
        let end = behind.find(|c: char| !c.is_ascii_digit()).unwrap_or(behind.len());
        let number =
            behind[..end].parse::<u64>().map_or(behind[..end].to_owned(), |n| (n + START - 1).to_string());
        out.push_str(before);
        out.push_str(&number);
        rest = &behind[end..];
    }
    out + rest
}

#[test]
fn entries_are_numbered_from_the_start_of_this_home() {
    assert_eq!(numbered("22 Jun (entry 2, entry 11). P2"), "22 Jun (entry 3, entry 12). P2");
    assert_eq!(numbered("no entry here"), "no entry here");
}
