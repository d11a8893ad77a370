//! Everything that was entered for a trial, with how it stood before each correction.

use crate::outcome::Outcome;
use crate::outcome::history::{DescriptionChange, EarlierEntry, EntryHistory, History, TrialLabels};
use crate::{App, Reply};
use propagule_bench::{Bench, Entry, Recorded, Trial};
use propagule_files::fault::Fault;

/// The history of a trial.
pub(super) fn show(app: &App, code: &str) -> Result<Reply, Fault> {
    Ok(Reply::done(Outcome::History(of(app, code)?)))
}

/// The same, as it is read.
pub(super) fn of(app: &App, code: &str) -> Result<History, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let entries = of_trial(&bench, trial).map(|(number, recorded)| entry(number, recorded));
    let kind = trial.kind();
    let changes = bench.changes(&trial.code);
    let changes = changes.iter().map(|(at, change)| DescriptionChange::new(at, change, kind)).collect();
    Ok(History { of: TrialLabels::of(trial), entries: entries.collect(), changes })
}

/// An entry with how it stood.
pub(super) fn entry(number: u64, recorded: &Recorded) -> EntryHistory {
    let earlier = recorded.earlier.iter();
    let earlier =
        earlier.map(|(entry, until)| EarlierEntry { entry: entry.clone(), until: until.clone() }).collect();
    EntryHistory { number, at: recorded.at.clone(), entry: recorded.entry.clone(), earlier }
}

/// Every entry of a trial, those taken back too.
fn of_trial<'a>(bench: &'a Bench, trial: &'a Trial) -> impl Iterator<Item = (u64, &'a Recorded)> {
    let belongs =
        |entry: Option<&Entry>| entry.and_then(|entry| entry.what.trial()) == Some(trial.code.as_str());
    bench.recorded().filter(move |(_, recorded)| {
        let first = recorded.earlier.first().map_or(recorded.entry.as_ref(), |(entry, _)| entry.as_ref());
        belongs(first) || belongs(recorded.entry.as_ref())
    })
}
