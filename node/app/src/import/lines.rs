//! Every line of a table with what becomes of it, as data.

use std::collections::BTreeMap;

use crate::outcome::import::{
    CellShown, CountsShown, FilledDown, ImportLine, LineOutcome, RowCountSays, RowSays, RowShown,
};
use crate::outcome::said::Said;
use crate::tables::{Dated, Import, OtherLine, Outcome, RowOutcome};
use propagule_bench::Stage;

/// The lines in the order of the file.
pub(super) fn of(import: &Import) -> Vec<ImportLine> {
    let mut lines: BTreeMap<u64, ImportLine> = BTreeMap::new();
    for (number, other) in &import.others {
        lines.insert(*number, of_other(*number, other));
    }
    for row in import.trials.iter().flat_map(|planned| &planned.rows) {
        lines.insert(row.line, of_row(row));
    }
    for number in &import.asked {
        lines.insert(*number, plain(*number, LineOutcome::Row(Outcome::Asked), Some(Said::LineWaits)));
    }
    for refused in &import.refused {
        let Some(number) = refused.problem.row else { continue };
        let outcome = LineOutcome::Row(Outcome::Refused);
        let why = Said::WhatOf { fault: refused.problem.fault.clone() };
        let fresh = || ImportLine {
            trial: refused.trial.clone(),
            column: refused.problem.column.clone(),
            ..plain(number, outcome.clone(), Some(why))
        };
        lines.entry(number).and_modify(|known| known.outcome = outcome.clone()).or_insert_with(fresh);
    }
    lines.into_values().collect()
}

fn plain(line: u64, outcome: LineOutcome, why: Option<Said>) -> ImportLine {
    ImportLine { line, outcome, trial: None, column: None, why, row: None }
}

fn of_other(number: u64, line: &OtherLine) -> ImportLine {
    let has_why = matches!(line, OtherLine::Sum(_) | OtherLine::SaidTotal);
    let why = has_why.then(|| Said::TableLineWhy { line: line.clone() });
    plain(number, LineOutcome::Other(Said::TableLine { line: line.clone() }), why)
}

fn of_row(row: &RowOutcome) -> ImportLine {
    let why = row.changed.clone().map(Said::CellChanged);
    let line = plain(row.line, LineOutcome::Row(row.outcome), why);
    ImportLine { trial: Some(row.trial.clone()), row: Some(Box::new(shown(row))), ..line }
}

fn shown(row: &RowOutcome) -> RowShown {
    let stage = |stage| row.played.iter().rfind(|dated| dated.stage == Some(stage)).map(counts);
    let checks = row.played.iter().filter(|dated| dated.stage.is_none());
    let changed = row.changed.as_ref();
    let was = |was: &Option<String>| was.as_deref().map_or(CellShown::Said(Said::NotCounted), cell);
    RowShown {
        arm: row.arm.clone(),
        pot: row.pot.clone(),
        species: row.species.clone(),
        started: row.started,
        operator: row.operator.clone(),
        suckers: row.suckers,
        not_counted_yet: row.is_pending(),
        says: Said::TableRow(Box::new(says(row))),
        was: changed.map(|changed| was(&changed.was)),
        now: changed.map(|changed| cell(&changed.now)),
        filled: filled(row),
        lift: stage(Stage::Lift),
        season: stage(Stage::Season),
        spring: stage(Stage::Spring),
        last: stage(Stage::Final),
        checks: checks.map(|dated| (dated.on.to_string(), counts(dated))).collect(),
    }
}

fn says(row: &RowOutcome) -> RowSays {
    let count = |dated: &Dated| RowCountSays { stage: dated.stage, on: dated.on, counts: counts(dated) };
    RowSays {
        kind: row.kind,
        started: row.started,
        counts: row.played.iter().map(count).collect(),
        suckers: row.suckers,
        filled: filled(row),
    }
}

fn filled(row: &RowOutcome) -> Vec<FilledDown> {
    row.filled.iter().map(|(column, line)| FilledDown { column: column.clone(), line: *line }).collect()
}

fn cell(text: &str) -> CellShown {
    text.parse().map_or_else(|_| CellShown::Text(text.to_owned()), CellShown::Number)
}

fn counts(dated: &Dated) -> CountsShown {
    let tally = &dated.full;
    let rest = dated.not_mentioned.filter(|(count, _)| *count > 0);
    CountsShown {
        on: dated.on.to_string(),
        alive: tally.alive,
        rooted: tally.rooted,
        established: tally.established,
        finished: tally.finished,
        died: tally.dead.unwrap_or(0),
        lost: tally.lost.unwrap_or(0),
        not_known: tally.not_known.unwrap_or(0),
        of: dated.base,
        left_as_finished: dated.left,
        not_mentioned: rest.map(|(count, _)| count),
    }
}
