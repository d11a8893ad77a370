//! Trials of the bench: list, find, what their names and counts are in words.

use std::fmt::Write;

use propagule_protocol::{Taxon, names};
use serde_json::json;

use super::{App, Reply};
use propagule_answer::words::counted;
use propagule_answer::words::kind::KindWords;
use propagule_bench::{Stage, Trial};
use propagule_files::fault::Fault;
use propagule_files::hex;

/// A random mark for another grower.
pub(super) fn random_mark() -> Result<String, Fault> {
    random_series().map(|name| name[..16].to_owned())
}

/// A random name under which a trial's records will be published.
pub(super) fn random_series() -> Result<String, Fault> {
    let mut series = Series::default();
    let name = series.next();
    series.failure.map_or(Ok(name), Err)
}

/// Random names for new trials; the first failing of the system is kept.
#[derive(Default)]
pub(super) struct Series {
    pub(super) failure: Option<Fault>,
}

impl Series {
    pub(super) fn next(&mut self) -> String {
        let mut bytes = [0; 16];
        if let Err(e) = getrandom::fill(&mut bytes) {
            self.failure = Some(Fault::environment("no-random-numbers").because(e));
        }
        hex::encode(&bytes)
    }
}

/// A question about a plant that the list does not have, where it has one of nearly that name.
pub(super) fn perhaps_misspelt(name: &str) -> Option<String> {
    let near = near_names(name);
    let is_near = !near.is_empty();
    is_near.then(|| format!("{name} is not in the list of plants; did you mean {}?", near.join(", ")))
}

/// Plants of nearly that name, where the list does not have this one.
pub(super) fn near_names(name: &str) -> Vec<String> {
    let Ok(taxon) = Taxon::parse(name) else { return Vec::new() };
    let plain = Taxon { cultivar: None, ..taxon }.to_string();
    let near = if names::lookup(&plain).is_empty() { names::suggest(&plain) } else { Vec::new() };
    near.into_iter().map(str::to_owned).collect()
}

/// All trials, a line each.
pub(super) fn list(app: &App) -> Result<Reply, Fault> {
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
pub(crate) fn find<'a>(
    found: Option<&'a Trial>,
    code: &str,
    all: impl Iterator<Item = &'a Trial>,
) -> Result<&'a Trial, Fault> {
    found.ok_or_else(|| {
        let codes: Vec<&str> = all.map(|trial| trial.code.as_str()).collect();
        let near = propagule_files::closest(code, codes.iter().copied(), 3);
        let failure = Fault::user("trial-unknown").with("code", code);
        match (near.is_empty(), codes.is_empty()) {
            (false, _) => failure.hint(format!("did you mean {}?", near.join(", "))),
            (true, true) => failure.hint("bring your trials in first: propagule trial import FILE.csv"),
            (true, false) => failure.hint("see them all: propagule trial list"),
        }
    })
}
