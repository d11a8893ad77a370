//! Trials of the bench: import, list, show.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;

use propagule_protocol::{Taxon, names};
use serde_json::json;

use super::{App, Reply};
use crate::answer::words::kind::KindWords;
use crate::answer::words::{counted, grouped, percent};
use crate::bench::import::{self, Change, Import, Options, Planned, Refused};
use crate::bench::{Bench, Event, Stage, Trial};
use crate::error::Failure;
use crate::hex;
use crate::paper::dates::Reading;
use crate::paste::pasteable;

/// A table of trials, and how it is read.
pub(super) struct TrialTable<'a> {
    /// Name of the file, for messages only.
    pub(super) file: &'a str,
    /// Its content.
    pub(super) text: &'a str,
    /// What its headings mean, as said now.
    pub(super) columns: BTreeMap<String, String>,
    /// How its days are read.
    pub(super) reading: Reading,
    /// Take in what is right, and leave the rest out.
    pub(super) leave_out: bool,
}

/// Reads a table of trials; with `dry_run` only says what would happen.
pub(super) fn import(app: &App, table: TrialTable<'_>, dry_run: bool) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let mut series = Series::default();
    check_columns(&table.columns)?;
    let mut columns = bench.columns().clone();
    columns.extend(table.columns.clone());
    let options = Options {
        columns,
        reading: table.reading,
        last_day: super::bench::last_day(app.clock()),
        leave_out: table.leave_out || dry_run,
    };
    let mut import =
        import::read(table.file, table.text, &options, |code| bench.trial(code), || series.next())?;
    give_marks(&bench, &mut import)?;
    series.failure.map_or(Ok(()), Err)?;
    if !dry_run {
        let changed = import.trials.iter().filter(|planned| planned.change != Change::Same);
        let mut events: Vec<Event> =
            changed.map(|planned| Event::TrialRecorded { trial: planned.trial.clone() }).collect();
        if !table.columns.is_empty() {
            events.push(Event::ColumnsMapped { columns: table.columns });
        }
        bench.record_all(events)?;
    }
    let done: Vec<_> = import.trials.iter().map(planned_json).collect();
    let refused: Vec<_> = import
        .refused
        .iter()
        .map(|refused| json!({ "trial": refused.trial, "row": refused.problem.row, "column": refused.problem.column, "why": refused.problem.why }))
        .collect();
    let json = json!({
        "format": "propagule.import/1",
        "dry_run": dry_run,
        "trials": done,
        "refused": refused,
        "mapped": import.mapped,
        "unused_columns": import.unused_columns,
        "totals": totals(&import),
    });
    Ok(Reply::report(import_text(&import, dry_run), json))
}

