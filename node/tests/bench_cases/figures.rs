//! Figures of a season that no row of a day holds: rates with their ranges, the whole life, and what was removed.

use std::collections::BTreeMap;

use serde_json::Value;

use crate::close::{close, list, text, whole};

/// As the case prints them.
const FINE: f64 = 1e-6;

pub(crate) fn check(case: &Value, shown: &Value) {
    let stages = list(shown, "stages");
    let last_day = list(case, "entries").last().map(|entry| &entry["on"]);
    if let Some(last) = stages.last().filter(|last| Some(&last["on"]) == last_day) {
        rates(case, last);
    }
    for (key, bound) in case.as_object().expect("a case") {
        let of = key.strip_prefix("one_sided_upper_").and_then(|of| of.parse::<u64>().ok());
        if let Some(of) = of {
            let rate = &stages.last().expect("a stage")["all"]["rate"];
            assert_eq!((whole(&rate["of"]), whole(&rate["count"])), (of, 0), "{rate}");
            close(key, &rate["upper"], bound, FINE);
        }
    }
    suckers(case, shown);
    if case["whole_life"].is_array() {
        whole_life(case, shown, &stages[0]);
    }
}

/// The headline of the last day, for every arm that has one.
fn rates(case: &Value, stage: &Value) {
    for (label, rates) in case["rates_last_day"].as_object().into_iter().flatten() {
        let arm = arm_of(list(stage, "arms"), label);
        let (found, wanted) = (&arm["rate"], &rates["headline"]);
        for key in ["count", "of"] {
            assert_eq!(found[key], wanted[key], "{label} {key}: {found}");
        }
        for key in ["lower", "upper"] {
            close(&format!("{label} {key}"), &found[key], &wanted[key], FINE);
        }
        assert_eq!(arm["ever_rooted"], rates["ever_rooted"]["count"], "{label}: {arm}");
    }
}

/// Times that somebody looked, and what was removed of each arm.
fn suckers(case: &Value, shown: &Value) {
    let Some(looks) = case["suckers"].as_array() else { return };
    let mut arms: BTreeMap<&str, u64> = BTreeMap::new();
    for (arm, removed) in looks.iter().flat_map(|look| look["removed"].as_object().expect("arms")) {
        *arms.entry(arm).or_default() += whole(removed);
    }
    let found = &shown["suckers"];
    assert_eq!((whole(&found["looks"]), whole(&found["removed"])), (looks.len() as u64, arms.values().sum()));
    for pair in list(found, "arms") {
        let label = pair[0].as_str().expect("a label");
        assert_eq!(arms.get(label), Some(&whole(&pair[1])), "{label}: {found}");
    }
}

fn arm_of<'a>(arms: &'a [Value], label: &str) -> &'a Value {
    arms.iter().find(|arm| arm["arm"] == label).unwrap_or_else(|| panic!("{label} in {arms:?}"))
}

fn whole_life(case: &Value, shown: &Value, lift: &Value) {
    let (life, total) = (&shown["life"], &case["whole_life_total"]);
    for wanted in list(case, "whole_life") {
        let label = text(wanted, "arm");
        told(arm_of(list(life, "arms"), label), wanted);
        let at_lift = arm_of(list(lift, "arms"), label);
        assert_eq!(at_lift["rate"]["count"], wanted["rooted_at_lift"], "{at_lift}");
        let now = arm_of(list(shown, "now"), label);
        assert_eq!(whole(&now["alive"]), whole(&wanted["rooted_alive"]) + whole(&wanted["still_waiting"]));
    }
    if total.is_object() {
        told(life, total);
        assert_eq!(lift["all"]["rate"]["count"], total["rooted_at_lift"], "{lift}");
    }
}

fn told(found: &Value, wanted: &Value) {
    for (key, name) in
        [("green_at_lift", "green"), ("rooted_since", "rooted_since"), ("still_waiting", "still_waiting")]
    {
        assert_eq!(found[name], wanted[key], "{key}: {found}");
    }
    let life = &found["whole_life"];
    assert_eq!((&life["ever_rooted"], &life["of"]), (&wanted["ever_rooted"], &wanted["started"]), "{found}");
}
