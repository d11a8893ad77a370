//! Pooled verdicts: the trials of a case at the homes of their growers, and what a home that got all of them says.

use std::collections::BTreeMap;

use propagule_analysis::Count;
use propagule_analysis::Pair;
use propagule_analysis::contrast::{ContrastFit, Options, TrialPair, stratified};
use serde_json::{Value, json};

use crate::close::{close, list, text, whole};
use crate::home::TestHome;
use crate::laid::{self, Laid, Layout, Pot};
use crate::report::Report;
use crate::said::{says, without};
use crate::split::split;
use crate::verdicts::{sides, sorted};

/// What a case file states for pooled probabilities.
const POOLED: f64 = 2e-4;
/// What the grid of the case gives of a mean.
const OF_MEAN: f64 = 2e-3;
/// The grid has steps of 0.02, and gives the step at which a quantile is reached.
const OF_QUANTILE: f64 = 0.025;
/// Pieces up to which a grower counts in full in one contrast; the cases leave that cap out.
const CAP: f64 = 60.0;
/// What pots of m pieces are taken to differ by before they tell: 1 + (m - 1) / 10, worth eight degrees of freedom.
const PRIOR_DF: f64 = 8.0;

pub(crate) fn play(file: &Value, report: &mut Report) {
    let cases = list(file, "cases");
    let ids: Vec<&str> = cases.iter().map(|case| text(case, "id")).collect();
    for case in cases {
        report.case(text(case, "id"), || pooled(case, &ids));
    }
    if file["confounded"].is_object() {
        report.case("confounded", || confounded(&file["confounded"]));
    }
}

fn pooled(case: &Value, ids: &[&str]) {
    let trials = list(case, "trials");
    let mut growers: BTreeMap<&str, TestHome> = BTreeMap::new();
    for (trial, number) in trials.iter().zip(1..) {
        let home = growers.entry(text(trial, "grower")).or_insert_with(laid::grower);
        let code = format!("T{number}");
        laid_out(trial, &code).enter(home);
        stands(&home.json(&["trial", "show", &code]), trial);
        home.ok(&["publish", &code, "--yes", "--now"]);
    }
    let pool = laid::read_elsewhere(growers.values());
    let contrast = &list(&pool, "contrasts")[0];
    for key in ["verdict", "scope", "k_informative"] {
        assert_eq!(contrast[key], case[key], "{key} of {contrast}");
    }
    assert_eq!(whole(&contrast["trials"]), trials.len() as u64, "{contrast}");
    let scope = match (whole(&case["k_informative"]), whole(&case["growers"])) {
        (0, _) => Value::Null,
        (1, _) => "one_trial".into(),
        (_, 1) => "one_grower".into(),
        _ => "growers".into(),
    };
    assert_eq!(contrast["scope"], scope, "growers with something to say");
    let wanted = capped(trials).unwrap_or_else(|| case.clone());
    close("P", &contrast["prob_first_better"], &wanted["prob_first_better"], POOLED);
    close("mean", &contrast["log_or_mean"], &wanted["log_or_mean"], OF_MEAN);
    for (found, wanted) in list(contrast, "log_or_q").iter().zip(list(&wanted, "log_or_q")) {
        close("quantile", found, wanted, OF_QUANTILE);
    }
    // By itself, without what pots say and without caps, the model is that of the case in any event.
    let bare = fit(trials, |_| (1.0, 1.0)).prob_first_better;
    close("P without spread", &bare.into(), &case["prob_first_better_without_phi"], POOLED);
    let own = |trial: &Value| (trial["phi"].as_f64().expect("phi"), 1.0);
    close("P", &fit(trials, own).prob_first_better.into(), &case["prob_first_better"], POOLED);
    for sentence in list(case, "say").iter().filter_map(Value::as_str) {
        let said = text(contrast, "sentence");
        says(said, &without(sentence, ids)).unwrap_or_else(|why| panic!("{why}: {said}"));
    }
}

/// The trial is at home what the case takes it for.
fn stands(shown: &Value, trial: &Value) {
    let found = &list(&shown["stages"][0], "verdicts")[0];
    assert_eq!((&found["design"], sorted(&found["strata"])), (&trial["design"], sorted(&trial["strata"])));
    // Where nothing could be seen nothing is tempered either.
    if found["verdict"] != "nothing_to_see" {
        close("spread", &found["phi"], &trial["phi"], 1e-5);
    }
}

