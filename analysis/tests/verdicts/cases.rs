//! `node/tests/cases/bench-verdicts.json`: computed by a plain Python program with scipy; exact p values, odds ratios and
//! differences were checked there against R 4.2 (`fisher.test`, `mantelhaen.test(exact=TRUE)`, metafor's `rma.mh`).

use serde_json::Value;

use propagule_analysis::verdict::{Comparison, FamilyKind, PairVerdict, Reason, Trial, Verdict, judge};

use super::made::{arm, by_piece, in_blocks, two};

fn file() -> Value {
    let text = std::fs::read_to_string(concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/../node/tests/cases/bench-verdicts.json"
    ));
    serde_json::from_str(&text.expect("the cases are there")).expect("the cases are JSON")
}

fn case(id: &str) -> Value {
    let file = file();
    let cases = file["cases"].as_array().expect("cases").iter();
    cases.clone().find(|case| case["id"] == id).cloned().unwrap_or_else(|| panic!("no case {id}"))
}

fn close(what: &str, got: Option<f64>, want: &Value, tolerance: f64) {
    let Some(want) = want.as_f64() else { return };
    let got = got.unwrap_or_else(|| panic!("{what} is missing, {want} is expected"));
    assert!((got - want).abs() <= tolerance * want.abs().max(1.0), "{what}: {got}, {want} is expected");
}

/// The cases print six digits: 1e-6 relative is half a unit of the last.
fn same_numbers(id: &str, found: &Comparison, want: &Value) {
    let at = |name: &str| format!("{id} {name}");
    close(&at("p_exact"), Some(found.p_exact), &want["p_exact"], 1e-6);
    close(&at("phi_hat"), found.pots.map(|pots| pots.phi_hat), &want["phi_hat"], 6e-6);
    close(&at("df"), found.pots.map(|pots| f64::from(pots.df)), &want["df"], 0.0);
    close(&at("mean_pot"), found.pots.map(|pots| pots.mean_pot), &want["mean_pot"], 1e-9);
    close(&at("phi"), found.phi, &want["phi"], 6e-6);
    close(&at("t"), found.t, &want["t"], 6e-6);
    close(&at("p_pots"), found.p_pots, &want["p_pots"], 1e-6);
    close(&at("p"), found.p, &want["p"], 1e-6);
    for (k, bound) in want["difference"].as_array().into_iter().flatten().enumerate() {
        close(&at("difference"), found.difference.map(|d| d[k]), bound, 1e-6);
    }
    let odds = found.odds_ratio().map(|odds| [odds.estimate, odds.low, odds.high]);
    for (k, bound) in want["odds_ratio_if_independent"].as_array().into_iter().flatten().enumerate() {
        close(&at("odds ratio"), odds.map(|odds| odds[k]), bound, 1e-4);
    }
    close(&at("Fisher"), Some(found.fisher_on_totals), &want["fisher_pooled_over_blocks"], 1e-6);
    close(&at("Boschloo"), found.boschloo(), &want["boschloo"], 1e-5);
    if let Some(widened) = want["interval_widened"].as_bool() {
        assert_eq!(found.is_widened, widened, "{id}: whether the interval was moved out");
    }
    let totals = found.totals;
    let totals =
        [totals.first.succeeded, totals.first.started, totals.second.succeeded, totals.second.started];
    for (got, want) in totals.iter().zip(want["totals"].as_array().into_iter().flatten()) {
        assert_eq!(Some(u64::from(*got)), want.as_u64(), "{id}: totals");
    }
    if let Some(design) = want["design"].as_str() {
        assert_eq!(serde_json::to_value(found.design).expect("a word"), design, "{id}: design");
    }
}

fn pots(list: &Value) -> Vec<(u32, u32)> {
    let number = |value: &Value| value.as_u64().expect("a whole number") as u32;
    list.as_array().expect("pots").iter().map(|pot| (number(&pot[0]), number(&pot[1]))).collect()
}

