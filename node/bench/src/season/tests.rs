use super::*;
use crate::fates::FateFault;
use crate::trial::{Arm, Replicate};

fn day(text: &str) -> When {
    When::day(text.parse().expect("a day"))
}

fn pot(number: u8) -> Replicate {
    Replicate { code: format!("P{number}"), started: 4, pot: None, stock_plant: None, operator: None }
}

/// Powder in P1 to P3, none in P4 to P6, four pieces each.
pub(crate) fn two_arms() -> Trial {
    let arm = |number: u8, label: &str, auxin: &str, pots: [u8; 3]| Arm {
        number,
        label: label.to_owned(),
        started: 12,
        facets: [("auxin".to_owned(), auxin.to_owned())].into(),
        replicates: pots.map(pot).into(),
        ..Arm::default()
    };
    Trial {
        arms: vec![
            arm(1, "powder", "powder, strength unknown", [1, 2, 3]),
            arm(2, "none", "none", [4, 5, 6]),
        ],
        ..Trial::empty("L1", "Lumetta rosea", day("2026-06-06"))
    }
}

fn counted(on: &str, stage: Option<Stage>, tallies: &[&str]) -> Entry {
    let trial = two_arms();
    let tallies = tallies
        .iter()
        .map(|text| crate::typed::tally::read_tally(text, &trial, stage).expect("reads"))
        .collect();
    let what = What::Counted { trial: trial.code, stage, tallies, is_blind: false, law: Law::Fates };
    Entry { on: day(on), what, note: None, files: Vec::new(), once: None }
}

/// The season of story A.
fn story() -> Vec<Entry> {
    let lift =
        ["P1:rooted=4", "P2:rooted=3", "P3:rooted=2,green=2", "P4:rooted=3,green=1", "P6:rooted=3,dead=1"];
    vec![
        counted("2026-07-04", None, &["P2:dead=1"]),
        counted("2026-07-20", None, &["P5:lost=4,cause=tipped"]),
        counted("2026-08-29", Some(Stage::Lift), &lift),
    ]
}

fn numbered(entries: &[Entry]) -> impl Iterator<Item = (u64, &Entry)> {
    (1..).zip(entries)
}

#[test]
fn counts_of_pots_become_counts_of_arms() {
    let (trial, entries) = (two_arms(), story());
    let season = Season::new(&trial, numbered(&entries));
    assert_eq!(season.faults, []);
    let stands = season.as_it_stands();
    assert_eq!(stands.lift_on, Some(day("2026-08-29")));
    let lift = |arm: usize| stands.arms[arm].lift.expect("counted");
    assert_eq!(
        (lift(0).rooted, lift(0).alive, lift(0).dead, lift(0).lost),
        (Some(9), Some(11), Some(1), Some(0))
    );
    // P5 was tipped weeks before: nothing of it is left to count, and its four are lost.
    assert_eq!(
        (lift(1).rooted, lift(1).alive, lift(1).dead, lift(1).lost),
        (Some(6), Some(7), Some(1), Some(4))
    );
    assert_eq!(stands.arms[1].replicate_counts[&Stage::Lift], Some(vec![3, 0, 3]));
}

#[test]
fn an_arm_is_pending_until_every_pot_is_counted() {
    let (trial, mut entries) = (two_arms(), story());
    entries[2] =
        counted("2026-08-29", Some(Stage::Lift), &["P1:rooted=4", "P2:rooted=3", "P4:rooted=3,green=1"]);
    let stands = Season::new(&trial, numbered(&entries)).as_it_stands();
    assert!(stands.arms.iter().all(|arm| arm.lift.is_none()), "P3 and P6 are not counted");
}

#[test]
fn the_order_of_typing_does_not_matter() {
    let (trial, entries) = (two_arms(), story());
    let forwards = Season::new(&trial, numbered(&entries)).as_it_stands();
    let late: Vec<Entry> = entries.iter().rev().cloned().collect();
    assert_eq!(Season::new(&trial, numbered(&late)).as_it_stands(), forwards);
}

#[test]
fn what_contradicts_an_earlier_count_is_named_and_left_out() {
    let (trial, mut entries) = (two_arms(), story());
    entries.insert(1, counted("2026-07-10", None, &["P2:dead=4"]));
    let season = Season::new(&trial, numbered(&entries));
    assert_eq!(season.faults.len(), 1);
    let is_too_many =
        |fault: &SeasonFault| matches!(fault, SeasonFault::Fate(FateFault::Sum { base: 3, .. }));
    assert!(is_too_many(&season.faults[0].1), "{:?}", season.faults);
}
