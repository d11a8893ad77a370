//! Printed arms beside growers' records: what a grower transcribed from the same work counts once, and the record wins.

use std::collections::BTreeMap;

use propagule_protocol::Taxon;

use super::PrintedArm;
use super::source::doi;
use crate::row::{Evidence, EvidenceRow, Question};

/// What stands in print beside growers' own results.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PrintedBeside {
    /// Arms, those of tables first.
    pub arms: Vec<PrintedArm>,
    /// Arms of tables that are not among them, since a record has the same ones.
    pub counted_as_records: usize,
}

/// The printed arms that answer a question beside `evidence`, of which those that growers transcribed are a part unless
/// they are counted in it already. Tables hold what rooted at the first count and answer nothing else.
pub fn beside(
    tables: &[&PrintedArm],
    evidence: &Evidence,
    taxon: &Taxon,
    question: Question,
) -> PrintedBeside {
    let tables = if question == Question::default() { tables } else { &[] };
    let mut transcribed: BTreeMap<String, Vec<Counts>> = BTreeMap::new();
    let counted = evidence.rows.iter().filter(|row| row.flags.transcribed);
    for row in counted.chain(&evidence.transcribed).filter(|row| !row.pending) {
        if let Some(doi) = doi(&row.grower) {
            transcribed.entry(doi).or_default().push((row.started, row.succeeded));
        }
    }
    let is_transcribed = |arm: &PrintedArm| {
        let records = arm.doi.as_ref().and_then(|doi| transcribed.get(doi));
        records.is_some_and(|records| holds(records, &trial_of(arm, tables)))
    };
    let (as_records, of_tables): (Vec<&PrintedArm>, Vec<_>) =
        tables.iter().partition(|arm| is_transcribed(arm));
    let of_records = once_each(&evidence.transcribed, &by_work(&of_tables));
    let of_records = of_records.into_iter().map(|row| PrintedArm::of_record(row, taxon));
    PrintedBeside {
        arms: of_tables.into_iter().cloned().chain(of_records).collect(),
        counted_as_records: as_records.len(),
    }
}

/// Counts of the arms of tables by the work that they are of.
fn by_work(arms: &[&PrintedArm]) -> BTreeMap<String, Vec<Counts>> {
    let mut works: BTreeMap<String, Vec<Counts>> = BTreeMap::new();
    for arm in arms {
        if let Some(doi) = &arm.doi {
            works.entry(doi.clone()).or_default().push((arm.started, arm.succeeded));
        }
    }
    works
}

/// Counted arms of transcribed trials, without a trial that stands in a table of the same work already, if only as a part
/// of a longer one there, or that another grower transcribed from it.
fn once_each<'a>(rows: &'a [EvidenceRow], tables: &BTreeMap<String, Vec<Counts>>) -> Vec<&'a EvidenceRow> {
    let mut trials: BTreeMap<(&str, &str), Vec<&EvidenceRow>> = BTreeMap::new();
    for row in rows.iter().filter(|row| !row.pending) {
        trials.entry((&row.grower, &row.trial)).or_default().push(row);
    }
    let mut kept: Vec<&EvidenceRow> = Vec::new();
    for ((source, _), trial) in trials {
        let counts = |rows: &[&EvidenceRow]| -> Vec<Counts> {
            let same = rows.iter().filter(|row| row.grower == source);
            same.map(|row| (row.started, row.succeeded)).collect()
        };
        let in_tables = doi(source).and_then(|doi| tables.get(&doi)).map_or(&[][..], Vec::as_slice);
        if !holds(&counts(&kept), &counts(&trial)) && !holds(in_tables, &counts(&trial)) {
            kept.extend(trial);
        }
    }
    kept
}

/// Pieces put in and successes of an arm.
type Counts = (u32, u32);

/// Counts of all arms of an arm's trial.
fn trial_of(arm: &PrintedArm, tables: &[&PrintedArm]) -> Vec<Counts> {
    let same = tables.iter().filter(|other| (&other.source, &other.trial) == (&arm.source, &arm.trial));
    same.map(|arm| (arm.started, arm.succeeded)).collect()
}

/// Whether each of `some` is among `all`, as often as it stands there.
fn holds(all: &[Counts], some: &[Counts]) -> bool {
    let count = |counts: &[Counts], one: &Counts| counts.iter().filter(|other| *other == one).count();
    some.iter().all(|one| count(some, one) <= count(all, one))
}
