//! Figures over works against the same arms in a table made apart, and what may never be in them.

use propagule_protocol::Taxon;
use proptest::prelude::*;

use super::*;
use crate::pool::{Beside, pool_beside};
use crate::question::Given;
use propagule_evidence::fixtures::{evidence, printed_works as works, row, with_facet};
use propagule_evidence::printed::{AllArms, PrintedTrials, beside, shipped};
use propagule_evidence::{Grouping, Question, Stage, csv};

/// The arms that are built in as an evidence table, written out apart from this program when they were keyed in.
const OUTSIDE: &[u8] = include_bytes!("../../../../evidence/printed/check/pool-ready.csv");

fn given_of(trials: &PrintedTrials, growers: &Evidence, question: &PoolQuestion) -> Option<PrintedAnswer> {
    let taxon = Taxon::parse(&question.species).expect("a name");
    let tables = trials.of(&[taxon.species_key()], &taxon);
    let beside = beside(&tables, growers, &taxon, question.count);
    let no_grower = growers.rows.is_empty();
    printed(&PrintGiven { beside: &beside, trials, growers, no_grower }, question).expect("the model fits")
}

fn answered(question: &PoolQuestion) -> PrintedAnswer {
    given_of(shipped(), &Evidence::default(), question).expect("printed")
}

fn about(species: &str) -> PrintedAnswer {
    answered(&PoolQuestion::about(species))
}

fn all_species() -> BTreeSet<String> {
    shipped().arms().iter().map(|arm| arm.taxon.to_string()).collect()
}

#[test]
fn figures_over_works_are_those_of_the_same_arms_in_a_table_made_apart() {
    let table = csv::read_evidence("pool-ready.csv", OUTSIDE).expect("a table");
    let by_weeks = Grouping::parse(Some("stratification"), &[]).expect("a facet");
    let mut compared = 0;
    for species in all_species() {
        let rows = table.select(Some(&species), Question::default()).expect("rows");
        let beside = Beside { given: Given::file(), ..Beside::default() };
        let outside = pool_beside(&rows, &beside, &PoolQuestion::about(species.as_str())).expect("an answer");
        let ours =
            answered(&PoolQuestion { grouping: by_weeks.clone(), ..PoolQuestion::about(species.as_str()) });
        for method in ours.methods.iter().filter(|method| method.pooled.is_some()) {
            let pool = method.pooled.as_ref().expect("pooled");
            let same = |other: &&crate::pool::MethodAnswer| {
                (other.rooted, other.started, other.growers)
                    == (method.rooted, method.started, method.sources)
            };
            let other = outside.methods.iter().find(same).unwrap_or_else(|| panic!("{}", method.method));
            assert_eq!(
                (pool.rooted, pool.started, pool.sources),
                (other.rooted, other.started, other.growers)
            );
            let gap = (pool.average_rate_mean - other.fit.average_grower_rate_mean).abs();
            assert!(gap < 1e-12, "{species}, {}: {gap}", method.method);
            let ends = pool.next_rate_q.iter().zip(&other.fit.new_grower_rate_q);
            assert!(ends.into_iter().all(|(ours, theirs)| (ours - theirs).abs() < 1e-12), "{species}");
            compared += 1;
        }
    }
    assert!(compared >= 5, "only {compared} methods have three works");
}

#[test]
fn bands_of_weeks_bring_works_together() {
    // By exact weeks Corylus avellana has 9 methods or more, most of one work.
    let exact = Grouping::parse(Some("stratification"), &[]).expect("a facet");
    let by_weeks = answered(&PoolQuestion { grouping: exact, ..PoolQuestion::about("Corylus avellana") });
    let in_bands = about("Corylus avellana");
    assert!(in_bands.methods.len() < by_weeks.methods.len());
    let rows = |answer: &PrintedAnswer| answer.methods.iter().map(|method| method.rows.len()).sum::<usize>();
    assert_eq!((rows(&in_bands), rows(&by_weeks), in_bands.arms), (23, 23, 23));
}

#[test]
fn arms_that_are_the_best_of_several_are_shown_and_never_pooled() {
    let walnut = about("Juglans regia");
    assert_eq!((walnut.sources, walnut.trials, walnut.arms), (1, 1, 7));
    assert!(walnut.methods.iter().flat_map(|method| &method.rows).all(|row| !row.in_pool));
    assert!(walnut.methods.iter().all(|method| method.pooled.is_none()));
    let labels: Vec<&str> = walnut.methods.iter().map(|method| method.method.as_str()).collect();
    assert_eq!(labels, ["T bud", "patch bud", "whip-and-tongue graft"]);
}

#[test]
fn print_stands_alone_where_nobody_reported_and_is_folded_where_somebody_did() {
    let walnut = |asked, growers: &Evidence| {
        let question = PoolQuestion { printed: asked, ..PoolQuestion::about("Juglans regia") };
        given_of(shipped(), growers, &question).map(|answer| answer.show)
    };
    let some = evidence(vec![row("a", "1", "1", 20, 3)]);
    let none = Evidence::default();
    for asked in [AskedOfPrint::NotAsked, AskedOfPrint::Beside, AskedOfPrint::Only] {
        assert_eq!(walnut(asked, &none), Some(PrintedShow::Alone));
    }
    assert_eq!(walnut(AskedOfPrint::NotAsked, &some), Some(PrintedShow::Folded));
    assert_eq!(walnut(AskedOfPrint::Beside, &some), Some(PrintedShow::Beside));
    assert_eq!(walnut(AskedOfPrint::Only, &some), Some(PrintedShow::Alone));
}

