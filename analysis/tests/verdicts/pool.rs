//! `node/tests/cases/bench-pool.json`: the product of conditional likelihoods to the power of 1 / φ on a grid, by a plain Python
//! program with numpy.

use std::collections::BTreeMap;

use serde_json::Value;

use propagule_analysis::Count;
use propagule_analysis::Pair;
use propagule_analysis::contrast::{ContrastFit, Options, TrialPair, stratified};
use propagule_analysis::verdict::{Design, Held, Verdict, pooled};

fn cases() -> Vec<Value> {
    let text =
        std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/../node/tests/cases/bench-pool.json"));
    let file: Value = serde_json::from_str(&text.expect("the cases are there")).expect("the cases are JSON");
    file["cases"].as_array().expect("cases").clone()
}

fn trial(given: &Value) -> TrialPair {
    let number = |value: &Value| value.as_u64().expect("a whole number") as u32;
    let arm = |row: &Value, k: usize| Count { succeeded: number(&row[k]), started: number(&row[k + 1]) };
    let strata = given["strata"].as_array().expect("strata").iter();
    let strata = strata.map(|row| Pair { first: arm(row, 0), second: arm(row, 2) }).collect();
    TrialPair { strata, phi: given["phi"].as_f64().expect("phi"), weight: 1.0 }
}

fn fit(trials: &[TrialPair]) -> ContrastFit {
    stratified(trials, &Options::default()).expect("possible counts")
}

fn design(given: &Value) -> Design {
    let known = [Design::Single, Design::Pots, Design::Blocks, Design::Pieces, Design::Factorial];
    let word = |design: &Design| serde_json::to_value(design).expect("a word");
    known.into_iter().find(|design| word(design) == given["design"]).expect("a design")
}

#[test]
fn probabilities_scopes_and_verdicts() {
    for case in cases() {
        let id = case["id"].as_str().expect("an id");
        let given = case["trials"].as_array().expect("trials");
        let trials: Vec<TrialPair> = given.iter().map(trial).collect();
        let found = fit(&trials);
        let number = |name: &str| case[name].as_f64().expect("a number");
        let close = |name: &str, got: f64, want: f64, tolerance: f64| {
            assert!((got - want).abs() <= tolerance, "{id} {name}: {got}, {want} is expected");
        };
        close("P", found.prob_first_better, number("prob_first_better"), 2e-4);
        let plain: Vec<TrialPair> =
            trials.iter().map(|trial| TrialPair { phi: 1.0, ..trial.clone() }).collect();
        close("P without phi", fit(&plain).prob_first_better, number("prob_first_better_without_phi"), 2e-4);
        close("mean", found.log_or_mean, number("log_or_mean"), 2e-3);
        for (got, want) in found.log_or_q.iter().zip(case["log_or_q"].as_array().expect("quantiles")) {
            // The grid of the case has steps of 0.02, and gives the step at which the quantile is reached.
            close("quantile", *got, want.as_f64().expect("a number"), 0.025);
        }
        assert_eq!(found.k_informative as u64, case["k_informative"].as_u64().expect("a number"), "{id}");
        let mut growers = BTreeMap::new();
        let held: Vec<Held> = given
            .iter()
            .zip(&trials)
            .map(|(given, trial)| {
                let (grower, next) = (given["grower"].as_str().expect("a grower"), growers.len());
                let grower = *growers.entry(grower).or_insert(next);
                Held { grower, design: design(given), is_informative: trial.is_informative() }
            })
            .collect();
        let own = [Verdict::Better, Verdict::CannotTell, Verdict::SingleUnit];
        let alone = own.into_iter().find(|verdict| verdict.word() == case["verdict"]);
        let (verdict, scope) = pooled(&held, found.prob_first_better, alone);
        assert_eq!(verdict.word(), case["verdict"], "{id}");
        assert_eq!(serde_json::to_value(scope).expect("a word"), case["scope"], "{id}");
    }
}

#[test]
fn a_weight_of_zero_is_absence_and_impossible_spreads_are_refused() {
    let cases = cases();
    let all: Vec<TrialPair> = cases[9]["trials"].as_array().expect("trials").iter().map(trial).collect();
    let mut more = all[..2].to_vec();
    more.push(TrialPair { weight: 0.0, ..all[2].clone() });
    assert!((fit(&more).prob_first_better - fit(&all[..2]).prob_first_better).abs() < 1e-12);
    for phi in [0.5, f64::NAN, f64::INFINITY] {
        let wrong = TrialPair { phi, ..all[0].clone() };
        assert!(stratified(&[wrong], &Options::default()).is_err(), "{phi}");
    }
}
