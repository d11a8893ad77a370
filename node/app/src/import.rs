//! Trials from a table: previewed, and saved once nothing is open.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::outcome::Outcome;
use super::trial::{Series, random_mark};
use super::{App, Reply};
use crate::tables;
use crate::tables::{Import, Known, Options};
use propagule_bench::{Bench, Event};
use propagule_files::fault::Fault;

mod came;
mod lines;

use came::Went;

/// A table of trials, and how it is read.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
pub struct Table {
    /// Name of the file, for messages only.
    pub file: String,
    /// Its bytes, as base64.
    pub bytes: String,
    /// What was said of how to read it.
    pub options: Options,
    /// Save what is ready; otherwise only say what would happen.
    pub save: bool,
}

impl Table {
    /// A table with its bytes.
    pub fn new(file: &str, bytes: &[u8], options: Options, save: bool) -> Self {
        use base64::Engine as _;
        let bytes = base64::engine::general_purpose::STANDARD.encode(bytes);
        Self { file: file.to_owned(), bytes, options, save }
    }
}

/// Reads a table of trials, and saves it where that was asked for and nothing stands against it.
pub(super) fn import(app: &App, table: Table) -> Result<Reply, Fault> {
    use base64::Engine as _;
    let bytes = base64::engine::general_purpose::STANDARD
        .decode(&table.bytes)
        .map_err(|e| Fault::usage("table-damaged").with("e", &e))?;
    let mut options = checked(table.options)?;
    options.last_day = super::bench::last_day(app.clock());
    options.dialect = app.dialect();
    let mut bench = app.bench();
    let mut series = Series::default();
    let mut import = preview(&bench, &table.file, &bytes, &options, &mut series)?;
    give_marks(&bench, &mut import)?;
    series.failure.map_or(Ok(()), Err)?;
    let is_whole = import.refused.is_empty() || options.leave_out;
    let can_save = !import.is_open() && is_whole && !import.trials.is_empty();
    let went = Went { wanted: table.save, can_save };
    if went.saved() {
        let events = events(&bench, &import);
        bench.record_all(events)?;
    }
    let outcome = came::of(&import, &table.file, went);
    Ok(Reply::done(Outcome::TrialImport(Box::new(outcome))))
}

fn preview(
    bench: &Bench,
    file: &str,
    bytes: &[u8],
    options: &Options,
    series: &mut Series,
) -> Result<Import, Fault> {
    let mut entries: BTreeMap<&str, Vec<_>> = BTreeMap::new();
    for (number, entry) in bench.entries() {
        if let Some(trial) = entry.what.trial() {
            entries.entry(trial).or_default().push((number, entry));
        }
    }
    let known = |code: &str| Known {
        trial: bench.trial(code),
        entries: entries.get(code).cloned().unwrap_or_default(),
    };
    let before = |headings: &[String]| bench.columns(headings);
    tables::read(file, bytes, options, before, known, || series.next())
}

/// What an import writes: nothing for what is known already.
fn events(bench: &Bench, import: &Import) -> Vec<Event> {
    let mut events = Vec::new();
    for planned in &import.trials {
        if planned.is_described {
            events.push(Event::TrialRecorded { trial: planned.trial.clone() });
        }
        for (target, entry) in &planned.entries {
            let entry = entry.clone();
            events.push(match target {
                None => Event::Entered { entry },
                Some(target) => Event::Corrected { target: *target, entry: Some(entry) },
            });
        }
    }
    let headings = import.headings();
    let columns: BTreeMap<String, String> = import
        .columns
        .iter()
        .filter(|column| !column.heading.is_empty())
        .map(|column| (column.heading.clone(), column.name.clone()))
        .collect();
    if bench.columns(&headings) != columns {
        events.push(Event::ColumnsMapped { columns, headings });
    }
    events
}

/// Gives each grower that trials are entered for one random mark.
fn give_marks(bench: &Bench, import: &mut Import) -> Result<(), Fault> {
    let mut given: BTreeMap<String, String> = BTreeMap::new();
    for planned in &mut import.trials {
        let Some(other) = planned.trial.entered_for.as_mut().filter(|other| other.mark.is_empty()) else {
            continue;
        };
        let known = bench.mark_of(&other.name).map(str::to_owned).or_else(|| given.get(&other.name).cloned());
        other.mark = known.map_or_else(random_mark, Ok)?;
        given.insert(other.name.clone(), other.mark.clone());
    }
    Ok(())
}

/// The options with the names of columns that they mean.
fn checked(mut options: Options) -> Result<Options, Fault> {
    let named = |option: String, column: &str| {
        tables::column_named(column).map_err(|near| {
            Fault::usage("column-unknown").with("option", &option).with("column", column).near(&near)
        })
    };
    for (heading, column) in &mut options.columns {
        *column = named(format!("--map {heading}={column}"), column)?;
    }
    let set = std::mem::take(&mut options.set);
    for (column, value) in set {
        let name = named(format!("--set {column}={value}"), &column)?;
        options.set.insert(name, value);
    }
    if let Some((word, meaning)) = options.words.iter().find(|(_, meaning)| !tables::is_meaning(meaning)) {
        return Err(Fault::usage("word-meaning-unknown").with("word", word).with("meaning", meaning));
    }
    if let Some((line, what)) =
        options.rows.iter().find(|(_, what)| !matches!(what.as_str(), "total" | "plants"))
    {
        return Err(Fault::usage("row-meaning-unknown").with("line", line).with("what", what));
    }
    Ok(options)
}
