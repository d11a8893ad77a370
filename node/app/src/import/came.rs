//! What came of a table, as data.

use std::collections::{BTreeMap, BTreeSet};

use super::lines;
use crate::outcome::import::{
    ImportCame, ImportColumn, ImportError, ImportQuestion, ImportTotals, ImportedTrial, RefusedRow,
    TrialImport,
};
use crate::outcome::said::Said;
use crate::tables;
use crate::tables::{Change, Import, Planned, Question, Refused, Says, Told};
use crate::trial::near_names;
use propagule_bench::dates::When;
use propagule_bench::kind::Kind;
use propagule_bench::{Stage, Tally, Trial, What};

/// How far reading a table went.
#[derive(Clone, Copy, Debug)]
pub(super) struct Went {
    /// It was to be saved.
    pub(super) wanted: bool,
    /// It can be saved.
    pub(super) can_save: bool,
}

impl Went {
    /// Whether it is saved.
    pub(super) fn saved(self) -> bool {
        self.wanted && self.can_save
    }
}

/// What came of a table, or would.
pub(super) fn of(import: &Import, file: &str, went: Went) -> TrialImport {
    let left_out: BTreeSet<u64> = import.refused.iter().filter_map(|refused| refused.problem.row).collect();
    let unused_columns = import.unused_columns();
    TrialImport {
        dry_run: !went.saved(),
        saved: went.saved(),
        can_save: went.can_save,
        came: came(import, went),
        error: (!went.can_save).then(|| ImportError::of(import.error(file))),
        sheet: import.sheet.clone(),
        title: import.title.clone(),
        trials: import.trials.iter().map(imported).collect(),
        refused: import.refused.iter().map(refused).collect(),
        left_out: left_out.into_iter().collect(),
        mapped: import.mapped(),
        perhaps_columns: perhaps_columns(&unused_columns),
        unused_columns,
        totals: totals(import).map(Said::ImportTotals),
        columns: import.columns.iter().map(column).collect(),
        questions: import.questions.iter().map(question).collect(),
        lines: lines::of(import),
        perhaps_plants: perhaps_plants(import),
    }
}

fn came(import: &Import, went: Went) -> ImportCame {
    let is_known = import.trials.iter().all(|planned| planned.change == Change::Same);
    match went {
        _ if is_known && !import.trials.is_empty() && import.refused.is_empty() => ImportCame::NothingNew,
        _ if went.saved() => ImportCame::Saved,
        Went { can_save: true, .. } => ImportCame::Ready,
        _ => ImportCame::NotSaved,
    }
}

fn question(question: &Question) -> ImportQuestion {
    let (text, hint) = match &question.says {
        Says::Open(fault) => {
            (Said::WhatOf { fault: fault.clone() }, Some(Said::HintOf { fault: fault.clone() }))
        }
        Says::Stated(reading) => (Said::ReadingStated { reading: reading.clone() }, None),
    };
    ImportQuestion {
        row: question.row,
        column: question.column.clone(),
        text,
        hint,
        is_open: question.is_open(),
        field: question.field.clone(),
        choices: question.choices.clone(),
    }
}

fn imported(planned: &Planned) -> ImportedTrial {
    let Planned { trial, change, entries, .. } = planned;
    let stages = entries.iter().filter_map(|(_, entry)| match &entry.what {
        What::Counted { stage, .. } => *stage,
        _ => None,
    });
    ImportedTrial {
        trial: trial.code.clone(),
        change: *change,
        arms: trial.arms.len(),
        species: trial.species.clone(),
        kind: trial.kind(),
        started: trial.started(),
        counted_at: stages.max().or(trial.last_stage()),
    }
}

fn refused(refused: &Refused) -> RefusedRow {
    let problem = &refused.problem;
    RefusedRow {
        trial: refused.trial.clone(),
        row: problem.row,
        column: problem.column.clone(),
        why: Said::WhatOf { fault: problem.fault.clone() },
    }
}

fn column(column: &tables::Taken) -> ImportColumn {
    ImportColumn {
        heading: column.heading.clone(),
        taken_for: (column.told != Told::Unused).then(|| column.name.clone()),
        told: column.told,
        day: column.day.clone(),
        per_cent: column.is_per_cent,
    }
}

/// The columns that headings nobody uses are perhaps slips of.
fn perhaps_columns(unused: &[String]) -> BTreeMap<String, String> {
    let known = tables::known_columns();
    let near = |name: &String| {
        let near = propagule_files::closest(name, known.iter().map(String::as_str), 1);
        Some((name.clone(), near.into_iter().next()?))
    };
    unused.iter().filter_map(near).collect()
}

/// Plants that the list does not have are taken in; a slip of the pen is asked about.
fn perhaps_plants(import: &Import) -> BTreeMap<String, Vec<String>> {
    let species = import.trials.iter().map(|planned| planned.trial.species.clone());
    let near = species.map(|name| (near_names(&name), name));
    near.filter(|(near, _)| !near.is_empty()).map(|(near, name)| (name, near)).collect()
}

/// Tallies at lift that an import would write or correct.
fn lift(planned: &Planned) -> impl Iterator<Item = (&Tally, When)> {
    planned
        .entries
        .iter()
        .filter_map(|(_, entry)| match &entry.what {
            What::Counted { stage: Some(Stage::Lift), tallies, .. } => Some((tallies, entry.on)),
            _ => None,
        })
        .flat_map(|(tallies, on)| tallies.iter().map(move |tally| (tally, on)))
}

/// All trials together; what is not counted yet stands beside, never in the share.
fn totals(import: &Import) -> Option<ImportTotals> {
    if import.trials.len() < 2 {
        return None;
    }
    let trials = || import.trials.iter().map(|planned| &planned.trial);
    let tallies =
        || import.trials.iter().flat_map(|planned| lift(planned).map(move |found| (planned, found.0)));
    let looked = tallies().filter(|(_, tally)| tally.rooted.is_some());
    let weeks: Vec<i32> = import
        .trials
        .iter()
        .filter_map(|planned| {
            Some(lift(planned).next()?.1.middle().weeks_since(planned.trial.started_on.middle()))
        })
        .collect();
    Some(ImportTotals {
        kind: Kind::of_all(trials()),
        trials: import.trials.len(),
        started: trials().map(Trial::started).sum(),
        rooted: tallies().filter_map(|(_, tally)| tally.rooted).map(u32::from).sum(),
        looked: looked.map(|(planned, tally)| started_of(&planned.trial, tally)).sum(),
        weeks: weeks.iter().min().copied().zip(weeks.iter().max().copied()),
    })
}

fn started_of(trial: &Trial, tally: &Tally) -> u32 {
    let Some(arm) = trial.arm(tally.arm) else { return 0 };
    let pot = arm.replicates.iter().find(|pot| Some(&pot.code) == tally.replicate.as_ref());
    u32::from(pot.map_or(arm.started, |pot| pot.started))
}
