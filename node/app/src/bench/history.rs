//! Everything that was entered for a trial, with how it stood before each correction.

use std::fmt::Write;

use serde_json::json;

use crate::{App, Reply};
use propagule_answer::words::changes;
use propagule_answer::words::entered;
use propagule_answer::words::kind::KindWords;
use propagule_bench::{Bench, Entry, Recorded, Trial, What};
use propagule_files::fault::Fault;

/// The history of a trial.
pub(super) fn show(app: &App, code: &str) -> Result<Reply, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let mut text = format!("History of trial {}, by number of entry\n", trial.code);
    let mut entries = Vec::new();
    for (number, recorded) in of_trial(&bench, trial) {
        let stands = recorded.entry.as_ref().map_or("taken back".to_owned(), |entry| words(trial, entry));
        let _ = writeln!(text, "{number}  {stands}");
        for (before, when) in &recorded.earlier {
            let before = before.as_ref().map_or("taken back".to_owned(), |entry| words(trial, entry));
            let _ = writeln!(text, "    until {}: {before}", &when[..when.len().min(16)]);
        }
        entries.push(json!({
            "entry": number, "typed": recorded.at, "stands": recorded.entry,
            "earlier": recorded.earlier.iter().map(|(entry, until)| json!({ "entry": entry, "until": until })).collect::<Vec<_>>(),
        }));
    }
    let changes = changed(&bench, trial);
    for (when, change) in &changes {
        let _ = writeln!(text, "{}  {change}", &when[..when.len().min(16)]);
    }
    if entries.is_empty() && changes.is_empty() {
        text.push_str("Nothing yet.\n");
    }
    let changes: Vec<_> = changes.iter().map(|(at, what)| json!({ "at": at, "what": what })).collect();
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.history/1", "trial": trial.code, "entries": entries, "changes": changes }),
    ))
}

/// Every change of a trial's description: when, and what.
pub(super) fn changed(bench: &Bench, trial: &Trial) -> Vec<(String, String)> {
    let words = KindWords::of_trial(trial);
    let said = |(at, change): &(String, _)| (at.clone(), changes::change(change, &words));
    bench.changes(&trial.code).iter().map(said).collect()
}

/// Every entry of a trial, those taken back too.
pub(super) fn of_trial<'a>(bench: &'a Bench, trial: &'a Trial) -> impl Iterator<Item = (u64, &'a Recorded)> {
    let belongs =
        |entry: Option<&Entry>| entry.and_then(|entry| entry.what.trial()) == Some(trial.code.as_str());
    bench.recorded().filter(move |(_, recorded)| {
        let first = recorded.earlier.first().map_or(recorded.entry.as_ref(), |(entry, _)| entry.as_ref());
        belongs(first) || belongs(recorded.entry.as_ref())
    })
}

/// An entry in one line.
pub(super) fn words(trial: &Trial, entry: &Entry) -> String {
    let label = |arm: u8| trial.arm(arm).map(|arm| arm.label.clone());
    entered::line(entry, label, &KindWords::of_trial(trial))
}

/// How a trial was closed, and when; none of an entry that closes nothing.
pub(super) fn closed_line(entry: &Entry) -> Option<String> {
    let What::Closed { because, rest, .. } = &entry.what else { return None };
    Some(format!("{}, {}", entered::closed(because.as_deref(), *rest), entry.on))
}