fn laid_out(trial: &Value, code: &str) -> Laid {
    let [first, second] = sides(&trial["strata"]);
    let layout = match text(trial, "design") {
        "blocks" => Layout::Blocks,
        "pieces" => Layout::Shared,
        "pots" => {
            let [first, second] = unruly(&first[0], &second[0], trial["phi"].as_f64().expect("phi"));
            return Laid::pair(code, Layout::Apart, first, second);
        }
        _ => Layout::Apart,
    };
    Laid::pair(code, layout, first, second)
}

/// Pots of one size that differ so much that the engine takes them to differ by `phi`.
fn unruly(first: &Pot, second: &Pot, phi: f64) -> [Vec<Pot>; 2] {
    let sizes = (1..=first.started / 2).rev();
    let whole = |m: &u64| {
        first.started.is_multiple_of(*m) && second.started.is_multiple_of(*m) && second.started > *m
    };
    let found = sizes.filter(whole).find_map(|pieces| {
        let pots = [first, second].map(|arm| (arm.started / pieces) as usize);
        let df = (pots[0] + pots[1] - 2) as f64;
        let prior = 1.0 + (pieces as f64 - 1.0) / 10.0;
        let is_it = |found: f64| {
            let moderated = ((df * found + PRIOR_DF * prior) / (df + PRIOR_DF)).max(1.0);
            (moderated - phi).abs() < 1e-5
        };
        let ways = split([first.rooted, second.rooted], pots, pieces, is_it, |_, _| true)?;
        Some(ways.map(|pots| pots.into_iter().map(|rooted| Pot::new(rooted, pieces)).collect()))
    });
    found.unwrap_or_else(|| panic!("no pots of {first:?} and {second:?} differ by {phi}"))
}

/// The model by itself; each trial with its spread and weight.
fn fit(trials: &[Value], of: impl Fn(&Value) -> (f64, f64)) -> ContrastFit {
    let pair = |trial: &Value| {
        let [first, second] = sides(&trial["strata"]);
        let count = |pot: Pot| Count { started: pot.started as u32, succeeded: pot.rooted as u32 };
        let strata = first.into_iter().zip(second);
        let (phi, weight) = of(trial);
        let strata = strata.map(|(one, other)| Pair { first: count(one), second: count(other) });
        TrialPair { strata: strata.collect(), phi, weight }
    };
    let pairs: Vec<TrialPair> = trials.iter().map(pair).collect();
    stratified(&pairs, &Options::default()).expect("possible counts")
}

/// Records of a grower count for at most sixty pieces in one contrast, a rule beyond the cases; `None` where nobody brings
/// more, so that the numbers of the case hold as they are.
fn capped(trials: &[Value]) -> Option<Value> {
    let mut pieces: BTreeMap<&str, f64> = BTreeMap::new();
    for trial in trials {
        let [first, second] = sides(&trial["strata"]);
        let sum: u64 = first.iter().chain(&second).map(|pot| pot.started).sum();
        *pieces.entry(text(trial, "grower")).or_default() += sum as f64;
    }
    let weight = |trial: &Value| (CAP / pieces[text(trial, "grower")]).min(1.0);
    pieces.values().any(|pieces| *pieces > CAP).then(|| {
        let found = fit(trials, |trial| (trial["phi"].as_f64().expect("phi"), weight(trial)));
        json!({ "prob_first_better": found.prob_first_better, "log_or_mean": found.log_or_mean,
            "log_or_q": found.log_or_q })
    })
}

/// A table in which two facets always go together has no winner, in no list.
fn confounded(case: &Value) {
    let home = TestHome::new();
    let table = home.write("evidence.csv", text(case, "csv"));
    let pool = home.json(&["pool", "--from", &table]);
    let expected = &case["expect"];
    assert_eq!((&pool["contrasts"], &pool["network"]), (&expected["contrasts"], &expected["network"]));
    let (found, wanted) = (list(&pool, "together"), list(expected, "together"));
    assert_eq!(found.len(), wanted.len(), "{found:?}");
    for (found, wanted) in found.iter().zip(wanted) {
        for (key, wanted) in wanted.as_object().expect("keys") {
            assert_eq!(&found[key], wanted, "{key} of {found}");
        }
    }
    let screen = home.ok(&["pool", "--from", &table]);
    assert!(!screen.contains("better"), "{screen}");
}
