//! The worked cases of `tests/cases/bench-fates.json`: added up by hand and by a program apart from this one.

use serde_json::Value;

use crate::curve::curve;
use crate::dates::When;
use crate::season::{Season, SeasonFault};
use crate::{Arm, Entry, Law, Replicate, Row, Tally, Trial, What};

fn cases() -> Vec<Value> {
    let text = include_str!("../../../../tests/cases/bench-fates.json");
    let file: Value = serde_json::from_str(text).expect("the cases are JSON");
    file["cases"].as_array().expect("cases").clone()
}

fn text<'a>(value: &'a Value, key: &str) -> &'a str {
    value[key].as_str().unwrap_or_else(|| panic!("{key} of {value}"))
}

fn day(value: &Value, key: &str) -> When {
    When::day(text(value, key).parse().expect("a day"))
}

fn trial(case: &Value) -> Trial {
    let mut arms: Vec<Arm> = Vec::new();
    for unit in case["units"].as_array().expect("units") {
        let (label, code) = (text(unit, "arm"), text(unit, "pot").to_owned());
        let started = unit["started"].as_u64().expect("a count") as u16;
        if arms.last().is_none_or(|arm| arm.label != label) {
            let number = arms.len() as u8 + 1;
            arms.push(Arm { number, label: label.to_owned(), ..Arm::default() });
        }
        let arm = arms.last_mut().expect("one was pushed");
        arm.started += started;
        arm.replicates.push(Replicate { code, started, pot: None, stock_plant: None, operator: None });
    }
    Trial { arms, ..Trial::empty(text(case, "id"), "Lumetta rosea", day(case, "started_on")) }
}

/// The entries of a day: pieces that left are entries of their own.
fn entries(trial: &Trial, given: &Value) -> Vec<Entry> {
    let (on, mut tallies, mut all) = (day(given, "on"), Vec::new(), Vec::new());
    let entry = |what| Entry { on, what, note: None, files: Vec::new(), once: None };
    let code = || trial.code.clone();
    for (pot, counts) in given["pots"].as_object().expect("pots") {
        let (arm, replicate) = trial.target(pot).expect("the pot is there");
        let (arm, replicate) = (arm.number, replicate.map(|replicate| replicate.code.clone()));
        let mut tally = Tally { arm, replicate: replicate.clone(), ..Tally::default() };
        for (what, count) in counts.as_object().expect("counts") {
            let count = count.as_u64().expect("a count") as u16;
            let slot = match what.as_str() {
                "alive" => &mut tally.alive,
                "green" => &mut tally.green,
                "rooted" => &mut tally.rooted,
                "dead" => &mut tally.dead,
                "lost" => &mut tally.lost,
                "not_known" => &mut tally.not_known,
                "found_alive" => &mut tally.found_alive,
                "left_finished" | "left_below" => {
                    let at_grade = what == "left_finished";
                    let (replicate, how) = (replicate.clone(), "sold".to_owned());
                    all.push(entry(What::Left {
                        trial: code(),
                        arm,
                        replicate,
                        pieces: count,
                        how,
                        at_grade,
                    }));
                    continue;
                }
                other => panic!("{other} is not counted"),
            };
            *slot = Some(count);
        }
        let blank = Tally { arm, replicate: tally.replicate.clone(), ..Tally::default() };
        if tally != blank {
            tallies.push(tally);
        }
    }
    all.push(entry(if tallies.is_empty() {
        What::Looked { trial: code() }
    } else {
        What::Counted { trial: code(), stage: None, tallies, is_blind: false, law: Law::Fates }
    }));
    all
}

fn row_json(row: &Row, started: bool) -> Value {
    let mut json = serde_json::json!({
        "alive": row.alive(), "waiting": row.waiting, "rooted_alive": row.rooted_alive, "not_known": row.not_known,
        "dead": row.dead, "dead_rooted": row.dead_rooted, "lost": row.lost, "left_finished": row.left_finished,
        "left_below": row.left_below, "ever_rooted": row.ever_rooted(),
    });
    if started {
        json["started"] = row.started.into();
        json["ever_rooted_at_least"] = row.at_least.into();
        json["looked"] = row.looked_for.into();
    }
    json
}

