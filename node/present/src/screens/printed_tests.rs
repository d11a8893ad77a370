//! Trials in print as text: growers' answers stay to the last byte, and each arm is said once with what limits it.

use std::collections::BTreeSet;

use proptest::prelude::*;

use super::pool::Around;
use crate::text;
use propagule_answer::pool::{PoolAnswer, PrintGiven, PrintedAnswer, pool, printed};
use propagule_answer::question::{AskedOfPrint, PoolQuestion};
use propagule_evidence::Evidence;
use propagule_evidence::fixtures::{evidence, printed_works, row};
use propagule_evidence::printed::{AllArms, Grade, PrintedTrials, beside, shipped};
use propagule_protocol::Taxon;

fn given_of(trials: &PrintedTrials, growers: &Evidence, question: &PoolQuestion) -> Option<PrintedAnswer> {
    let taxon = Taxon::parse(&question.species).expect("a name");
    let tables = trials.of(&[taxon.species_key()], &taxon);
    let beside = beside(&tables, growers, &taxon, question.count);
    let no_grower = growers.rows.is_empty();
    printed(&PrintGiven { beside: &beside, trials, growers, no_grower }, question).expect("the model fits")
}

fn about(species: &str) -> PrintedAnswer {
    given_of(shipped(), &Evidence::default(), &PoolQuestion::about(species)).expect("printed")
}

fn all_species() -> BTreeSet<String> {
    shipped().arms().iter().map(|arm| arm.taxon.to_string()).collect()
}

fn growers_of(rows: &[(u32, u32)]) -> Evidence {
    let row =
        |(n, (started, rooted)): (usize, &(u32, u32))| row(&format!("g{n}"), "1", "1", *started, *rooted);
    evidence(rows.iter().enumerate().map(row).collect())
}

fn pooled_text(answer: &PoolAnswer) -> String {
    text::render(&super::pool(answer, &Around::default()).document(), 100)
}

fn count() -> impl Strategy<Value = (u32, u32)> {
    (1..200_u32).prop_flat_map(|started| (Just(started), 0..=started))
}

fn all_arms() -> impl Strategy<Value = AllArms> {
    prop_oneof![Just(AllArms::Yes), Just(AllArms::No), Just(AllArms::Unknown)]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 40, failure_persistence: None, ..ProptestConfig::default() })]

    /// Whatever is printed: the growers' answer is there to the last byte, in JSON and in words, and what follows names no
    /// work as a grower.
    #[test]
    fn growers_answers_begin_the_same_whatever_is_printed(
        growers in prop::collection::vec(count(), 1..4),
        printed_rows in prop::collection::vec((count(), all_arms()), 1..6),
        asked in prop_oneof![Just(AskedOfPrint::NotAsked), Just(AskedOfPrint::Beside)],
    ) {
        let growers = growers_of(&growers);
        let question = PoolQuestion { printed: asked, ..PoolQuestion::about("Ostrava tarda") };
        let without = pool(&growers, &question).expect("an answer");
        let rows: Vec<(u32, u32, AllArms)> = printed_rows.iter().map(|((n, k), all)| (*n, *k, *all)).collect();
        let print = given_of(&printed_works(&rows), &growers, &question);
        prop_assert!(print.is_some());
        let with = PoolAnswer { printed: print, ..without.clone() };
        let json = |answer: &PoolAnswer| {
            let mut json = serde_json::to_value(answer).expect("serialises");
            json.as_object_mut().expect("an object").remove("printed");
            json.to_string()
        };
        prop_assert_eq!(json(&with), json(&without));
        let (said, before) = (pooled_text(&with), pooled_text(&without));
        prop_assert!(said.starts_with(&before), "{}\n---\n{}", before, said);
        let behind = &said[before.len()..];
        prop_assert!(behind.contains(&format!("{} printed source", rows.len())), "{}", behind);
        prop_assert!(!said.contains("H0") || asked == AskedOfPrint::Beside, "{}", said);
    }

    /// What is said of print in figures stands in the answer: each arm's count once, and methods in the order of their names.
    #[test]
    fn every_arm_is_said_once_in_no_order_of_rates(
        printed_rows in prop::collection::vec((count(), all_arms()), 1..7),
    ) {
        let rows: Vec<(u32, u32, AllArms)> = printed_rows.iter().map(|((n, k), all)| (*n, *k, *all)).collect();
        let growers = Evidence::default();
        let question = PoolQuestion::about("Ostrava tarda");
        let print = given_of(&printed_works(&rows), &growers, &question);
        let answer = PoolAnswer { printed: print, ..pool(&growers, &question).expect("an answer") };
        let said = pooled_text(&answer);
        prop_assert!(said.contains("No grower has reported Ostrava tarda yet."), "{}", said);
        for (n, (started, rooted, _)) in rows.iter().enumerate() {
            let source = format!("H{n} (19{n:02})");
            prop_assert_eq!(said.matches(&source).count(), 1, "{}", said);
            prop_assert!(said.contains(&format!("{rooted} of {started} rooted, ")), "{}", said);
        }
        prop_assert_eq!(said.matches("not signed or seen by the researchers").count(), 1);
    }
}

#[test]
fn a_compiled_list_is_named_in_every_line_where_its_number_stands() {
    for species in all_species() {
        let answer = about(&species);
        let lines: Vec<String> = answer
            .methods
            .iter()
            .flat_map(|method| method.rows.iter().map(|row| (method.family, row)))
            .filter(|(_, row)| row.grade == Some(Grade::C))
            .map(|(family, row)| crate::words::printed::printed_row(row, family))
            .collect();
        let marked = "laboratory germination test, from a compiled list; the paper was not read";
        assert!(lines.iter().all(|line| line.contains(marked)), "{species}");
    }
}
