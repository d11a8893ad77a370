//! Trials from a table: one row an arm, checked whole before anything is written.
//!
//! Reading a table again adds what is new in it, such as the spring count, to the trials it names.
//! What was counted before stays unless the table says otherwise; the number put in never changes.

mod columns;
mod merge;
mod row;

use std::collections::BTreeMap;

use crate::bench::{Stage, Trial};
use crate::table::{Problem, Problems, Table, TableError};

pub use columns::{COUNT_COLUMNS, NEEDED_COLUMNS, known as known_columns};

pub(crate) const WHAT: &str = "cannot import the trials";

/// What reading a table would do to the bench record.
#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// Trials that are new or changed, as they would then stand.
    pub trials: Vec<Planned>,
    /// Columns that were not used, as typed.
    pub unused_columns: Vec<String>,
}

/// One trial of an import.
#[derive(Clone, Debug, PartialEq)]
pub struct Planned {
    /// The trial as it would then stand.
    pub trial: Trial,
    /// What happens to it.
    pub change: Change,
}

/// What an import does to a trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Change {
    /// It is new.
    New,
    /// Something is added or corrected.
    Updated,
    /// Nothing changes.
    Same,
}

/// Reads a table against the trials that are there already.
///
/// `new_series` gives the random name of each new trial.
///
/// # Errors
/// Everything that is wrong in the table, by row and column, up to a limit.
pub fn read<'a>(
    file: &str,
    table: &str,
    existing: impl Fn(&str) -> Option<&'a Trial>,
    mut new_series: impl FnMut() -> String,
) -> Result<Import, TableError> {
    let table = Table::read(WHAT, file, table.as_bytes(), &NEEDED_COLUMNS)?;
    let mut problems = Problems::default();
    let mut order: Vec<String> = Vec::new();
    let mut by_trial: BTreeMap<String, Vec<row::ArmRow>> = BTreeMap::new();
    for cells in &table.rows {
        if let Some(row) = row::read(&table, cells, &mut problems) {
            if !by_trial.contains_key(&row.trial) {
                order.push(row.trial.clone());
            }
            by_trial.entry(row.trial.clone()).or_default().push(row);
        }
    }
    let mut trials = Vec::new();
    for code in &order {
        let rows = &by_trial[code];
        check_rows(rows, &mut problems);
        trials.extend(merge::merge(code, rows, existing(code), &mut new_series, &mut problems));
    }
    let unused_columns = table.names_beside(&known_columns());
    problems.settle(WHAT, file, Import { trials, unused_columns })
}

/// Rows of one trial must agree, and name each arm once.
fn check_rows(rows: &[row::ArmRow], problems: &mut Problems) {
    let first = &rows[0];
    for (index, row) in rows.iter().enumerate() {
        if rows[..index].iter().any(|other| other.label == row.label) {
            let why =
                format!("arm \"{}\" of trial \"{}\" stands in an earlier row already", row.label, row.trial);
            problems.add(
                Problem::of_cell(row.line, "arm", why)
                    .hinted("one row an arm: give each its own label, or add the counts up"),
            );
        }
        for column in differing(row, rows) {
            let why = format!("differs from an earlier row of trial \"{}\" (row {})", row.trial, first.line);
            problems.add(
                Problem::of_cell(row.line, &column, why).hinted(
                    "rows of one trial share species, place and days; use another trial code otherwise",
                ),
            );
        }
    }
}

/// Columns of the whole trial in which a row says something else than the first row that says anything.
fn differing(row: &row::ArmRow, rows: &[row::ArmRow]) -> Vec<String> {
    let mut columns = Vec::new();
    let place = rows.iter().find_map(|row| row.place.as_ref());
    let fixed = [
        ("species", row.species != rows[0].species),
        ("started_on", row.started_on != rows[0].started_on),
        ("place", row.place.is_some() && row.place.as_ref() != place),
    ];
    columns.extend(fixed.iter().filter(|(_, differs)| *differs).map(|(column, _)| (*column).to_owned()));
    for (index, stage) in Stage::ALL.into_iter().enumerate() {
        let day = rows.iter().find_map(|row| row.stages[index].0);
        if row.stages[index].0.is_some_and(|own| Some(own) != day) {
            columns.push(columns::of_stage(stage, "on"));
        }
    }
    columns
}

#[cfg(test)]
mod tests;
