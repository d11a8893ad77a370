//! The joint model against JAGS 4.3.1: cases a to e; tolerances stand in the files.

use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

use propagule_analysis::Count;
use propagule_analysis::joint::{self, JointFit, JointOptions, Tails};
use propagule_analysis::table::{ArmTable, CountedArm};
use serde_json::Value;

fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference/joint").join(name)
}

/// A table of text.
struct Records {
    head: csv::StringRecord,
    rows: Vec<csv::StringRecord>,
}

impl Records {
    fn read(name: &str) -> Self {
        let mut reader = csv::Reader::from_path(path(&format!("{name}.csv"))).expect("reads");
        let head = reader.headers().expect("has a head").clone();
        Self { head, rows: reader.records().map(|record| record.expect("a row")).collect() }
    }

    fn cell<'a>(&self, row: &'a csv::StringRecord, column: &str) -> &'a str {
        &row[self.head.iter().position(|name| name == column).expect("has the column")]
    }

    fn names(&self, column: &str) -> Vec<&str> {
        let names: BTreeSet<&str> = self.rows.iter().map(|row| self.cell(row, column)).collect();
        names.into_iter().collect()
    }

    fn place(&self, column: &str, name: &str) -> usize {
        self.names(column).iter().position(|other| *other == name).expect("listed")
    }

    fn table(&self) -> ArmTable {
        let place = |row: &csv::StringRecord, column: &str| self.place(column, self.cell(row, column));
        let whole =
            |row: &csv::StringRecord, column: &str| self.cell(row, column).parse().expect("a whole number");
        let arm = |row: &csv::StringRecord| CountedArm {
            grower: place(row, "grower"),
            trial: place(row, "trial"),
            levels: ["genus", "species", "method"].map(|column| Some(place(row, column))).to_vec(),
            count: Count { started: whole(row, "stuck"), succeeded: whole(row, "rooted") },
            replicates: 1,
        };
        let levels = ["genus", "species", "method"].map(|column| self.names(column).len()).to_vec();
        let growers = self.names("grower").len();
        ArmTable::new(levels, vec![1.0; growers], self.rows.iter().map(arm).collect()).expect("valid")
    }
}

/// Tolerances of a case: of the mean in standard deviations, and of the quantiles on the logit scale.
struct Tolerance {
    mean: f64,
    quantiles: [f64; 3],
    chance: f64,
}

/// The kinds of spreads, as the files name them.
const SPREADS: [&str; 8] =
    ["genus", "species", "method", "genus_method", "species_method", "grower", "trial", "arm"];

fn logit(p: f64) -> f64 {
    (p / (1.0 - p)).ln()
}

/// What lies outside its tolerance; and how near the nearest comes, in tolerances.
fn outside(name: &str, tolerance: &Tolerance) -> (Vec<String>, f64) {
    let records = Records::read(name);
    let text = std::fs::read_to_string(path(&format!("{name}.json"))).expect("reads");
    let case: Value = serde_json::from_str(&text).expect("is JSON");
    let fit = joint::fit(&records.table(), &JointOptions { tails: Tails::Normal, ..JointOptions::default() })
        .expect("converges");
    let cells = case["cells"].as_array().expect("a list");
    assert!(!cells.is_empty());
    let (mut wrong, mut nearest) = (Vec::new(), 0.0f64);
    let spreads = SPREADS.iter().zip(fit.spreads());
    let spreads = spreads.map(|(name, got)| {
        (format!("sd of {name}"), got, case["sd"][name]["mean"].as_f64().expect("a number"), 0.12)
    });
    let of_cells = cells.iter().map(|want| figures(&fit, &records, want, tolerance));
    for figures in of_cells.chain([spreads.collect()]) {
        for (what, got, want, bar) in figures {
            nearest = nearest.max((got - want).abs() / bar);
            if (got - want).abs() > bar {
                wrong.push(format!("{name} {what}: {got:.4} against {want:.4}"));
            }
        }
    }
    (wrong, nearest)
}

