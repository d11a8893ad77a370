//! Trials of the bench: import, list, show.

use std::collections::BTreeSet;
use std::fmt::Write;

use propagule_protocol::{Taxon, names};
use serde_json::json;

use super::{App, Reply};
use crate::bench::import::{self, Change, Import, Planned};
use crate::bench::{Arm, Counts, Event, Stage, Trial};
use crate::error::Failure;
use crate::hex;
use crate::paste::pasteable;

/// Reads a table of trials; with `dry_run` only says what would happen.
pub(super) fn import(app: &App, file: &str, table: &str, dry_run: bool) -> Result<Reply, Failure> {
    let mut bench = app.bench();
    let mut series = Series::default();
    let import = import::read(file, table, |code| bench.trial(code), || series.next())?;
    series.failure.map_or(Ok(()), Err)?;
    if !dry_run {
        let changed = import.trials.iter().filter(|planned| planned.change != Change::Same);
        bench.record_all(
            changed.map(|planned| Event::TrialRecorded { trial: planned.trial.clone() }).collect(),
        )?;
    }
    let done: Vec<_> = import.trials.iter().map(planned_json).collect();
    let json = json!({
        "format": "propagule.import/1",
        "dry_run": dry_run,
        "trials": done,
        "unused_columns": import.unused_columns,
    });
    Ok(Reply::report(import_text(&import, dry_run), json))
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
    for planned in &import.trials {
        let Planned { trial, change } = planned;
        let stage = trial.last_stage().map_or("not counted yet", Stage::word);
        let _ = writeln!(
            text,
            "{} {}: {}, {} pieces in {} arm{}, counted up to: {stage}",
            change_word(*change),
            trial.code,
            trial.species,
            trial.started(),
            trial.arms.len(),
            if trial.arms.len() == 1 { "" } else { "s" },
        );
    }
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

/// Plants that the list does not have are taken in; a slip of the pen is asked about.
fn write_unlisted(text: &mut String, import: &Import) {
    let species: BTreeSet<&str> =
        import.trials.iter().map(|planned| planned.trial.species.as_str()).collect();
    for name in species {
        let Ok(taxon) = Taxon::parse(name) else { continue };
        let plain = Taxon { cultivar: None, ..taxon }.to_string();
        let near = if names::lookup(&plain).is_empty() { names::suggest(&plain) } else { Vec::new() };
        if !near.is_empty() {
            let _ = writeln!(text, "{name} is not in the list of plants; did you mean {}?", near.join(", "));
        }
    }
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
        let published = app.published(trial)?;
        let stage = trial.last_stage().map_or("not counted yet", Stage::word);
        let state = published
            .map_or("not published".to_owned(), |revision| format!("published, revision {revision}"));
        let _ =
            writeln!(text, "{}  {}  {} pieces, {stage}, {state}", trial.code, trial.species, trial.started());
        trials.push(json!({ "trial": trial.code, "species": trial.species, "started": trial.started(), "stage": stage, "published_revision": published }));
    }
    if text.is_empty() {
        text.push_str("No trial yet. Bring one in: propagule trial import FILE.csv\n");
    }
    Ok(Reply::report(text, json!({ "format": "propagule.trials/1", "trials": trials })))
}

/// One trial with all its counts.
pub(super) fn show(app: &App, code: &str) -> Result<Reply, Failure> {
    let bench = app.bench();
    let trial = find(bench.trial(code), code, bench.trials())?;
    let mut text = format!("{}  {}  put in {}\n", trial.code, trial.species, trial.started_on);
    for arm in &trial.arms {
        let method: Vec<String> =
            arm.facets.iter().map(|(facet, words)| format!("{facet} {words}")).collect();
        let _ = writeln!(text, "  arm {}: {} put in; {}", arm.label, arm.started, method.join(", "));
        for stage in Stage::ALL {
            if let Some(counts) = arm.counts(stage) {
                let day = trial.date(stage).map(|day| format!(" {day}")).unwrap_or_default();
                let _ = writeln!(text, "    {}{day}: {}", stage.word(), counts_text(counts, arm));
            }
        }
    }
    let json = serde_json::to_value(trial).expect("a trial is plain data");
    Ok(Reply::report(text, json!({ "format": "propagule.trial/1", "trial": json })))
}

fn counts_text(counts: &Counts, arm: &Arm) -> String {
    let named = [
        ("alive", counts.alive),
        ("callused", counts.callused),
        ("rooted", counts.rooted),
        ("established", counts.established),
        ("finished", counts.finished),
        ("dead", counts.dead),
        ("lost", counts.lost),
        ("left as finished", counts.left_as_finished),
    ];
    let given = named.iter().filter_map(|(word, count)| count.map(|count| format!("{count} {word}")));
    format!("of {}: {}", arm.started, given.collect::<Vec<_>>().join(", "))
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
