//! Cases e and f of the joint model: their contrasts by JAGS 4.3.1; tolerances stand in the files.

use std::collections::BTreeSet;
use std::path::Path;

use propagule_analysis::Count;
use propagule_analysis::shrunk::{self, ShrunkFit, ShrunkOptions};
use propagule_analysis::table::{ArmTable, CountedArm};
use propagule_analysis::verdict::Verdict;
use serde_json::Value;

fn path(name: &str) -> std::path::PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/joint").join(name)
}

fn case(name: &str) -> Value {
    let text = std::fs::read_to_string(path(&format!("{name}.json"))).expect("reads");
    serde_json::from_str(&text).expect("is JSON")
}

/// Facets: method, medium, region.
const FACETS: [&str; 3] = ["method", "medium", "region"];

/// The methods in the order of their names, and the fit.
fn fitted(name: &str) -> (Vec<String>, ShrunkFit) {
    let mut reader = csv::Reader::from_path(path(&format!("{name}.csv"))).expect("reads");
    let head = reader.headers().expect("has a head").clone();
    let records: Vec<csv::StringRecord> = reader.records().map(|record| record.expect("a row")).collect();
    let cell = |record: &csv::StringRecord, column: &str| -> String {
        record[head.iter().position(|name| name == column).expect("has the column")].to_owned()
    };
    let names = |column: &str| -> Vec<String> {
        let names: BTreeSet<String> = records.iter().map(|record| cell(record, column)).collect();
        names.into_iter().collect()
    };
    let place = |record: &csv::StringRecord, column: &str| {
        names(column).iter().position(|name| *name == cell(record, column)).expect("listed")
    };
    let whole =
        |record: &csv::StringRecord, column: &str| cell(record, column).parse().expect("a whole number");
    let row = |record: &csv::StringRecord| CountedArm {
        grower: place(record, "grower"),
        trial: place(record, "trial"),
        levels: FACETS.iter().map(|facet| Some(place(record, facet))).collect(),
        count: Count { started: whole(record, "stuck"), succeeded: whole(record, "rooted") },
        replicates: 1,
    };
    let rows = records.iter().map(row).collect();
    let facets = FACETS.iter().map(|facet| names(facet).len()).collect();
    let table = ArmTable::new(facets, vec![1.0; names("grower").len()], rows).expect("valid");
    (names("method"), shrunk::fit(&table, 0, &ShrunkOptions::default()).expect("converges"))
}

#[test]
fn contrasts_of_four_methods_are_those_of_jags() {
    let (methods, fit) = fitted("joint-f-contrasts");
    let case = case("joint-f-contrasts");
    let place = |name: &Value| {
        methods.iter().position(|method| Some(method.as_str()) == name.as_str()).expect("known")
    };
    let pairs = case["pairs"].as_array().expect("a list");
    assert_eq!(pairs.len(), fit.pairs.len());
    let mut wrong = Vec::new();
    let mut check = |what: String, got: f64, want: f64, bar: f64| {
        if (got - want).abs() > bar {
            wrong.push(format!("{what}: {got:.4} against {want:.4}"));
        }
    };
    for want in pairs {
        let pair = fit.pair(place(&want["first"]), place(&want["second"])).expect("a pair");
        let name = format!("{} - {}", want["first"], want["second"]);
        let number = |key: &str| want[key].as_f64().expect("a number");
        let got = pair.estimate.expect("they were compared");
        check(format!("{name} mean"), got.log_or_mean, number("log_or_mean"), 0.08);
        check(format!("{name} sd"), got.log_or_sd, number("log_or_sd"), 0.1 * number("log_or_sd"));
        for (k, q) in got.log_or_q.iter().enumerate() {
            check(format!("{name} q{k}"), *q, want["log_or_q"][k].as_f64().expect("a number"), 0.12);
        }
        check(format!("{name} P"), got.prob_first_better, number("prob_first_better"), 0.02);
        let next = number("prob_first_better_next_trial");
        check(format!("{name} P next"), got.prob_first_better_next_trial, next, 0.02);
        assert_eq!(pair.verdict.word(), want["verdict"], "{name}");
        assert_eq!(pair.trials as u64, want["trials"].as_u64().expect("a number"), "{name}");
    }
    let spreads = fit.spreads.expect("compared");
    let own = [
        ("method", spreads.level),
        ("trial", spreads.stratum),
        ("arm", spreads.arm),
        ("grower_method", spreads.grower.expect("slopes")),
    ];
    for (name, got) in own {
        check(format!("sd of {name}"), got, case["sd"][name]["mean"].as_f64().expect("a number"), 0.08);
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

#[test]
fn methods_of_different_growers_are_never_compared() {
    let (_, fit) = fitted("joint-e-confounded");
    let want = &case("joint-e-confounded")["expected_contrasts"][0];
    assert_eq!(want["reason"], "never_compared");
    assert_eq!(fit.pairs.len(), 1);
    let pair = &fit.pairs[0];
    assert_eq!(pair.verdict, Verdict::NeverCompared);
    assert!(pair.trials == 0 && pair.estimate.is_none() && fit.spreads.is_none());
    assert_eq!((fit.ranks(2), fit.leader(&[0, 1])), (vec![1, 1], None));
}
