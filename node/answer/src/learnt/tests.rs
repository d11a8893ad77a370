//! What is learnt, and from which rows.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::{Corpora, Kind, Learning, LearntState, MOST_TRIALS, Trust};
use crate::plan::{PlanAnswer, plan};
use crate::pool::{Beside, pool, pool_beside};
use crate::question::{Given, PlanQuestion, PoolQuestion};
use crate::said::{AnswerSaid, TryRole};
use propagule_analysis::joint::{Step, Watch};
use propagule_analysis::{FitError, rate};
use propagule_evidence::{Evidence, EvidenceRow, Family, Grouping, Lost, clusters, fixtures, growers};
use std::ops::ControlFlow;
use std::sync::Arc;

type Rows = BTreeMap<String, Vec<EvidenceRow>>;

/// An arm of grower, trial, method and counts.
fn row(grower: usize, trial: usize, method: &str, started: u32, succeeded: u32) -> EvidenceRow {
    let facets = fixtures::words(&[("method", method)]);
    EvidenceRow {
        facets,
        ..fixtures::row(&format!("grower {grower}"), &trial.to_string(), method, started, succeeded)
    }
}

/// Two genera, six species that root about one in five by one method and one in two by the other.
fn corpus() -> Rows {
    let of = |species: usize| {
        let rows = (0..4).flat_map(move |k| {
            let trial = 10 * species + k;
            let (low, high) = ([3, 4, 6, 5][k], [11, 13, 12, 10][(k + species) % 4]);
            [
                row((species + k) % 7, trial, "plain", 24, low),
                row((species + k) % 7, trial, "wounded", 24, high),
            ]
        });
        let rows = rows.filter(move |row| species != 2 || row.arm == "plain");
        (
            format!("{} {}", ["carpinus", "quercus"][species / 3], ["una", "altera", "tertia"][species % 3]),
            rows.collect(),
        )
    };
    (0..6).map(of).collect()
}

fn corpora(rows: &Rows, trust: Trust) -> Corpora {
    let rows = rows.iter().map(|(key, rows)| (key.as_str(), rows.as_slice()));
    Corpora::new(rows, &Grouping::default(), trust, b"salt")
}

fn learning(rows: &Rows, species: &str) -> Learning {
    let learnt = corpora(rows, Trust::Whole).learn(None, &Watch::nobody()).expect("nobody ends it");
    Learning::Done { learnt: Arc::new(learnt), species: species.to_owned(), age_minutes: None }
}

fn answer(rows: &Rows, species: &str) -> crate::pool::PoolAnswer {
    let evidence = Evidence { rows: rows[species].clone(), ..Evidence::default() };
    let given = Given { learning: learning(rows, species), ..Given::file() };
    let beside = Beside { given, ..Beside::default() };
    pool_beside(&evidence, &beside, &PoolQuestion::about(species)).expect("pools")
}

#[test]
fn an_answer_borrows_and_keeps_its_own_counts_beside_it() {
    let rows = corpus();
    let found = answer(&rows, "carpinus una");
    let learnt = found.learnt.expect("it was asked for");
    assert_eq!((learnt.state, learnt.trials, learnt.species), (LearntState::Learnt, 24, 6));
    for method in &found.methods {
        let own = growers(&clusters(
            &rows["carpinus una"].iter().filter(|row| row.arm == method.method).collect::<Vec<_>>(),
            Lost::AsFailures,
            false,
        ));
        let alone = rate::fit(&own, &rate::Options::default()).expect("fits");
        assert_eq!(method.without.as_ref(), Some(alone.summary()));
        let borrowed = method.borrowed.as_ref().expect("there are relatives");
        assert_eq!((borrowed.own_trials, borrowed.relative_trials_genus), (4, 8));
        assert_eq!(borrowed.relative_trials_method, if method.method == "plain" { 20 } else { 16 });
        let width = |[low, _, high]: [f64; 3]| high - low;
        assert!(width(method.fit.average_grower_rate_q) < width(alone.summary().average_grower_rate_q));
        let law = method.law.expect("it was borrowed");
        assert!((law.iter().sum::<f64>() - 1.0).abs() < 1e-9);
        let AnswerSaid::Rate(said) = &method.sentence else { panic!("a rate") };
        assert!((said.rates.average - method.fit.average_grower_rate_mean).abs() < 1e-12);
        assert_eq!(
            said.borrowed.map(|facts| facts.without.average),
            Some(alone.summary().average_grower_rate_mean)
        );
    }
    assert!(found.never_tried.is_empty());
}

#[test]
fn a_method_never_tried_stands_in_a_list_of_its_own() {
    let found = answer(&corpus(), "carpinus tertia");
    assert_eq!(found.methods.iter().map(|method| method.method.as_str()).collect::<Vec<_>>(), ["plain"]);
    let [never] = found.never_tried.as_slice() else { panic!("{:?}", found.never_tried) };
    assert_eq!((never.method.as_str(), never.borrowed.own_trials), ("wounded", 0));
    assert!(never.fit.average_grower_rate_mean > found.methods[0].fit.average_grower_rate_mean);
    assert!(never.borrowed.share < 1e-6);
}

