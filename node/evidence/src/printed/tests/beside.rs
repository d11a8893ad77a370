//! Records that growers transcribed, beside tables of the same works.

use propagule_protocol::Taxon;

use super::of;
use crate::fixtures::row;
use crate::printed::{PrintedArm, PrintedBeside, beside};
use crate::row::{Evidence, EvidenceRow, Question, RowFlags};

const SPECIES: &str = "Artemisia tridentata";

/// A transcribed record with one arm for each pair of pieces put in and successes.
fn record(doi: &str, author: &str, counts: &[(u32, u32)]) -> Vec<EvidenceRow> {
    let arm = |(number, (started, succeeded)): (usize, &(u32, u32))| EvidenceRow {
        publisher: author.to_owned(),
        trial: format!("{author}/t"),
        flags: RowFlags { transcribed: true, perhaps_chosen: true, ..RowFlags::default() },
        ..row(&format!("doi:{doi}"), "t", &number.to_string(), *started, *succeeded)
    };
    counts.iter().enumerate().map(arm).collect()
}

fn shipped_counts() -> Vec<(u32, u32)> {
    of(SPECIES).iter().map(|arm| (arm.started, arm.succeeded)).collect()
}

fn with(evidence: &Evidence) -> PrintedBeside {
    beside(&of(SPECIES), evidence, &Taxon::parse(SPECIES).expect("a name"), Question::default())
}

fn left_out(rows: Vec<EvidenceRow>) -> Evidence {
    Evidence { transcribed: rows, ..Evidence::default() }
}

fn total(arms: &[PrintedArm]) -> (u32, u32) {
    arms.iter().fold((0, 0), |sum, arm| (sum.0 + arm.started, sum.1 + arm.succeeded))
}

#[test]
fn the_same_arms_count_once_and_the_record_wins() {
    let counts = shipped_counts();
    let once = with(&left_out(record("10.3390/plants9121717", "a", &counts)));
    assert_eq!((once.counted_as_records, once.arms.len()), (5, 5));
    assert!(once.arms.iter().all(|arm| arm.grade.is_none() && arm.cluster() == "doi:10.3390/plants9121717"));
    assert_eq!(total(&once.arms), (675, 266));
    // Where the reader counts transcribed records among growers' results, nothing is left to show beside them.
    let counted = Evidence { rows: record("10.3390/PLANTS9121717", "a", &counts), ..Evidence::default() };
    assert_eq!((with(&counted).counted_as_records, with(&counted).arms.len()), (5, 0));
}

#[test]
fn other_counts_or_another_work_stand_beside() {
    let mut counts = shipped_counts();
    counts[0].1 += 1;
    let other_counts = with(&left_out(record("10.3390/plants9121717", "a", &counts)));
    assert_eq!((other_counts.counted_as_records, other_counts.arms.len()), (0, 10));
    let clusters: std::collections::BTreeSet<String> =
        other_counts.arms.iter().map(PrintedArm::cluster).collect();
    assert_eq!(clusters.len(), 1, "one work is one source however often it is transcribed");
    let other_work = with(&left_out(record("10.1000/182", "a", &shipped_counts())));
    assert_eq!((other_work.counted_as_records, other_work.arms.len()), (0, 10));
}

#[test]
fn two_growers_who_transcribe_one_work_count_once() {
    let counts = shipped_counts();
    let mut rows = record("10.3390/plants9121717", "a", &counts);
    rows.extend(record("10.3390/plants9121717", "b", &counts));
    assert_eq!(total(&with(&left_out(rows)).arms), (675, 266));
}

#[test]
fn what_is_not_counted_yet_stands_nowhere() {
    let mut rows = record("10.3390/plants9121717", "a", &shipped_counts());
    for row in &mut rows {
        row.pending = true;
    }
    let beside = with(&left_out(rows));
    assert_eq!((beside.counted_as_records, beside.arms.len()), (0, 5));
    assert!(beside.arms.iter().all(|arm| arm.grade.is_some()));
}

#[test]
fn a_part_of_a_work_that_a_grower_transcribed_counts_once_too() {
    let counts = shipped_counts();
    let some = with(&left_out(record("10.3390/plants9121717", "a", &counts[1..3])));
    assert_eq!((some.counted_as_records, total(&some.arms)), (0, (675, 266)));
    assert!(some.arms.iter().all(|arm| arm.grade.is_some()), "the table has more of it");
}
