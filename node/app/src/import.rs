//! Trials from a table: previewed, and saved once nothing is open.

use std::collections::{BTreeMap, BTreeSet};

use serde::{Deserialize, Serialize};
use serde_json::json;

use super::trial::{Series, random_mark};
use super::{App, Reply};
use crate::tables;
use crate::tables::{Change, Import, Known, Options, Planned, Told};
use propagule_bench::{Bench, Event};
use propagule_files::fault::Fault;

mod words;

/// A table of trials, and how it is read.
#[derive(Clone, Debug, Serialize, Deserialize)]
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
    let mut bench = app.bench();
    let mut series = Series::default();
    let mut import = preview(&bench, &table.file, &bytes, &options, &mut series)?;
    give_marks(&bench, &mut import)?;
    series.failure.map_or(Ok(()), Err)?;
    let is_whole = import.refused.is_empty() || options.leave_out;
    let can_save = !import.is_open() && is_whole && !import.trials.is_empty();
    let saved = table.save && can_save;
    if saved {
        let events = events(&bench, &import);
        bench.record_all(events)?;
    }
    let problems = import.error(&table.file);
    let error = (!can_save).then(|| json!({ "message": problems.to_string(), "hints": problems.hints() }));
    let left_out: Vec<_> = import.refused.iter().filter_map(|refused| refused.problem.row).collect();
    let left_out: BTreeSet<u64> = left_out.into_iter().collect();
    let json = json!({
        "format": "propagule.import/1",
        "dry_run": !saved,
        "saved": saved,
        "can_save": can_save,
        "error": error,
        "sheet": import.sheet,
        "trials": import.trials.iter().map(planned_json).collect::<Vec<_>>(),
        "refused": import.refused.iter().map(refused_json).collect::<Vec<_>>(),
        "left_out": left_out,
        "mapped": import.mapped(),
        "unused_columns": import.unused_columns(),
        "totals": words::totals(&import),
        "columns": import.columns.iter().map(column_json).collect::<Vec<_>>(),
        "questions": import.questions.iter().map(question_json).collect::<Vec<_>>(),
        "lines": lines_json(&import),
    });
    Ok(Reply::report(words::text(&import, saved, can_save, table.save), json))
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
    Ok(tables::read(file, bytes, options, before, known, || series.next())?)
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

fn planned_json(planned: &Planned) -> serde_json::Value {
    json!({ "trial": planned.trial.code, "change": change_word(planned.change), "arms": planned.trial.arms.len() })
}

fn change_word(change: Change) -> &'static str {
    match change {
        Change::New => "new",
        Change::Updated => "updated",
        Change::Same => "unchanged",
    }
}

fn refused_json(refused: &tables::Refused) -> serde_json::Value {
    let problem = &refused.problem;
    json!({ "trial": refused.trial, "row": problem.row, "column": problem.column, "why": problem.why })
}

fn column_json(column: &tables::Taken) -> serde_json::Value {
    let taken = (column.told != Told::Unused).then_some(column.name.as_str());
    json!({ "heading": column.heading, "taken_for": taken, "told": column.told.word(), "day": column.day, "per_cent": column.is_per_cent })
}

fn question_json(question: &tables::Question) -> serde_json::Value {
    json!({ "text": question.text, "hint": question.hint, "line": question.row, "column": question.column,
        "open": question.is_open, "field": question.field, "choices": question.choices })
}

/// One object a line of the file.
fn lines_json(import: &Import) -> Vec<serde_json::Value> {
    let mut lines: BTreeMap<u64, serde_json::Value> = BTreeMap::new();
    for (line, what, why) in &import.others {
        lines.insert(*line, json!({ "line": line, "outcome": what, "why": why }));
    }
    for row in import.trials.iter().flat_map(|planned| &planned.rows) {
        lines.insert(row.line, row.json());
    }
    for line in &import.asked {
        lines.insert(
            *line,
            json!({ "line": line, "outcome": tables::Outcome::Asked.word(), "why": "waits for an answer" }),
        );
    }
    for refused in &import.refused {
        let Some(line) = refused.problem.row else { continue };
        let word = tables::Outcome::Refused.word();
        lines.entry(line).and_modify(|known| known["outcome"] = json!(word)).or_insert_with(|| {
            json!({ "line": line, "outcome": word, "trial": refused.trial, "column": refused.problem.column, "why": refused.problem.why })
        });
    }
    lines.into_values().collect()
}