#[test]
fn a_species_nobody_tried_borrows_from_its_genus_and_says_first_that_nothing_is_held() {
    let rows = corpus();
    let asked = |species: &str| {
        let given = Given { learning: learning(&rows, species), ..Given::file() };
        let beside = Beside { given, ..Beside::default() };
        pool_beside(&Evidence::default(), &beside, &PoolQuestion::about(species)).expect("pools")
    };
    let found = asked("carpinus quarta");
    assert!(matches!(found.sentence, AnswerSaid::NoEvidence { .. }), "{:?}", found.sentence);
    let methods: Vec<&str> = found.never_tried.iter().map(|line| line.method.as_str()).collect();
    assert_eq!(methods, ["wounded", "plain"]);
    let from = |line: &crate::pool::NeverTriedAnswer| line.borrowed.relative_trials_genus;
    assert_eq!(found.never_tried.iter().map(from).collect::<Vec<_>>(), [12, 12]);
    assert_eq!(found.learnt.map(|learnt| (learnt.state, learnt.species)), Some((LearntState::Learnt, 6)));
    // Of a genus of which nothing is known nothing is borrowed.
    let found = asked("morus nigra");
    assert!(found.methods.is_empty() && found.never_tried.is_empty());
}

#[test]
fn one_species_alone_is_answered_as_without_learning_and_it_is_said() {
    let rows: Rows = corpus().into_iter().filter(|(key, _)| key == "carpinus una").collect();
    let found = answer(&rows, "carpinus una");
    let evidence = Evidence { rows: rows["carpinus una"].clone(), ..Evidence::default() };
    let given = Given::file();
    let alone =
        pool_beside(&evidence, &Beside { given, ..Beside::default() }, &PoolQuestion::about("carpinus una"));
    assert_eq!(found.methods, alone.expect("pools").methods);
    assert_eq!(found.learnt.map(|learnt| learnt.state), Some(LearntState::Nothing));
    assert_eq!(pool(&evidence, &PoolQuestion::about("carpinus una")).expect("pools").learnt, None);
}

#[test]
fn strangers_among_the_growers_leave_the_lead_to_own_counts_that_disagree() {
    let mut rows = corpus();
    let own = (0..6).map(|k| row(k, 90 + k, "plain", 40, 38)).collect();
    rows.insert("carpinus quarta".to_owned(), own);
    let asked = |given: Given| {
        let evidence = Evidence { rows: rows["carpinus quarta"].clone(), ..Evidence::default() };
        let given = Given { learning: learning(&rows, "carpinus quarta"), ..given };
        let beside = Beside { given, ..Beside::default() };
        pool_beside(&evidence, &beside, &PoolQuestion::about("carpinus quarta"))
            .expect("pools")
            .methods
            .remove(0)
    };
    let (network, file) = (asked(Given::default()), asked(Given::file()));
    let [network_borrowed, file_borrowed] =
        [&network, &file].map(|method| method.borrowed.clone().expect("borrowed"));
    assert_eq!(network_borrowed.own_counts_lead, network_borrowed.conflict);
    if network_borrowed.conflict {
        assert_eq!(Some(&network.fit), network.without.as_ref());
    }
    assert!(!file_borrowed.own_counts_lead);
}

#[test]
fn who_watches_ends_it() {
    let told =
        |step: Step| if step == Step::Cell(3) { ControlFlow::Break(()) } else { ControlFlow::Continue(()) };
    let ended = corpora(&corpus(), Trust::Whole).learn(None, &Watch::new(&told));
    assert_eq!(ended.err(), Some(FitError::Ended));
}

#[test]
fn a_fit_is_kept_while_its_kind_is_as_it_was() {
    let rows = corpus();
    let first = corpora(&rows, Trust::Whole).learn(None, &Watch::nobody()).expect("learns");
    let never = |_| ControlFlow::Break(());
    let again =
        corpora(&rows, Trust::Whole).learn(Some(&first), &Watch::new(&never)).expect("nothing is fitted");
    assert_eq!(first, again);
    let mut other = rows.clone();
    other.get_mut("quercus una").expect("it is there")[0].succeeded += 1;
    assert_eq!(
        corpora(&other, Trust::Whole).learn(Some(&first), &Watch::new(&never)).err(),
        Some(FitError::Ended)
    );
}

#[test]
fn too_many_trials_are_cut_evenly_and_always_alike() {
    let many = |species: &str, trials: usize| {
        let rows = (0..trials).map(|k| row(k % 3_000, k, "plain", 10, 3)).collect::<Vec<_>>();
        (species.to_owned(), rows)
    };
    let mut rows: Rows = [many("carpinus una", 7_000), many("quercus una", 40)].into();
    let cut = corpora(&rows, Trust::Whole);
    assert_eq!((cut.trials(), cut.kinds[&Kind::OfTable].held), (MOST_TRIALS, 7_000));
    for rows in rows.values_mut() {
        rows.reverse();
    }
    assert_eq!(cut.fingerprint(), corpora(&rows, Trust::Whole).fingerprint());
}

