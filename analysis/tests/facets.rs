//! The facet model against JAGS and lme4, whose figures `facets/make.R` wrote to `facets/expected.json`.
//!
//! Published tables: cbpp (Lesnoff et al. 2004, Trop Anim Health Prod 36:357, as lme4 carries it) and the Orobanche seeds
//! (Crowder 1978, Appl Stat 27:34); a third table is invented, with a level in which nothing succeeded.

use std::path::{Path, PathBuf};

use propagule_analysis::Count;
use propagule_analysis::facets::{self, Facet, FacetArm, FacetFit, FacetGrower, Options};
use propagule_analysis::rate::Levels;
use serde::Deserialize;

#[derive(Deserialize)]
struct Expected {
    cases: Vec<Case>,
}

#[derive(Deserialize)]
struct Case {
    table: String,
    facets: Vec<String>,
    levels: Vec<usize>,
    references: Vec<usize>,
    three_level: bool,
    effects: Vec<Effect>,
    grower_spread_mean: f64,
    trial_spread_mean: Option<f64>,
    rates: Vec<Rate>,
    #[serde(default)]
    glmer_fixed: Vec<f64>,
    #[serde(default)]
    glmer_sd_of_fixed: Vec<f64>,
}

#[derive(Deserialize)]
struct Effect {
    facet: usize,
    level: usize,
    mean: f64,
    sd: f64,
    q: [f64; 3],
    above: f64,
}

#[derive(Deserialize)]
struct Rate {
    levels: Vec<usize>,
    typical_q: [f64; 3],
    average_mean: f64,
    average_q: [f64; 3],
    new_q: [f64; 3],
}

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/facets")
}

fn cases() -> Vec<Case> {
    let text = std::fs::read_to_string(folder().join("expected.json")).expect("the figures are there");
    let expected: Expected = serde_json::from_str(&text).expect("the figures are as make.R writes them");
    expected.cases
}

/// Columns grower, trial, facets…, started, succeeded; rows of one grower stand together.
fn growers(case: &Case) -> Vec<FacetGrower> {
    let mut reader = csv::Reader::from_path(folder().join(&case.table)).expect("the table is there");
    let mut rows: Vec<Vec<usize>> = Vec::new();
    for row in reader.deserialize() {
        rows.push(row.expect("whole numbers"));
    }
    let width = case.facets.len() + 2;
    let arm = |row: &Vec<usize>| FacetArm {
        levels: row[2..width].to_vec(),
        count: Count { started: row[width] as u32, succeeded: row[width + 1] as u32 },
    };
    let trials = |rows: &[Vec<usize>]| {
        rows.chunk_by(|a, b| a[1] == b[1]).map(|trial| trial.iter().map(arm).collect()).collect()
    };
    rows.chunk_by(|a, b| a[0] == b[0]).map(|rows| FacetGrower { trials: trials(rows), weight: 1.0 }).collect()
}

fn fit(case: &Case) -> FacetFit {
    let facet =
        |(levels, reference): (&usize, &usize)| Facet { levels: *levels, reference: Some(*reference) };
    let facets: Vec<Facet> = case.levels.iter().zip(&case.references).map(facet).collect();
    let levels = if case.three_level { Levels::Three } else { Levels::Two };
    let options = Options { levels, ..Options::default() };
    facets::fit(&facets, &growers(case), &options).expect("the table is possible")
}

/// Collects what lies too far from what was expected.
#[derive(Default)]
struct Misses(Vec<String>);

impl Misses {
    fn compare(&mut self, name: &str, got: f64, want: f64, tolerance: f64) {
        if (got - want).abs() > tolerance {
            self.0.push(format!("{name}: {got:.4}, expected {want:.4} ± {tolerance}"));
        }
    }

    fn compare_all(&mut self, name: &str, got: [f64; 3], want: [f64; 3], tolerance: f64) {
        for (k, (got, want)) in got.iter().zip(want).enumerate() {
            self.compare(&format!("{name}, point {k}"), *got, want, tolerance);
        }
    }