#[test]
fn a_species_or_a_count_that_is_not_printed_has_nothing_unless_it_is_asked_for() {
    let question = PoolQuestion::about("Ostrava tarda");
    assert_eq!(given_of(shipped(), &Evidence::default(), &question), None);
    let spring = Question { stage: Stage::Spring, ..Question::default() };
    let at_spring = PoolQuestion { count: spring, ..PoolQuestion::about("Juglans regia") };
    assert_eq!(given_of(shipped(), &Evidence::default(), &at_spring), None);
    let asked = PoolQuestion { printed: AskedOfPrint::Only, ..question };
    assert_eq!(answered(&asked).arms, 0);
}

fn growers_of(rows: &[(u32, u32)]) -> Evidence {
    evidence(
        rows.iter()
            .enumerate()
            .map(|(n, (started, rooted))| row(&format!("g{n}"), "1", "1", *started, *rooted))
            .collect(),
    )
}

fn count() -> impl Strategy<Value = (u32, u32)> {
    (1..200_u32).prop_flat_map(|started| (Just(started), 0..=started))
}

fn all_arms() -> impl Strategy<Value = AllArms> {
    prop_oneof![Just(AllArms::Yes), Just(AllArms::No), Just(AllArms::Unknown)]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// A figure needs three works that may have reported all arms, holds no other, and is the one of the same counts by
    /// growers that nothing caps.
    #[test]
    fn a_figure_needs_three_works_that_may_have_reported_all_arms(
        printed_rows in prop::collection::vec((count(), all_arms()), 1..7),
    ) {
        let rows: Vec<(u32, u32, AllArms)> = printed_rows.iter().map(|((n, k), all)| (*n, *k, *all)).collect();
        let answer = given_of(&works(&rows), &Evidence::default(), &PoolQuestion::about("Ostrava tarda"));
        let answer = answer.expect("printed");
        let [method] = answer.methods.as_slice() else { panic!("one method: {:?}", answer.methods) };
        let fit: Vec<(u32, u32)> =
            rows.iter().filter(|row| row.2 != AllArms::No).map(|row| (row.0, row.1)).collect();
        prop_assert_eq!(method.pooled.is_some(), fit.len() >= 3);
        prop_assert_eq!(method.rows.len(), rows.len());
        prop_assert_eq!(method.rows.iter().filter(|row| row.in_pool).count(), fit.len());
        if let Some(pool) = &method.pooled {
            let given = Given::file();
            let same = pool_beside(&growers_of(&fit), &Beside { given, ..Beside::default() }, &PoolQuestion::about("x y"));
            let same = same.expect("an answer").methods.remove(0);
            prop_assert_eq!((pool.started, pool.rooted, pool.growers), (same.started, same.rooted, 0));
            prop_assert!((pool.average_rate_mean - same.fit.average_grower_rate_mean).abs() < 1e-12);
        }
    }
}

#[test]
fn growers_and_works_together_are_a_figure_of_its_own() {
    let growers = growers_of(&[(30, 12), (40, 4)]);
    let print = works(&[
        (50, 20, AllArms::Yes),
        (60, 6, AllArms::Unknown),
        (70, 50, AllArms::Yes),
        (10, 10, AllArms::No),
    ]);
    let asked = |printed| PoolQuestion { printed, ..PoolQuestion::about("Ostrava tarda") };
    let beside = given_of(&print, &growers, &asked(AskedOfPrint::Beside)).expect("printed");
    let both = beside.methods[0].with_growers.as_ref().expect("a figure");
    assert_eq!((both.growers, both.sources, both.arms), (2, 3, 3));
    assert_eq!((both.started, both.rooted), (250, 92));
    // The same five counts as growers of a table, none of them beyond the cap of a grower but 70, which print is free of.
    let same = growers_of(&[(50, 20), (60, 6), (70, 50), (30, 12), (40, 4)]);
    let given = Given::file();
    let same = pool_beside(&same, &Beside { given, ..Beside::default() }, &PoolQuestion::about("x y"))
        .expect("an answer");
    assert!((both.average_rate_mean - same.methods[0].fit.average_grower_rate_mean).abs() < 1e-9);
    let not_asked = given_of(&print, &growers, &asked(AskedOfPrint::NotAsked)).expect("printed");
    assert_eq!(not_asked.methods[0].with_growers, None);
    let other = evidence(vec![with_facet(row("g", "1", "1", 30, 12), "humidity", "mist")]);
    let beside = given_of(&print, &other, &asked(AskedOfPrint::Beside)).expect("printed");
    assert_eq!(beside.methods[0].with_growers, None, "no grower tried this method");
}
