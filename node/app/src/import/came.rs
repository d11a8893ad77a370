//! What came of a table, as data.

use std::collections::{BTreeMap, BTreeSet};

use crate::outcome::import::{
    ImportCame, ImportColumn, ImportError, ImportLine, ImportTotals, ImportedTrial, LineOutcome, RefusedRow,
    TrialImport,
};
use crate::outcome::said::Said;
use crate::tables;
use crate::tables::{Change, Import, Planned, Refused, Told};
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
        error: (!went.can_save).then(|| error(import, file)),
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
        questions: import.questions.clone(),
        lines: lines(import),
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

fn error(import: &Import, file: &str) -> ImportError {
    let all = import.error(file);
    ImportError { message: all.to_string(), hints: all.hints().into_iter().map(str::to_owned).collect() }
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
        why: problem.why.clone(),
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

/// Every line of the file with what becomes of it.
fn lines(import: &Import) -> Vec<ImportLine> {
    let mut lines: BTreeMap<u64, ImportLine> = BTreeMap::new();
    for (line, what, why) in &import.others {
        lines.insert(*line, plain(*line, LineOutcome::Other(what.clone()), why.clone()));
    }
    for row in import.trials.iter().flat_map(|planned| &planned.rows) {
        let line = plain(row.line, LineOutcome::Row(row.outcome), row.why.clone());
        let row = ImportLine { trial: Some(row.trial.clone()), row: Some(Box::new(row.shown())), ..line };
        lines.insert(row.line, row);
    }
    for line in &import.asked {
        let asked = LineOutcome::Row(tables::Outcome::Asked);
        lines.insert(*line, plain(*line, asked, Some(tables::WAITS.to_owned())));
    }
    for refused in &import.refused {
        let Some(number) = refused.problem.row else { continue };
        let outcome = LineOutcome::Row(tables::Outcome::Refused);
        let fresh = || ImportLine {
            trial: refused.trial.clone(),
            column: refused.problem.column.clone(),
            ..plain(number, outcome.clone(), Some(refused.problem.why.clone()))
        };
        lines.entry(number).and_modify(|known| known.outcome = outcome.clone()).or_insert_with(fresh);
    }
    lines.into_values().collect()
}

fn plain(line: u64, outcome: LineOutcome, why: Option<String>) -> ImportLine {
    ImportLine { line, outcome, trial: None, column: None, why, row: None }
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