    fn assert_none(&self) {
        assert!(self.0.is_empty(), "{}", self.0.join("\n"));
    }
}

/// How far mean, sd and quantiles of an effect may be from JAGS, whose own error is about 0.002, and 0.02 for a level at which
/// nothing succeeded.
fn tolerances(succeeded: u64) -> [f64; 3] {
    if succeeded == 0 { [0.03, 0.03, 0.1] } else { [0.005, 0.006, 0.02] }
}

#[test]
fn effects_and_spreads_agree_with_jags() {
    let mut misses = Misses::default();
    for case in cases() {
        let fit = fit(&case);
        for want in &case.effects {
            let got = &fit.effects[want.facet][want.level];
            let name = format!("{}, {} {}", case.table, case.facets[want.facet], want.level);
            let [mean, sd, quantile] = tolerances(got.succeeded);
            misses.compare(&format!("{name}: mean"), got.log_or_mean, want.mean, mean);
            misses.compare(&format!("{name}: sd"), got.log_or_sd, want.sd, sd);
            misses.compare(&format!("{name}: chance"), got.prob_better_than_reference, want.above, 0.002);
            misses.compare_all(&name, got.log_or_q, want.q, quantile);
        }
        let name = &case.table;
        misses.compare(&format!("{name}: growers"), fit.grower_spread_mean, case.grower_spread_mean, 0.01);
        assert_eq!(fit.trial_spread_mean.is_some(), case.trial_spread_mean.is_some());
        for (got, want) in fit.trial_spread_mean.iter().zip(case.trial_spread_mean) {
            misses.compare(&format!("{name}: trials"), *got, want, 0.01);
        }
    }
    misses.assert_none();
}

#[test]
fn rates_of_combinations_agree_with_jags() {
    let mut misses = Misses::default();
    for case in cases() {
        let fit = fit(&case);
        for want in &case.rates {
            let got = fit.predict(&want.levels).expect("the levels exist");
            let name = format!("{}, {:?}", case.table, want.levels);
            misses.compare(
                &format!("{name}: average"),
                got.average_grower_rate_mean,
                want.average_mean,
                0.002,
            );
            misses.compare_all(&format!("{name}: typical"), got.typical_grower_rate_q, want.typical_q, 0.004);
            misses.compare_all(&format!("{name}: average"), got.average_grower_rate_q, want.average_q, 0.003);
            misses.compare_all(&format!("{name}: new grower"), got.new_grower_rate_q, want.new_q, 0.006);
        }
    }
    misses.assert_none();
}

/// Maximum likelihood by adaptive quadrature (25 nodes): near the weak priors' answer where there is much evidence.
#[test]
fn effects_are_near_lme4s() {
    let mut misses = Misses::default();
    let mut compared = 0;
    for case in cases() {
        let fit = fit(&case);
        // lme4's intercept comes first.
        let likely = case.glmer_fixed.iter().zip(&case.glmer_sd_of_fixed).skip(1);
        for ((ml, sd), want) in likely.zip(&case.effects) {
            let got = &fit.effects[want.facet][want.level];
            let name = format!("{}, {} {}", case.table, case.facets[want.facet], want.level);
            misses.compare(&name, got.log_or_mean, *ml, 0.3 * sd);
            compared += 1;
        }
    }
    misses.assert_none();
    assert_eq!(compared, 5, "three periods, a variety and an extract");
}

#[test]
fn a_combination_nobody_tried_is_marked() {
    let case = cases().into_iter().find(|case| case.table == "syn.csv").expect("the invented table");
    let fit = fit(&case);
    let rate = |levels: &[usize]| fit.predict(levels).expect("the levels exist");
    // Medium 2 came with stage 0 only: stage 2 in it is a sum of effects.
    assert!(!rate(&[2, 1, 2]).tried() && !rate(&[2, 1, 2]).rests_on_prior);
    assert!(rate(&[0, 1, 2]).tried() && rate(&[0, 1, 2]).succeeded == 0);
    assert!(fit.aliases.is_empty());
}