fn figures(
    fit: &JointFit,
    records: &Records,
    want: &Value,
    tolerance: &Tolerance,
) -> Vec<(String, f64, f64, f64)> {
    let text = |key: &str| want[key].as_str().expect("a name");
    let number = |key: &str| want[key].as_f64().expect("a number");
    let (species, method) = (text("species"), text("method"));
    let genus = species.split(' ').next().expect("a genus");
    let places =
        (records.place("genus", genus), records.place("species", species), records.place("method", method));
    let law = fit.cell(places.0, places.1, places.2).expect("converges");
    let named = |what: &str| format!("{species} {method} {what}");
    let sd = number("log_odds_sd");
    let mut out = vec![
        (named("mean"), law.log_odds_mean, number("log_odds_mean"), tolerance.mean * sd),
        (named("sd"), law.log_odds_sd, sd, 0.15 * sd),
        (named("average"), law.average_rate_mean, number("average_rate_mean"), 0.015),
        (named("5 of 48"), law.chance_at_least(5, 48), number("chance_5_of_48"), tolerance.chance),
    ];
    for (k, p) in [0.025, 0.5, 0.975].into_iter().enumerate() {
        let want = want["new_grower_rate_q"][k].as_f64().expect("a number");
        out.push((
            named(&format!("new grower at {p}")),
            logit(law.new_grower_rate(p)),
            logit(want),
            tolerance.quantiles[k],
        ));
    }
    out
}

#[test]
fn cells_are_those_of_jags() {
    let usual = || Tolerance { mean: 0.25, quantiles: [0.6, 0.35, 0.35], chance: 0.05 };
    let mostly_none = Tolerance { mean: 0.4, quantiles: [0.6, 0.4, 0.4], chance: 0.07 };
    let cases = [
        ("joint-a-typical", usual()),
        ("joint-b-mostly-none", mostly_none),
        ("joint-c-nothing-to-borrow", usual()),
        ("joint-d-outlier-grower", usual()),
        ("joint-e-confounded", usual()),
    ];
    let mut all = Vec::new();
    for (name, tolerance) in &cases {
        let (wrong, nearest) = outside(name, tolerance);
        all.push(format!("{name}: at most {nearest:.2} of a tolerance"));
        all.extend(wrong);
    }
    assert_eq!(all.len(), cases.len(), "{all:#?}");
}

/// Two species of a genus and one that nobody tried, as `tests/joint/two_species.R` draws them: two million draws from the prior weighted
/// by the likelihood, worth 58,000, so that its means are good to a 200th of a standard deviation. R 4.2.
#[test]
fn species_of_a_genus_are_as_r_draws_them() {
    let arm = |grower: usize, species: usize, started: u32, succeeded: u32| CountedArm {
        grower,
        trial: grower,
        levels: vec![Some(0), Some(species), Some(0)],
        count: Count { started, succeeded },
        replicates: 1,
    };
    let arms = vec![arm(0, 0, 20, 3), arm(1, 0, 16, 5), arm(2, 1, 24, 2), arm(3, 1, 12, 4)];
    let table = ArmTable::new(vec![1, 3, 1], vec![1.0; 4], arms).expect("valid");
    let options = JointOptions { tails: Tails::Normal, ..JointOptions::default() };
    let fit = joint::fit(&table, &options).expect("converges");
    // Mean and standard deviation of the log odds, average rate, and the 2.5, 50 and 97.5 % points of a new grower's rate.
    let drawn = [
        (-1.2835, 0.5951, 0.2560, [0.0304, 0.2157, 0.7190]),
        (-1.3894, 0.6114, 0.2406, [0.0278, 0.1976, 0.7052]),
        (-1.2526, 0.9114, 0.2711, [0.0217, 0.2168, 0.8050]),
    ];
    for (species, (mean, sd, average, quantiles)) in drawn.into_iter().enumerate() {
        let found = fit.cell(0, species, 0).expect("converges");
        assert!((found.log_odds_mean - mean).abs() < 0.1 * sd, "{species}: {}", found.log_odds_mean);
        assert!((found.log_odds_sd / sd - 1.0).abs() < 0.08, "{species}: {}", found.log_odds_sd);
        assert!((found.average_rate_mean - average).abs() < 0.02, "{species}: {}", found.average_rate_mean);
        for (p, drawn) in [0.025, 0.5, 0.975].into_iter().zip(quantiles) {
            let logit = |rate: f64| (rate / (1.0 - rate)).ln();
            let rate = found.new_grower_rate(p);
            assert!((logit(rate) - logit(drawn)).abs() < 0.15, "{species}: {rate} at {p}");
        }
    }
}
