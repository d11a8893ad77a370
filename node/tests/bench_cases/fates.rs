//! Fates: entries of a season, and where every piece is after each day.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::home::TestHome;
use crate::report::Report;

/// A day after all of them.
const AFTER: &str = "2031-06-01T12:00:00Z";

pub(crate) fn play(file: &Value, report: &mut Report) {
    for case in file["cases"].as_array().expect("cases") {
        report.case(text(case, "id"), || season(case));
    }
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

/// A trial with the pots of a case, and how a pot is named in a command.
struct Set {
    home: TestHome,
    code: String,
    /// Pot of the case → pot or arm of the trial.
    names: BTreeMap<String, String>,
}

fn season(case: &Value) {
    let set = set_up(case);
    let expected = case["expect"].as_array().expect("expectations");
    for (entry, expected) in case["entries"].as_array().expect("entries").iter().zip(expected) {
        set.enter(entry);
        set.stands(expected);
    }
    set.curve(&case["curve"]);
    if let Some(refused) = case.get("then_refused") {
        set.refuses(&refused["entry"]);
    }
}

fn set_up(case: &Value) -> Set {
    let home = TestHome::new();
    home.at(AFTER);
    let (code, on, kind) = (text(case, "id"), text(case, "started_on"), text(case, "kind"));
    let mut arms: Vec<(String, Vec<(String, u64)>)> = Vec::new();
    for unit in case["units"].as_array().expect("units") {
        let (label, pot) =
            (text(unit, "arm"), (text(unit, "pot").to_owned(), unit["started"].as_u64().expect("a count")));
        match arms.iter_mut().find(|(other, _)| other == label) {
            Some((_, pots)) => pots.push(pot),
            None => arms.push((label.to_owned(), vec![pot])),
        }
    }
    let mut words: Vec<String> =
        ["trial", "new", code, "Lumetta rosea", "--on", on].map(str::to_owned).into();
    words.extend(["--with".to_owned(), format!("kind={kind}")]);
    for (label, pots) in &arms {
        words.extend(["--arm".to_owned(), format!("{label}: pots={}; pieces={}", pots.len(), pots[0].1)]);
    }
    run(&home, &words);
    let mut names = BTreeMap::new();
    let mut put_in: Vec<String> = ["stick", code, "--on", on].map(str::to_owned).into();
    let mut next = 1;
    for (label, pots) in &arms {
        for (pot, started) in pots {
            let name = if pots.len() == 1 { label.clone() } else { format!("P{next}") };
            next += usize::from(pots.len() > 1);
            put_in.push(format!("{name}={started}"));
            names.insert(pot.clone(), name);
        }
    }
    run(&home, &put_in);
    Set { home, code: code.to_owned(), names }
}

fn run(home: &TestHome, words: &[String]) -> String {
    home.ok(&words.iter().map(String::as_str).collect::<Vec<_>>())
}

impl Set {
    /// The counts of a day as they are typed, and pieces that left as commands of their own.
    fn typed(&self, entry: &Value) -> (Vec<String>, Vec<Vec<String>>) {
        let (mut counts, mut left) = (Vec::new(), Vec::new());
        for (pot, typed) in entry["pots"].as_object().expect("pots") {
            let name = &self.names[pot];
            let mut parts = Vec::new();
            for (what, count) in typed.as_object().expect("counts") {
                if let Some(how) = what.strip_prefix("left_") {
                    let sold = ["move", &self.code, name, "--sold", &count.to_string()].map(str::to_owned);
                    left.push(
                        sold.into_iter()
                            .chain((how == "below").then(|| "--below-grade".to_owned()))
                            .collect(),
                    );
                } else {
                    parts.push(format!("{}={count}", what.replace('_', "-")));
                }
            }
            if !parts.is_empty() {
                counts.push(format!("{name}:{}", parts.join(",")));
            }
        }
        (counts, left)
    }

    fn enter(&self, entry: &Value) {
        let on = text(entry, "on");
        let (counts, left) = self.typed(entry);
        for words in &left {
            let day = ["--on", on].map(str::to_owned);
            run(&self.home, &words.iter().cloned().chain(day).collect::<Vec<_>>());
        }
        if !counts.is_empty() || left.is_empty() {
            let words = ["check", &self.code, "--on", on, "--yes"].map(str::to_owned);
            run(&self.home, &words.into_iter().chain(counts).collect::<Vec<_>>());
        }
    }

    /// Every pot and arm stands as the case says.
    fn stands(&self, expected: &Value) {
        let on = text(expected, "on");
        let pots = self.home.json(&["trial", "pots", &self.code, "--on", on]);
        for pot in expected["pots"].as_array().expect("pots") {
            let name = &self.names[text(pot, "pot")];
            let all = pots["pots"].as_array().expect("pots");
            let found =
                all.iter().find(|found| found["pot"] == name.as_str() || found["arm"] == name.as_str());
            same(found.expect("the pot is there"), pot, on, &["pot"]);
        }
        for (label, arm) in expected["arms"].as_object().expect("arms") {
            let all = pots["arms"].as_array().expect("arms");
            let found = all.iter().find(|found| found["arm"] == label.as_str()).expect("the arm is there");
            same(found, arm, on, &["ever_rooted_at_least", "looked"]);
        }
    }

    fn curve(&self, expected: &Value) {
        let shown = self.home.json(&["trial", "show", &self.code]);
        for (label, points) in expected.as_object().expect("curves") {
            let all = shown["curve"].as_array().expect("a curve");
            let found: Vec<&Value> = all.iter().filter(|point| point["arm"] == label.as_str()).collect();
            let points = points.as_array().expect("points");
            assert_eq!(found.len(), points.len(), "{label}");
            for (found, point) in found.into_iter().zip(points) {
                same(found, point, text(point, "on"), &[]);
            }
        }
    }

    /// The entry is refused, and nothing of it is saved.
    fn refuses(&self, entry: &Value) {
        let before = self.home.ok(&["trial", "history", &self.code]);
        let (counts, _) = self.typed(entry);
        let words = ["check", &self.code, "--on", text(entry, "on"), "--yes"].map(str::to_owned);
        let words: Vec<String> = words.into_iter().chain(counts).collect();
        self.home.fails(1, &words.iter().map(String::as_str).collect::<Vec<_>>());
        assert_eq!(self.home.ok(&["trial", "history", &self.code]), before, "nothing is saved");
    }
}

/// Every key of the expected row has its value; null is not zero.
fn same(found: &Value, expected: &Value, on: &str, but: &[&str]) {
    for (key, value) in expected.as_object().expect("a row") {
        if but.contains(&key.as_str()) {
            continue;
        }
        let other = &found[key];
        let is_same = match (value.as_f64(), other.as_f64()) {
            (Some(value), Some(other)) => (value - other).abs() < 1e-6,
            _ => value == other,
        };
        assert!(is_same, "{key} on {on}: {other}, not {value}; {found}");
    }
}
