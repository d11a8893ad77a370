//! The worked fates typed into the forms of the page: every pot then stands as the case says, and the page says so.
//! The same file is played through the commands by `tests/bench_cases.rs`.

use std::collections::BTreeMap;
use std::sync::Arc;

use serde_json::Value;

use super::tests::Grower;
use propagule_app as app;
use propagule_app::{BenchRequest, Reply, Request};
use propagule_bench::Row;
use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use propagule_present::kind::KindWords;
use propagule_present::words::pots::holds;

const CASES: &str = include_str!("../../../tests/cases/bench-fates.json");

/// The fixed day of these pages lies before some of the cases: all of them happen two years earlier.
fn earlier(on: &Value) -> String {
    on.as_str().expect("a day").replace("2026", "2024").replace("2027", "2025")
}

fn words(value: &Value) -> &str {
    value.as_str().expect("text")
}

fn list(value: &Value) -> &Vec<Value> {
    value.as_array().expect("a list")
}

/// Sets up the trial of a case and puts the pieces in; what each pot of the case is called.
async fn set_up(grower: &Grower, case: &Value) -> BTreeMap<String, String> {
    let mut arms: Vec<(&str, Vec<&Value>)> = Vec::new();
    for unit in list(&case["units"]) {
        match arms.iter_mut().find(|(label, _)| *label == words(&unit["arm"])) {
            Some((_, pots)) => pots.push(unit),
            None => arms.push((words(&unit["arm"]), vec![unit])),
        }
    }
    let mut names = BTreeMap::new();
    // A single treatment is told as a batch of one cultivar.
    let suffix = |number: usize| if arms.len() > 1 { format!("-{number}") } else { String::new() };
    let mut said: Vec<(String, String)> =
        vec![("compared".to_owned(), if arms.len() > 1 { "cultivar" } else { "" }.to_owned())];
    for ((label, pots), number) in arms.iter().zip(1..) {
        let own = [
            ("label", (*label).to_owned()),
            ("cultivar", (*label).to_owned()),
            ("pieces", pots[0]["started"].to_string()),
        ];
        said.extend(own.map(|(name, text)| (format!("{name}{}", suffix(number)), text)));
        said.extend((pots.len() > 1).then(|| (format!("pots{}", suffix(number)), pots.len().to_string())));
        for pot in pots {
            let name = if pots.len() > 1 { format!("P{}", names.len() + 1) } else { (*label).to_owned() };
            names.insert(words(&pot["pot"]).to_owned(), name);
        }
    }
    let on = earlier(&case["started_on"]);
    let mut fields = vec![
        ("code", "T1"),
        ("species", "Lumetta rosea"),
        ("kind", words(&case["kind"])),
        ("on", on.as_str()),
    ];
    fields.extend(said.iter().map(|(name, text)| (name.as_str(), text.as_str())));
    grower.saved("/bench/new", &fields).await;
    grower.saved("/bench/trial/T1/stick", &[("on", on.as_str())]).await;
    names
}

/// Types one day: pieces that left in their own form, the others on the sheet of a check, and nothing at all as a look.
async fn enter(grower: &Grower, names: &BTreeMap<String, String>, entry: &Value) {
    let on = earlier(&entry["on"]);
    let mut fields = vec![("on".to_owned(), on.clone()), ("answer".to_owned(), "yes".to_owned())];
    let (mut typed, mut left) = (0, 0);
    for (pot, counts) in entry["pots"].as_object().expect("pots") {
        let name = &names[pot];
        for (what, count) in counts.as_object().expect("counts") {
            let count = count.to_string();
            if let Some(how) = what.strip_prefix("left_") {
                let grade = if how == "below" { "no" } else { "yes" };
                let form = [
                    ("what", "left"),
                    ("place", name),
                    ("pieces", &count),
                    ("how", "sold"),
                    ("grade", grade),
                ];
                grower.saved("/bench/trial/T1/move", &[&form[..], &[("on", &on)]].concat()).await;
                left += 1;
            } else if what == "found_alive" {
                fields.push((format!("{name}/more"), format!("found-alive={count}")));
            } else {
                fields.push((format!("{name}/{what}"), count));
                typed += 1;
            }
        }
    }
    let fields: Vec<(&str, &str)> =
        fields.iter().map(|(name, text)| (name.as_str(), text.as_str())).collect();
    if typed > 0 {
        grower.saved("/bench/trial/T1/sheet/check", &fields).await;
    } else if left == 0 {
        grower.saved("/bench/trial/T1/looked", &fields).await;
    }
}

/// What the pots hold after a day.
async fn pots(grower: &Grower, on: &str) -> Value {
    let on = Some(When::day(on.parse().expect("a day")));
    let request = Request::Bench(Box::new(BenchRequest::Pots { trial: "T1".to_owned(), on }));
    match app::handle(Arc::clone(&grower.stage.web.app), request).await.expect("an answer") {
        Reply::Done(outcome) => serde_json::to_value(outcome).expect("plain data")["pots"].clone(),
        _ => panic!("no pots"),
    }
}

/// A pot of a case as a row of the page.
fn row(started: &Value, pot: &Value) -> Row {
    let number = |value: &Value| value.as_u64().unwrap_or(0) as u32;
    let count = |name: &str| number(&pot[name]);
    Row {
        started: number(started),
        waiting: count("waiting"),
        rooted_alive: count("rooted_alive"),
        not_known: count("not_known"),
        dead: count("dead"),
        lost: count("lost"),
        left_finished: count("left_finished"),
        left_below: count("left_below"),
        at_least: count("ever_rooted"),
        looked_for: if pot["ever_rooted"].is_null() { 0 } else { number(started) },
        ..Row::default()
    }
}

#[tokio::test]
async fn what_is_typed_into_the_forms_stands_as_worked_out() {
    let file: Value = serde_json::from_str(CASES).expect("cases");
    for case in list(&file["cases"]) {
        let (grower, id) = (Grower::new(), words(&case["id"]));
        let names = set_up(&grower, case).await;
        let kind = words(&case["kind"]);
        let said = KindWords::of(match kind {
            "graft" => Kind::Graft,
            "seed" => Kind::Seed,
            _ => Kind::Cutting,
        });
        for entry in list(&case["entries"]) {
            enter(&grower, &names, entry).await;
            let expected = list(&case["expect"]).iter().find(|expected| expected["on"] == entry["on"]);
            let Some(expected) = expected else { continue };
            let found = pots(&grower, &earlier(&entry["on"])).await;
            let page = grower.get("/bench/trial/T1").await.1;
            for pot in list(&expected["pots"]) {
                let name = &names[words(&pot["pot"])];
                let found =
                    list(&found).iter().find(|found| found["pot"] == name.as_str()).expect("it is there");
                for (key, value) in pot.as_object().expect("numbers").iter().filter(|(key, _)| *key != "pot")
                {
                    assert_eq!(&found[key], value, "{id} {name} {key} on {}", entry["on"]);
                }
                let unit =
                    list(&case["units"]).iter().find(|unit| unit["pot"] == pot["pot"]).expect("a unit");
                let holds = holds(&row(&unit["started"], pot), &said);
                assert!(names.len() < 2 || page.contains(&holds), "{id} {name}: {holds}\n{page}");
            }
        }
    }
}