/// Gives each grower that trials are entered for one random mark.
fn give_marks(bench: &Bench, import: &mut Import) -> Result<(), Failure> {
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

/// A random mark for another grower.
pub(super) fn random_mark() -> Result<String, Failure> {
    random_series().map(|name| name[..16].to_owned())
}

fn check_columns(columns: &BTreeMap<String, String>) -> Result<(), Failure> {
    let known = import::known_columns();
    let Some((heading, column)) = columns.iter().find(|(_, column)| !known.contains(column)) else {
        return Ok(());
    };
    let near = crate::evidence::closest(column, known.iter().map(String::as_str), 3);
    let failure = Failure::usage(format!("--map {heading}={column}: there is no column \"{column}\""));
    Err(failure.did_you_mean(&near, "the columns are listed by: propagule trial import --help"))
}

/// A random name under which a trial's records will be published.
pub(super) fn random_series() -> Result<String, Failure> {
    let mut series = Series::default();
    let name = series.next();
    series.failure.map_or(Ok(name), Err)
}

/// Random names for new trials; the first failing of the system is kept.
#[derive(Default)]
struct Series {
    failure: Option<Failure>,
}

impl Series {
    fn next(&mut self) -> String {
        let mut bytes = [0; 16];
        if let Err(e) = getrandom::fill(&mut bytes) {
            self.failure = Some(
                Failure::environment("the system gives no random numbers", e)
                    .hint("try again; nothing was saved"),
            );
        }
        hex::encode(&bytes)
    }
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

fn import_text(import: &Import, dry_run: bool) -> String {
    let mut text = String::new();
    if !import.mapped.is_empty() {
        let mapped: Vec<String> = import.mapped.iter().map(|(from, to)| format!("{from} as {to}")).collect();
        let _ = writeln!(text, "Read {}.", mapped.join(", "));
    }
    for planned in &import.trials {
        let Planned { trial, change } = planned;
        let stage = trial.last_stage().map_or("not counted yet", Stage::word);
        let _ = writeln!(
            text,
            "{} {}: {}, {} in {}, counted up to: {stage}",
            change_word(*change),
            trial.code,
            trial.species,
            counted(trial.started(), "piece", "pieces"),
            counted(trial.arms.len(), "arm", "arms"),
        );
    }
    if let Some(totals) = totals(import) {
        let _ = writeln!(text, "{totals}");
    }
    write_refused(&mut text, import);
    write_unlisted(&mut text, import);
    if !import.unused_columns.is_empty() {
        let columns: Vec<String> = import.unused_columns.iter().map(|name| column_words(name)).collect();
        let _ = writeln!(text, "Columns not used: {}.", columns.join(", "));
    }
    if dry_run {
        text.push_str("Nothing was saved (dry run).\n");
    } else if let Some(first) = import.trials.first() {
        let _ = writeln!(text, "Saved. See one: propagule trial show {}", pasteable(&first.trial.code));
    }
    text
}

/// All trials together, so that a column read wrongly is seen.
fn totals(import: &Import) -> Option<String> {
    if import.trials.len() < 2 {
        return None;
    }
    let mut text = String::new();
    let trials = || import.trials.iter().map(|planned| &planned.trial);
    let started: u32 = trials().map(Trial::started).sum();
    let rooted: u32 = trials()
        .flat_map(|trial| &trial.arms)
        .filter_map(|arm| arm.lift.and_then(|counts| counts.rooted))
        .map(u32::from)
        .sum();
    let _ = write!(text, "{} ready: {} put in", import.trials.len(), grouped(u64::from(started)));
    if rooted > 0 {
        let _ = write!(
            text,
            ", {} rooted ({} %)",
            grouped(u64::from(rooted)),
            percent(f64::from(rooted) / f64::from(started))
        );
    }
    let weeks: Vec<i32> = trials()
        .filter_map(|trial| Some(trial.lift_on?.middle().weeks_since(trial.started_on.middle())))
        .collect();
    if let (Some(least), Some(most)) = (weeks.iter().min(), weeks.iter().max()) {
        let weeks = counted(*most, "week", "weeks");
        let span = if least == most { weeks } else { format!("{least} to {weeks}") };
        let _ = write!(text, "; lifted after {span}");
    }
    text.push('.');
    Some(text)
}

fn write_refused(text: &mut String, import: &Import) {
    if import.refused.is_empty() {
        return;
    }
    let _ = writeln!(text, "{} refused:", import.refused.len());
    for Refused { trial, problem } in &import.refused {
        let row = problem.row.map(|row| format!("row {row}, ")).unwrap_or_default();
        let column = problem.column.as_deref().map(|column| format!("{column}: ")).unwrap_or_default();
        let _ = writeln!(text, "  {} ({row}{column}{})", trial.as_deref().unwrap_or("no code"), problem.why);
    }
    text.push_str("Mend them and read the table again, or take in the others with --leave-out.\n");
}

/// Plants that the list does not have are taken in; a slip of the pen is asked about.
fn write_unlisted(text: &mut String, import: &Import) {
    let species: BTreeSet<&str> =
        import.trials.iter().map(|planned| planned.trial.species.as_str()).collect();
    for question in species.into_iter().filter_map(perhaps_misspelt) {
        let _ = writeln!(text, "{question}");
    }
}

/// A question about a plant that the list does not have, where it has one of nearly that name.
pub(super) fn perhaps_misspelt(name: &str) -> Option<String> {
    let taxon = Taxon::parse(name).ok()?;
    let plain = Taxon { cultivar: None, ..taxon }.to_string();
    let near = if names::lookup(&plain).is_empty() { names::suggest(&plain) } else { Vec::new() };
    let is_near = !near.is_empty();
    is_near.then(|| format!("{name} is not in the list of plants; did you mean {}?", near.join(", ")))
}

fn column_words(name: &str) -> String {
    let known = import::known_columns();
    match crate::evidence::closest(name, known.iter().map(String::as_str), 1).first() {
        Some(near) => format!("{name} (did you mean {near}?)"),
        None => name.to_owned(),
    }
}

/// All trials, a line each.
pub(super) fn list(app: &App) -> Result<Reply, Failure> {
    let bench = app.bench();
    let mut text = String::new();
    let mut trials = Vec::new();
    for trial in bench.trials() {
        let is_closed = bench.season(trial).closed().is_some();
        let trial = &bench.as_it_stands(trial);
        let published = app.published(trial)?;
        let nothing = if trial.is_planned { "not put in yet" } else { "not counted yet" };
        let said = KindWords::of_trial(trial);
        let counted_at = trial.last_stage().map_or(nothing, |stage| said.name(stage));
        let stage = trial.last_stage().map_or(nothing, Stage::word);
        let state = published
            .map_or("not published".to_owned(), |revision| format!("published, revision {revision}"));
        let state = if trial.is_private && published.is_none() { "private".to_owned() } else { state };
        let closed = if is_closed { ", closed" } else { "" };
        let _ = writeln!(
            text,
            "{}  {}  {} {}, {counted_at}, {state}{closed}",
            trial.code,
            trial.species,
            counted(trial.started(), "piece", "pieces"),
            if trial.is_planned { "planned" } else { said.started }
        );
        trials.push(json!({ "trial": trial.code, "species": trial.species, "started": trial.started(), "stage": stage, "published_revision": published, "closed": is_closed, "private": trial.is_private }));
    }
    if text.is_empty() {
        text.push_str("No trial yet. Set one up: propagule trial new --help\nor bring in last year's: propagule trial import FILE.csv\n");
    }
    Ok(Reply::report(text, json!({ "format": "propagule.trials/1", "trials": trials })))
}

/// The trial of that code, or a failure that names near codes.
pub(super) fn find<'a>(
    found: Option<&'a Trial>,
    code: &str,
    all: impl Iterator<Item = &'a Trial>,
) -> Result<&'a Trial, Failure> {
    found.ok_or_else(|| {
        let codes: Vec<&str> = all.map(|trial| trial.code.as_str()).collect();
        let near = crate::evidence::closest(code, codes.iter().copied(), 3);
        let failure = Failure::expected(format!("there is no trial \"{code}\" on your bench"));
        match (near.is_empty(), codes.is_empty()) {
            (false, _) => failure.hint(format!("did you mean {}?", near.join(", "))),
            (true, true) => failure.hint("bring your trials in first: propagule trial import FILE.csv"),
            (true, false) => failure.hint("see them all: propagule trial list"),
        }
    })
}