#[test]
fn kinds_of_propagation_teach_each_other_nothing() {
    let graft = [("kind".to_owned(), "graft".to_owned())].into();
    assert_eq!(Kind::of(Family::Grafts, &graft), Kind::of(Family::Buds, &graft));
    assert_ne!(Kind::of(Family::Cuttings, &graft), Kind::of(Family::Grafts, &graft));
    assert_eq!(Kind::of(Family::Mixed, &graft), None);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]

    /// Nobody without weight, nothing uncounted, and no grower of everybody's with more than twenty trials.
    #[test]
    fn what_must_not_teach_does_not(
        arms in prop::collection::vec((0..3usize, 0..60usize, any::<bool>(), 0..3u8), 1..120),
    ) {
        let rows: Vec<EvidenceRow> = arms.iter().enumerate().map(|(k, (grower, trial, pending, weight))| EvidenceRow {
            arm: k.to_string(),
            pending: *pending,
            weight: f64::from(*weight) / 2.0,
            ..row(*grower, *trial, "plain", 10, 3)
        }).collect();
        let teaching: Vec<EvidenceRow> = rows.iter().filter(|row| !row.pending && row.weight > 0.0).cloned().collect();
        let all: Rows = [("carpinus una".to_owned(), rows)].into();
        let some: Rows = [("carpinus una".to_owned(), teaching)].into();
        prop_assert_eq!(corpora(&all, Trust::Circle).fingerprint(), corpora(&some, Trust::Circle).fingerprint());
        let cut = corpora(&all, Trust::Everybody);
        let mut trials: BTreeMap<&str, std::collections::BTreeSet<&str>> = BTreeMap::new();
        for arm in cut.kinds.values().flat_map(|corpus| &corpus.arms) {
            trials.entry(&arm.grower).or_default().insert(&arm.trial);
        }
        prop_assert!(trials.values().all(|trials| trials.len() <= 20));
    }
}

/// A plan for a species, where `own` says which of its rows are the reader's.
fn planned(species: &str, own: fn(&EvidenceRow) -> bool, is_learnt: bool) -> PlanAnswer {
    let rows = corpus();
    let marked = |row: &EvidenceRow| EvidenceRow { own: own(row), ..row.clone() };
    let evidence = Evidence { rows: rows[species].iter().map(marked).collect(), ..Evidence::default() };
    let learning = if is_learnt { learning(&rows, species) } else { Learning::NotAsked };
    plan(&evidence, &PlanQuestion::about(species), &Given { learning, ..Given::file() }).expect("a plan")
}

#[test]
fn a_plan_offers_what_nobody_tried_where_a_trial_of_it_pays_most() {
    let answer = planned("carpinus tertia", |_| false, true);
    let against = answer.against.expect("something else is offered");
    assert_eq!((against.method.as_str(), against.never_tried), ("plain", false));
    let [wounded] = answer.next.as_slice() else { panic!("{:?}", answer.next) };
    assert!(wounded.never_tried && wounded.method == "wounded" && wounded.worth > 0.1, "{wounded:?}");
    let AnswerSaid::Try { facts, role, .. } = &wounded.sentence else { panic!("{:?}", wounded.sentence) };
    assert_eq!((facts.never_tried, *role), (Some([8, 20]), TryRole::Worth(wounded.worth)));
    // Nothing is borrowed where nothing is learnt, and one method alone is compared with nothing.
    let alone = planned("carpinus tertia", |_| false, false);
    assert!(alone.against.is_none() && alone.next.is_empty());
}

#[test]
fn what_a_plan_compares_is_the_rate_that_other_plants_teach() {
    let answer = planned("carpinus una", |_| false, true);
    let against = answer.against.expect("there are two");
    let method = answer.methods.iter().find(|method| method.method == against.method).expect("it is listed");
    assert_eq!(
        (against.method.as_str(), against.rate_pooled),
        ("wounded", method.fit.average_grower_rate_mean)
    );
    assert!((against.rate_alone - against.rate_pooled).abs() > 1e-6, "{against:?}");
    let apart = |answer: &PlanAnswer| answer.tell_apart[0].assurance.expect("two methods");
    let alone = apart(&planned("carpinus una", |_| false, false));
    let learnt = apart(&planned("carpinus una", |_| false, true));
    assert!((alone - learnt).abs() > 1e-3 && (0.0..1.0).contains(&learnt), "{alone} {learnt}");
}

#[test]
fn own_counts_start_from_what_other_plants_teach() {
    let own = |row: &EvidenceRow| row.trial.ends_with("/0");
    let mean = |is_learnt| planned("carpinus una", own, is_learnt).methods[0].next_trial_rate_mean;
    let (learnt, alone) = (mean(true), mean(false));
    let others = planned("carpinus una", |_| false, true).methods[0].next_trial_rate_mean;
    // 3 of 24 of the reader's own are below what all root.
    assert!(learnt < others && (learnt - alone).abs() > 1e-4, "{learnt} {alone} {others}");
}
