//! Fates: entries of a season, and where every piece is after each day.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::figures;
use crate::home::TestHome;
use crate::report::Report;
use crate::said::{Part, parts};
use crate::screens::{self, Screens};

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
pub(crate) struct Set {
    pub(crate) home: TestHome,
    pub(crate) code: String,
    /// Pot of the case → pot or arm of the trial.
    names: BTreeMap<String, String>,
}

fn season(case: &Value) {
    let set = set_up(case);
    let expected = case["expect"].as_array().expect("expectations");
    let entries = case["entries"].as_array().expect("entries");
    let mut suckers = case["suckers"].as_array().into_iter().flatten().peekable();
    let mut screens = Screens::default();
    for ((at, entry), expected) in entries.iter().enumerate().zip(expected) {
        while let Some(looked) = suckers.next_if(|looked| text(looked, "on") < text(entry, "on")) {
            set.suckers(looked);
        }
        let reply = set.enter(entry, stage_of(case, entry, at));
        screens.entered(&set, text(entry, "on"), &reply);
        set.stands(expected);
    }
    suckers.for_each(|looked| set.suckers(looked));
    screens.entered(&set, text(entries.last().expect("an entry"), "on"), "");
    set.curve(&case["curve"]);
    screens::said(case, &screens);
    figures::check(case, &set.home.json(&["trial", "show", &set.code]));
    if let Some(refused) = case.get("then_refused") {
        set.refuses(refused);
    }
}

/// At which count an entry was taken: where a case says so, else the last one is the lift, and the others are checks.
fn stage_of(case: &Value, entry: &Value, at: usize) -> Option<&'static str> {
    let entries = case["entries"].as_array().expect("entries");
    let (is_first, is_last) = (at == 0, at + 1 == entries.len());
    let said: Vec<&str> = case["say"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    let day = Part::of(text(entry, "on")).days;
    // `Season end 30 Oct: …`, `At lift, 14 Sep: …`; a spring count without its day is the last one.
    let is_said = |stage: &str| {
        let clauses = said.iter().flat_map(|sentence| parts(sentence));
        clauses.into_iter().any(|part| part.days == day && part.text.to_lowercase().contains(stage))
    };
    let is_grafted = case["words"]["rooted"] == "taken";
    let has_winter =
        case["whole_life"].is_array() || said.iter().any(|sentence| sentence.contains("Spring:"));
    let is_typed = entry["pots"].as_object().is_some_and(|pots| !pots.is_empty());
    let stage = match () {
        () if is_said("season end") => Some("season"),
        () if is_last && has_winter => Some("spring"),
        () if is_first && (is_grafted || has_winter) => Some("lift"),
        () if is_said("at lift") || (is_last && !has_winter && is_typed) => Some("lift"),
        () => None,
    };
    stage.filter(|_| rest(entry).is_some())
}

/// What a stage has to be told of pieces that are not mentioned, so that it is the count of a check: where the living are
/// given the missing died, where they are not all live; `None` where both would be so.
fn rest(entry: &Value) -> Option<&'static str> {
    let typed = || entry["pots"].as_object().into_iter().flat_map(|pots| pots.values());
    let is_given = |typed: &Value| !typed["alive"].is_null() || !typed["green"].is_null();
    let is_short = |typed: &Value| !typed["alive"].is_null() && typed["dead"].is_null();
    match (typed().all(is_given), typed().any(is_short)) {
        (true, _) => Some("dead"),
        (false, false) => Some("alive"),
        (false, true) => None,
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

    /// Enters a day; what the program says to it.
    fn enter(&self, entry: &Value, stage: Option<&str>) -> String {
        let on = text(entry, "on");
        let (counts, left) = self.typed(entry);
        let mut said = String::new();
        for words in &left {
            let day = ["--on", on].map(str::to_owned);
            said.push_str(&run(&self.home, &words.iter().cloned().chain(day).collect::<Vec<_>>()));
        }
        if !counts.is_empty() || left.is_empty() {
            let words = [stage.unwrap_or("check"), &self.code, "--on", on, "--yes"].map(str::to_owned);
            let rest = stage.and(rest(entry)).map(|rest| ["--rest", rest].map(str::to_owned));
            let words = words.into_iter().chain(rest.into_iter().flatten()).chain(counts);
            said.push_str(&run(&self.home, &words.collect::<Vec<_>>()));
        }
        said
    }

    /// Suckers are looked for on all arms.
    fn suckers(&self, looked: &Value) {
        let removed = looked["removed"].as_object().expect("arms");
        let removed = removed.iter().map(|(arm, count)| format!("{arm}={count}"));
        let words = ["check", &self.code, "--on", text(looked, "on"), "--suckers"].map(str::to_owned);
        run(&self.home, &words.into_iter().chain(removed).collect::<Vec<_>>());
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

    /// The entry is refused with the reason of the case, and nothing of it is saved.
    fn refuses(&self, refused: &Value) {
        let entry = &refused["entry"];
        let before = self.home.ok(&["trial", "history", &self.code]);
        let (counts, _) = self.typed(entry);
        let words = ["check", &self.code, "--on", text(entry, "on"), "--yes"].map(str::to_owned);
        let words: Vec<String> = words.into_iter().chain(counts).collect();
        let said = self.home.fails(1, &words.iter().map(String::as_str).collect::<Vec<_>>());
        if let Some(why) = refused["say"].as_str() {
            assert!(Part::of(&said).says(&Part::of(why)), "\"{why}\" is not said: {said}");
        }
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
