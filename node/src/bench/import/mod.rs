//! Trials from a table: one row an arm, checked whole before anything is written.
//!
//! Reading a table again adds what is new in it, such as the spring count, to the trials it names.
//! What was counted before stays unless the table says otherwise; the number put in never changes.

mod columns;
mod heading;
mod merge;
mod row;
mod share;

use std::collections::BTreeMap;

use propagule_protocol::Date;

use crate::bench::{Stage, Trial};
use crate::paper::dates::{self, DateQuestion, Reading};
use crate::table::{Problem, Problems, Table, TableError};

pub use columns::{COUNT_COLUMNS, NEEDED_COLUMNS, known as known_columns};

pub(crate) const WHAT: &str = "cannot import the trials";

/// What reading a table would do to the bench record.
#[derive(Clone, Debug, PartialEq)]
pub struct Import {
    /// Trials that are new or changed, as they would then stand.
    pub trials: Vec<Planned>,
    /// Trials that cannot be taken in, and why; empty unless they may be left out.
    pub refused: Vec<Refused>,
    /// Headings that were read as another column.
    pub mapped: BTreeMap<String, String>,
    /// Columns that were not used, as typed.
    pub unused_columns: Vec<String>,
}

/// A trial that cannot be taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// Its code, where the row has one.
    pub trial: Option<String>,
    /// Why.
    pub problem: Problem,
}

/// How a table is read.
#[derive(Clone, Debug, Default)]
pub struct Options {
    /// What headings mean, as the grower said now or before.
    pub columns: BTreeMap<String, String>,
    /// How days are read.
    pub reading: Reading,
    /// The last day on which something can have happened, where it is known.
    pub last_day: Option<Date>,
    /// Read what is right although other rows are wrong.
    pub leave_out: bool,
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
/// Everything that is wrong in the table, by row and column, up to a limit; what is wrong with single trials only
/// unless they may be left out.
pub fn read<'a>(
    file: &str,
    table: &str,
    options: &Options,
    existing: impl Fn(&str) -> Option<&'a Trial>,
    mut new_series: impl FnMut() -> String,
) -> Result<Import, TableError> {
    let mapped = heading::columns(&crate::table::header(WHAT, file, table)?, &options.columns);
    let table = Table::read_mapped(WHAT, file, table.as_bytes(), &NEEDED_COLUMNS, &mapped)?;
    ask_once_about_days(file, &table, options.reading)?;
    let (order, by_trial, mut refused) =
        rows(&table, row::Days { reading: options.reading, last: options.last_day });
    let mut trials = Vec::new();
    for code in &order {
        if refused.iter().any(|other| other.trial.as_ref() == Some(code)) {
            continue;
        }
        let mut problems = Problems::default();
        check_rows(&by_trial[code], &mut problems);
        let planned = merge::merge(code, &by_trial[code], existing(code), &mut new_series, &mut problems);
        match problems.into_vec() {
            problems if problems.is_empty() => trials.extend(planned),
            problems => refused
                .extend(problems.into_iter().map(|problem| Refused { trial: Some(code.clone()), problem })),
        }
    }
    if !refused.is_empty() && (!options.leave_out || trials.is_empty()) {
        let mut all = Problems::default();
        refused.sort_by_key(|refused| refused.problem.row);
        for refused in refused {
            all.add(refused.problem);
        }
        return all.settle(WHAT, file, ()).map(|()| unreachable!("there are problems"));
    }
    let unused_columns = table.names_beside(&known_columns());
    Ok(Import { trials, refused, mapped, unused_columns })
}

/// Rows by trial, in the order of the table, and the rows that cannot be read.
type Rows = (Vec<String>, BTreeMap<String, Vec<row::ArmRow>>, Vec<Refused>);

fn rows(table: &Table, days: row::Days) -> Rows {
    let mut order: Vec<String> = Vec::new();
    let mut by_trial: BTreeMap<String, Vec<row::ArmRow>> = BTreeMap::new();
    let mut refused = Vec::new();
    for cells in &table.rows {
        let mut problems = Problems::default();
        if let Some(row) = row::read(table, cells, days, &mut problems) {
            if !by_trial.contains_key(&row.trial) {
                order.push(row.trial.clone());
            }
            by_trial.entry(row.trial.clone()).or_default().push(row);
        } else {
            let trial = table.cell(cells, "trial").map(str::to_owned);
            let problems = problems.into_vec();
            refused.extend(problems.into_iter().map(|problem| Refused { trial: trial.clone(), problem }));
        }
    }
    (order, by_trial, refused)
}

/// Days that can be read two ways are one question for the whole table.
fn ask_once_about_days(file: &str, table: &Table, reading: Reading) -> Result<(), TableError> {
    let columns =
        ["started_on".to_owned()].into_iter().chain(Stage::ALL.map(|stage| columns::of_stage(stage, "on")));
    for column in columns {
        for row in &table.rows {
            let Some(typed) = table.cell(row, &column) else { continue };
            let Err(question) = dates::read(typed, reading) else { continue };
            let hint = match question {
                DateQuestion::TwoReadings(..) => {
                    "add --dates day-first or --dates month-first: it holds for the whole table"
                }
                DateQuestion::NeedsYear(_) => "add --year: it holds for the whole table",
                DateQuestion::NeedsOrderAndYear(..) => "add --dates day-first (or month-first) and --year",
                _ => continue,
            };
            let problem = Problem::of_cell(row.line, &column, format!("\"{typed}\" {question}"));
            return Err(TableError::single(WHAT, file, problem.hinted(hint)));
        }
    }
    Ok(())
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
