//! Trials that follow one another: what the pool makes of them, and what it keeps apart.

use serde_json::Value;

use crate::home::TestHome;
use crate::report::Report;

pub(crate) fn play(file: &Value, report: &mut Report) {
    let home = grafted(file);
    let (species, expected) = (text(file, "species"), &file["expect"]);
    report.case("pool_default", || pooled(&home.json(&["pool", species]), expected));
    report.case("left_out", || apart(&home, species, &expected["left_out"][0]));
    report.case("with_regrafts", || {
        let added = home.json(&["pool", species, "--with-regrafts"]);
        let all = &expected["never"];
        assert_eq!(counts(&added), (number(all, "taken"), number(all, "started"), 3, 1));
        assert!(added["left_out"].as_array().is_some_and(Vec::is_empty) && added["regrafts"].is_null());
    });
    report.case("own", || {
        // The plan takes the own trials from the bench, by the same rule.
        let own = |words: &[&str]| {
            let plan = home.json(&[&["plan", species, "--want", "5"], words].concat());
            let method = &plan["methods"][0];
            (number(method, "rooted"), number(method, "started"))
        };
        assert_eq!((own(&[]), own(&["--with-regrafts"])), ((23, 36), (27, 45)));
    });
    report.case("itself", || {
        let compared = home.ok(&["compare", "J1b"]);
        assert!(compared.contains("4 of your 9"), "{compared}");
    });
}

/// The series of the case, grafted, counted and published.
fn grafted(file: &Value) -> TestHome {
    let home = TestHome::new();
    home.ok(&["place", "--zone", "8b", "--hemisphere", "north"]);
    for series in file["series"].as_array().expect("series") {
        let (code, started) = (text(series, "code"), number(series, "started"));
        let pieces = format!("A: pieces={started}");
        let mut words = vec!["trial", "new", code, text(file, "species"), "--on", "2026-03-20"];
        words.extend(["--with", "kind=graft; form=whip", "--arm", &pieces]);
        match series["relation"].as_str() {
            Some("regraft") => words.extend(["--regraft-of", text(series, "parent")]),
            Some("replaces") => words.extend(["--replaces", text(series, "parent")]),
            None => {}
            Some(other) => panic!("no such relation: {other}"),
        }
        home.ok(&words);
        home.ok(&["stick", code, "--on", "2026-03-20"]);
        let taken = format!("A:taken={}", number(series, "taken"));
        home.ok(&["take", code, "--on", "2026-05-20", &taken, "--rest", "dead"]);
        home.ok(&["publish", code, "--yes"]);
    }
    home
}

fn pooled(pool: &Value, expected: &Value) {
    let wanted = &expected["pool_default"];
    let trials = wanted["trials"].as_array().map_or(0, Vec::len) as u64;
    let all = (number(wanted, "taken"), number(wanted, "started"), trials, number(wanted, "growers"));
    assert_eq!(counts(pool), all);
}

fn apart(home: &TestHome, species: &str, expected: &Value) {
    let pool = home.json(&["pool", species]);
    let left_out = serde_json::json!([{ "reason": text(expected, "reason"), "count": 1 }]);
    assert_eq!(pool["left_out"], left_out);
    let apart = &pool["regrafts"];
    let (taken, started) = (number(expected, "taken"), number(expected, "started"));
    assert_eq!((number(apart, "rooted"), number(apart, "started")), (taken, started));
    let said = home.ok(&["pool", species]).split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(said.contains(&format!("not counted above: {taken} of {started} took.")), "{said}");
}

/// Successes, pieces put in, trials and growers of the one method.
fn counts(pool: &Value) -> (u64, u64, u64, u64) {
    assert_eq!(pool["methods"].as_array().map(Vec::len), Some(1), "{pool}");
    let method = &pool["methods"][0];
    (number(method, "rooted"), number(method, "started"), number(method, "trials"), number(method, "growers"))
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

fn number(value: &Value, key: &str) -> u64 {
    value[key].as_u64().unwrap_or_else(|| panic!("{key} of {value}"))
}