/// One unit a stratum in each arm.
fn of_strata(case: &Value) -> Trial {
    let number = |value: &Value| value.as_u64().expect("a whole number") as u32;
    let strata = case["strata"].as_array().expect("strata");
    let side = |k: usize| -> Vec<(u32, u32)> {
        strata.iter().map(|row| (number(&row[2 * k]), number(&row[2 * k + 1]))).collect()
    };
    two(&side(0), &side(1))
}

fn the_pair(trial: &Trial) -> PairVerdict {
    let judged = judge(trial);
    assert_eq!((judged.family.kind, judged.pairs.len()), (FamilyKind::Pair, 1));
    judged.pairs.into_iter().next().expect("one pair")
}

fn check(id: &str, trial: &Trial) -> PairVerdict {
    let case = case(id);
    let pair = the_pair(trial);
    same_numbers(id, &pair.reading.as_ref().expect("counted").comparison, &case);
    assert_eq!(pair.verdict.word(), case["verdict"], "{id}");
    pair
}

#[test]
fn one_pot_each_has_no_verdict() {
    let pair = check("V1", &of_strata(&case("V1")));
    assert_eq!((pair.reason, pair.is_in_family), (Reason::OneUnit, false));
}

#[test]
fn pots_that_agree_and_pots_that_do_not() {
    for (id, reason) in [("V2", Reason::Clear), ("V3", Reason::PotsDisagree)] {
        let case = case(id);
        let pair = check(id, &two(&pots(&case["pots"][0]), &pots(&case["pots"][1])));
        assert_eq!(pair.reason, reason, "{id}");
    }
}

#[test]
fn blocks_that_agree_and_blocks_that_do_not() {
    for (id, reason) in [("V4", Reason::Clear), ("V4b", Reason::PotsDisagree)] {
        let pair = check(id, &in_blocks(of_strata(&case(id))));
        assert_eq!((pair.reason, pair.blocks, pair.blocks_left_out), (reason, 4, 0), "{id}");
    }
}

#[test]
fn pieces_in_shared_trays_and_on_shared_stock_plants() {
    for id in ["V5", "V6", "V7"] {
        check(id, &by_piece(in_blocks(of_strata(&case(id)))));
    }
}

#[test]
fn nothing_succeeded() {
    let pair = check("V8", &two(&[(0, 4); 3], &[(0, 4); 3]));
    assert_eq!((pair.reason, pair.is_in_family), (Reason::NoneSucceeded, false));
}

#[test]
fn doses_against_none() {
    let case = case("V9");
    let labels = ["none", "1 000", "3 000", "8 000"];
    let arms = labels.map(|label| arm(label, &[("auxin", label)], &pots(&case["arms"][label]["pots"])));
    let mut trial = Trial { arms: arms.into(), is_randomised: true, ..Trial::default() };
    assert_eq!(trial.usual_control(), Some(0));
    for (control, list, kind) in
        [(Some(0), "family_control", FamilyKind::Control), (None, "family_all_pairs", FamilyKind::Pairs)]
    {
        trial.control = control;
        let judged = judge(&trial);
        let wanted = case[list].as_array().expect("a family");
        assert_eq!(
            (judged.family.kind, judged.family.size, judged.pairs.len()),
            (kind, wanted.len(), wanted.len())
        );
        for want in wanted {
            let sides = [want["first"].as_str(), want["second"].as_str()];
            let found = judged.pairs.iter().find(|pair| {
                let labels = [Some(pair.first.label.as_str()), Some(pair.second.label.as_str())];
                sides.iter().all(|side| labels.contains(side))
            });
            let pair = found.expect("the pair is judged");
            let reading = pair.reading.as_ref().expect("counted");
            if control.is_some() {
                same_numbers("V9", &reading.comparison, want);
            }
            close("V9 Holm", reading.p_holm, &want["holm"], 1e-6);
            assert_eq!(pair.verdict.word(), want["verdict"], "{sides:?}");
        }
    }
}

