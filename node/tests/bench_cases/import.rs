//! Import: sheets as growers keep them, and what becomes of each line.

use serde_json::Value;

use crate::home::TestHome;
use crate::report::Report;
use crate::said::tokens as numbers;

/// A day after all of them.
const AFTER: &str = "2031-06-01T12:00:00Z";

pub(crate) fn play(file: &Value, report: &mut Report) {
    let cases = file["cases"].as_array().expect("cases");
    for case in cases {
        report.case(text(case, "id"), || sheet(case, cases));
    }
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

fn sheet(case: &Value, all: &[Value]) {
    let home = TestHome::new();
    home.at(AFTER);
    let csv = text(case, "csv");
    let flags = flags(case);
    // A second time: the first sheet is saved, then the one with another cell is read.
    if let Some(first) = csv.strip_prefix('(').and_then(|text| text.split(' ').next()) {
        let (line, now, was) = changed(csv);
        let first = text(all.iter().find(|other| other["id"] == first).expect("the case it repeats"), "csv");
        save(&home, first, &flags);
        unchanged(&home, first, &flags);
        let mut lines: Vec<String> = first.lines().map(str::to_owned).collect();
        lines[line - 1] = lines[line - 1].replace(&was, &now);
        lines_of(case, &preview(&home, &format!("{}\n", lines.join("\n")), &flags));
        corrects(&home, &lines.join("\n"), &flags);
        return;
    }
    let answer = preview(&home, csv, &flags);
    lines_of(case, &answer);
    for question in case["questions"].as_array().expect("questions") {
        asked(text_of(question), &answer);
    }
    let listed = home.json(&["trial", "list"])["trials"].as_array().map(Vec::len);
    assert_eq!(listed, Some(0), "a preview saves nothing");
    let open: Vec<&Value> =
        answer["questions"].as_array().expect("questions").iter().filter(|one| one["open"] == true).collect();
    assert!(open.is_empty(), "the flags answer all: {open:?}");
    save(&home, csv, &flags);
    unchanged(&home, csv, &flags);
}

fn text_of(value: &Value) -> &str {
    value.as_str().expect("text")
}

/// Line, what stands there now, and what stood there: `(I2 again, with line 5 reading 40.6 for 37.5)`.
fn changed(text: &str) -> (usize, String, String) {
    let words: Vec<&str> = text.trim_end_matches(')').split(' ').collect();
    let behind = |word: &str| {
        let at = words.iter().position(|other| *other == word).unwrap_or_else(|| panic!("{word} in {text}"));
        words[at + 1].to_owned()
    };
    (behind("line").parse().expect("a line"), behind("reading"), behind("for"))
}

/// Flags as a shell parts them: quotes hold words together.
fn flags(case: &Value) -> Vec<String> {
    let mut words = Vec::new();
    for flag in case["flags"].as_array().expect("flags") {
        let (name, value) = text_of(flag).split_once(' ').unwrap_or((text_of(flag), ""));
        words.push(name.to_owned());
        if !value.is_empty() {
            words.push(value.replace('\'', ""));
        }
    }
    words
}

fn run(home: &TestHome, csv: &str, flags: &[String], more: &[&str]) -> (i32, Value, String) {
    let file = home.write("sheet.csv", csv);
    let words = ["trial", "import", &file, "--json"].into_iter().chain(flags.iter().map(String::as_str));
    let ran = home.run(&words.chain(more.iter().copied()).collect::<Vec<_>>());
    let json = serde_json::from_str(&ran.out).unwrap_or_else(|e| panic!("{e}: {} {}", ran.out, ran.err));
    (ran.code, json, ran.err)
}

fn preview(home: &TestHome, csv: &str, flags: &[String]) -> Value {
    run(home, csv, flags, &[]).1
}

/// Saved, without the lines that are refused; those are named, and the command fails then.
fn save(home: &TestHome, csv: &str, flags: &[String]) {
    let refused = preview(home, csv, flags)["refused"].as_array().map_or(0, Vec::len);
    if refused > 0 && !flags.iter().any(|flag| flag == "--leave-out") {
        let (code, answer, _) = run(home, csv, flags, &["--yes"]);
        assert_eq!((code, &answer["saved"]), (1, &false.into()), "a refused line keeps all out");
    }
    let more: &[&str] =
        if flags.iter().any(|flag| flag == "--leave-out") { &["--yes"] } else { &["--yes", "--leave-out"] };
    let (code, answer, said) = run(home, csv, flags, more);
    assert_eq!(answer["saved"], true, "{said}\n{answer:#}");
    assert_eq!(code, i32::from(refused > 0), "{said}");
    for row in answer["refused"].as_array().expect("refused") {
        assert!(numbers(&said).contains(&row["row"].to_string()), "{said} names {row}");
    }
}

/// Read again, nothing is new and nothing is written.
fn unchanged(home: &TestHome, csv: &str, flags: &[String]) {
    let before = journal(home);
    let more: &[&str] =
        if flags.iter().any(|flag| flag == "--leave-out") { &["--yes"] } else { &["--yes", "--leave-out"] };
    let (_, answer, said) = run(home, csv, flags, more);
    for trial in answer["trials"].as_array().expect("trials") {
        assert_eq!(trial["change"], "unchanged", "{said}\n{answer:#}");
    }
    assert_eq!(journal(home), before, "no event is written");
}

/// With `--update` the changed cell is a correction, and the count before it stays in the history.
fn corrects(home: &TestHome, csv: &str, flags: &[String]) {
    let before = journal(home);
    let (code, answer, _) = run(home, csv, flags, &["--yes", "--leave-out"]);
    assert_eq!((code, &answer["saved"], journal(home)), (1, &false.into(), before));
    let (_, answer, said) = run(home, csv, flags, &["--yes", "--leave-out", "--update"]);
    assert_eq!(answer["saved"], true, "{said}");
    let line = answer["lines"].as_array().expect("lines").iter().find(|line| line["outcome"] == "changed");
    let line = line.expect("a changed line");
    let trial = text(line, "trial");
    let shown = home.json(&["trial", "show", trial]);
    assert_eq!(shown["trial"]["arms"][0]["lift"]["rooted"], line["now"]);
    let history = home.ok(&["trial", "history", trial]);
    assert!(numbers(&history).contains(&line["was"].to_string()), "{history}");
    unchanged(home, csv, flags);
}

/// Bytes of the bench journal.
fn journal(home: &TestHome) -> u64 {
    let folder = std::fs::read_dir(home.path().join("bench")).expect("a bench");
    folder.map(|entry| entry.expect("an entry").metadata().expect("there").len()).sum()
}

/// Each number and word in quotes of a question appears in one thing that is asked or stated, or in the columns.
fn asked(question: &str, answer: &Value) {
    let said = format!("{} {} {}", answer["questions"], answer["columns"], answer["lines"]);
    for number in numbers(question) {
        assert!(said.contains(&number), "\"{number}\" of \"{question}\" in {said}");
    }
}

fn lines_of(case: &Value, answer: &Value) {
    let lines = answer["lines"].as_array().expect("lines");
    for expected in case["expect"].as_array().expect("expectations") {
        let numbers: Vec<u64> = match expected["lines"].as_array() {
            Some(several) => several.iter().filter_map(Value::as_u64).collect(),
            None => vec![expected["line"].as_u64().expect("a line")],
        };
        let found: Vec<&Value> = numbers
            .iter()
            .map(|number| {
                lines
                    .iter()
                    .find(|line| line["line"] == *number)
                    .unwrap_or_else(|| panic!("line {number} in {answer:#}"))
            })
            .collect();
        for line in &found {
            let outcome = text(expected, "outcome");
            assert!(outcome.starts_with(text(line, "outcome")), "{outcome}: {line:#}");
        }
        if numbers.len() > 1 { several(expected, &found) } else { one(expected, found[0]) }
    }
}

/// Rows of one arm: their pots, and the sums of what was counted.
fn several(expected: &Value, found: &[&Value]) {
    let sum = |key: &str| found.iter().filter_map(|line| line[key].as_u64()).sum::<u64>();
    assert!(found.iter().all(|line| line["arm"] == expected["arm"]), "{found:?}");
    let pots: Vec<&Value> = found.iter().map(|line| &line["pot"]).collect();
    assert_eq!(pots, expected["pots"].as_array().expect("pots").iter().collect::<Vec<_>>());
    assert_eq!(expected["started"], sum("started"));
    let rooted: u64 = found.iter().filter_map(|line| line["lift"]["rooted"].as_u64()).sum();
    match &expected["rooted"] {
        Value::String(words) => {
            let open: Vec<&&Value> = found.iter().filter(|line| line["not_counted_yet"] == true).collect();
            let looked: u64 = found
                .iter()
                .filter(|line| line["not_counted_yet"] == false)
                .filter_map(|line| line["started"].as_u64())
                .sum();
            assert_eq!(numbers(words)[..2], [rooted.to_string(), looked.to_string()]);
            assert!(open.iter().all(|line| words.contains(text(line, "pot"))) && !open.is_empty(), "{words}");
        }
        count => assert_eq!(*count, rooted),
    }
}

fn one(expected: &Value, line: &Value) {
    if let Some(why) = expected["why"].as_str() {
        in_order(why, text(line, "why"));
    }
    for key in ["trial", "arm", "pot", "operator", "started", "was", "now"] {
        if !expected[key].is_null() {
            assert_eq!(line[key], expected[key], "{key} of {line:#}");
        }
    }
    let or_none = |value: &Value| value.as_u64().unwrap_or(0);
    for (key, stage, count) in [
        ("rooted", "lift", "rooted"),
        ("germinated", "lift", "rooted"),
        ("taken", "lift", "rooted"),
        ("finished", "final", "finished"),
        ("season", "season", "rooted"),
        ("dead", "lift", "died"),
        ("dead_rooted", "season", "died"),
    ] {
        if let Some(number) = expected[key].as_u64() {
            assert_eq!(or_none(&line[stage][count]), number, "{key} of {line:#}");
        }
    }
    if !expected["suckers"].is_null() {
        assert_eq!(line["suckers"], expected["suckers"], "{line:#}");
    }
    if let Some(piece) = expected["piece"].as_str() {
        assert_eq!(line["pot"], piece, "{line:#}");
    }
    if let Some(species) = expected["species"].as_str() {
        assert!(species.starts_with(text(line, "species")), "{line:#}");
        assert_eq!(
            numbers(species).last(),
            line["filled"].as_array().and_then(|all| all.first()).map(|one| one["line"].to_string()).as_ref()
        );
    }
    for (day, counts) in expected["checks"].as_object().into_iter().flatten() {
        same(counts, &line["checks"][day]);
    }
    if let Some(counts) = expected["check"].as_object() {
        let only = line["checks"].as_object().expect("checks").values().next().expect("one check");
        same(&Value::Object(counts.clone()), only);
    }
    if expected["lift"].is_object() {
        stage(&expected["lift"], &line["lift"]);
    }
}

/// Counts of a check.
fn same(expected: &Value, found: &Value) {
    for (key, count) in expected.as_object().expect("counts") {
        assert_eq!(found[key], *count, "{key} of {found:#}");
    }
}

fn stage(expected: &Value, found: &Value) {
    // Where nothing is left, nothing is written: the season counts zero by itself.
    let rooted = if found.is_null() { Value::from(0) } else { found["rooted"].clone() };
    assert_eq!(rooted, expected["rooted"], "{found:#}");
    if let Some(on) = expected["on"].as_str() {
        assert_eq!(found["on"], on);
    }
    if let Some(dead) = expected["dead"].as_u64() {
        assert_eq!(found["died"], dead, "{found:#}");
    }
    if let Some(rest) = expected["rest"].as_str() {
        let said = [found["not_mentioned"].to_string(), found["of"].to_string()];
        assert_eq!(numbers(rest)[..2], said, "{found:#}");
        assert_eq!(found["not_known"], found["not_mentioned"]);
    }
}

/// Every number of the expected sentence, in that order.
fn in_order(expected: &str, found: &str) {
    let mut said = numbers(found).into_iter();
    for number in numbers(expected) {
        assert!(said.any(|other| other == number), "{number} of \"{expected}\" in \"{found}\"");
    }
}