#[test]
fn every_pot_and_arm_stands_as_worked_out() {
    for case in cases() {
        let trial = trial(&case);
        let all: Vec<Entry> = case["entries"]
            .as_array()
            .expect("entries")
            .iter()
            .flat_map(|day| entries(&trial, day))
            .collect();
        let season = Season::new(&trial, (1..).zip(&all));
        let id = text(&case, "id");
        assert_eq!(season.faults, [], "{id}");
        for expected in case["expect"].as_array().expect("expectations") {
            let on = day(expected, "on").middle();
            for pot in expected["pots"].as_array().expect("pots") {
                let code = text(pot, "pot");
                let unit = season.units.iter().find(|unit| unit.replicate.as_deref() == Some(code));
                let mut found = row_json(&unit.expect("the pot is there").row_on(on), false);
                found["pot"] = code.into();
                assert_eq!(&found, pot, "{id} {code} on {on}");
            }
            for (label, arm) in expected["arms"].as_object().expect("arms") {
                let number = trial.target(label).expect("the arm is there").0.number;
                assert_eq!(&row_json(&season.arm_on(number, on), true), arm, "{id} {label} on {on}");
            }
        }
        let Some(refused) = case.get("then_refused") else { continue };
        let more: Vec<Entry> = all.iter().cloned().chain(entries(&trial, &refused["entry"])).collect();
        let faults = Season::new(&trial, (1..).zip(&more)).faults;
        assert_eq!(faults.len(), 1, "{id}");
        let since = Some(When::day("2026-08-03".parse().expect("a day")));
        assert_eq!(faults[0].1, SeasonFault::Fate(crate::FateFault::RootsGone { short: 1, since }), "{id}");
    }
}

#[test]
fn curves_are_shares_of_all_that_were_put_in() {
    let close = |found: Option<f64>, expected: &Value, what: &str| match (found, expected.as_f64()) {
        (None, None) => {}
        (Some(found), Some(expected)) => {
            assert!((found - expected).abs() < 1e-6, "{what}: {found} {expected}");
        }
        other => panic!("{what}: {other:?}"),
    };
    for case in cases() {
        let trial = trial(&case);
        let all: Vec<Entry> = case["entries"]
            .as_array()
            .expect("entries")
            .iter()
            .flat_map(|day| entries(&trial, day))
            .collect();
        let season = Season::new(&trial, (1..).zip(&all));
        for (label, expected) in case["curve"].as_object().expect("curves") {
            let points = curve(&season, trial.target(label).expect("the arm is there").0);
            let expected = expected.as_array().expect("points");
            assert_eq!(points.len(), expected.len(), "{} {label}", text(&case, "id"));
            for (point, expected) in points.iter().zip(expected) {
                let what = format!("{} {label} on {}", text(&case, "id"), text(expected, "on"));
                assert_eq!(
                    (point.on, i64::from(point.days)),
                    (day(expected, "on"), expected["days"].as_i64().expect("days"))
                );
                assert_eq!(
                    u64::from(point.at_least),
                    expected["at_least"].as_u64().expect("a count"),
                    "{what}"
                );
                assert_eq!(
                    u64::from(point.looked_for),
                    expected["looked_for"].as_u64().expect("a count"),
                    "{what}"
                );
                close(point.ever_rooted, &expected["ever_rooted"], &what);
                close(point.rooted_alive, &expected["rooted_alive"], &what);
                for (found, key) in
                    [(point.alive, "alive"), (point.dead, "dead"), (point.lost, "lost"), (point.left, "left")]
                {
                    close(Some(found), &expected[key], &what);
                }
            }
        }
    }
}