#[test]
fn two_factors_crossed() {
    let case = case("V10");
    let arms =
        ["softwood", "semi-ripe"].into_iter().flat_map(|wood| ["dip", "none"].map(|auxin| (wood, auxin)));
    let arms = arms.map(|(wood, auxin)| {
        let label = format!("{wood} / {auxin}");
        arm(&label, &[("wood", wood), ("auxin", auxin)], &pots(&case["cells"][&label]["pots"]))
    });
    let judged = judge(&Trial { arms: arms.collect(), ..Trial::default() });
    assert_eq!((judged.family.kind, judged.family.size), (FamilyKind::Factorial, 2));
    for (pair, want) in judged.pairs.iter().zip(case["main_effects"].as_array().expect("effects")) {
        assert_eq!(pair.factor.as_deref(), want["factor"].as_str());
        assert_eq!(
            [&pair.first.label, &pair.second.label],
            [&want["first"], &want["second"]].map(|v| v.as_str().expect("a level"))
        );
        let reading = pair.reading.as_ref().expect("counted");
        same_numbers("V10", &reading.comparison, want);
        close("V10 Holm", reading.p_holm, &want["holm"], 1e-6);
        assert_eq!(pair.verdict, Verdict::Better);
        for (within, want) in pair.within.iter().zip(want["within"].as_array().expect("levels")) {
            assert_eq!(within.stratum, want["stratum"]);
            close("V10 within", within.odds_ratio.map(|odds| odds.estimate), &want["odds_ratio"][0], 1e-4);
        }
        assert_eq!(pair.within.len(), 2);
    }
}

#[test]
fn people_who_each_made_both_kinds_are_strata() {
    let case = case("V11");
    let grafters = ["R", "S", "T"];
    let side = |kind: &str| {
        let cell = |who: &str| pots(&serde_json::json!([case["cells"][format!("{who} / {kind}")]]))[0];
        let mut arm = arm(kind, &[("form", kind)], &grafters.map(cell));
        for (unit, who) in arm.units.iter_mut().zip(grafters) {
            unit.operator = Some(who.to_owned());
        }
        arm
    };
    let trial = by_piece(Trial { arms: vec![side("whip"), side("cleft")], ..Trial::default() });
    check("V11", &trial);
}

#[test]
fn people_who_always_go_with_one_kind_are_confounded() {
    let mut trial = two(&[(10, 12)], &[(4, 12)]);
    for (arm, who) in trial.arms.iter_mut().zip(["R", "S"]) {
        arm.units[0].operator = Some(who.to_owned());
    }
    let (case, pair) = (case("V12"), the_pair(&by_piece(trial)));
    assert_eq!(pair.verdict.word(), case["verdict"]);
    assert_eq!(pair.reason, Reason::Together(vec!["auxin".into(), "operator".into()]));
    assert!(!pair.is_in_family && pair.first_is_better.is_none());
    let reading = pair.reading.expect("counted");
    close("V12 Fisher", Some(reading.comparison.fisher_on_totals), &case["fisher"], 1e-6);
    assert_eq!(reading.comparison.p, None);
}

#[test]
fn a_lost_pot_is_read_both_ways() {
    let counted = [("V13", [5, 5, 5, 5], [2, 3, 2]), ("V14", [6, 5, 5, 4], [3, 3, 4])];
    for (id, first, second) in counted {
        let second: Vec<(u32, u32)> = second.map(|n| (n, 6)).into_iter().chain([(0, 6)]).collect();
        let mut trial = two(&first.map(|n| (n, 6)), &second);
        trial.arms[1].units[3].lost = 6;
        let (case, pair) = (case(id), the_pair(&trial));
        same_numbers(id, &pair.reading.expect("counted").comparison, &case["lost_as_failures"]);
        same_numbers(id, &pair.lost_left_out.expect("some were lost").comparison, &case["lost_left_out"]);
        assert_eq!(pair.verdict.word(), case["verdict"], "{id}");
    }
}
