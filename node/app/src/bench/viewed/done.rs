//! What was typed today: what a grower has done, each with its number, so that it can be undone the same day.

use std::collections::BTreeSet;

use crate::App;
use crate::bench::history;
use crate::outcome::history::{EntryHistory, TrialLabels};
use propagule_bench::dates::When;
use propagule_protocol::Date;

/// What was done in a day.
#[derive(Clone, Debug, Default)]
pub struct DoneToday {
    /// Entries that stand, the latest first.
    pub entries: Vec<Done>,
    /// Trials of which one tells of this day itself; what is written up later is no part of the day's round.
    pub trials: BTreeSet<String>,
}

/// An entry, and by what it is worded.
#[derive(Clone, Debug)]
pub struct Done {
    /// The trial's labels.
    pub of: TrialLabels,
    /// The entry.
    pub entry: EntryHistory,
}

/// Entries about trials that were typed on this day and stand.
pub fn done_on(app: &App, today: Date) -> DoneToday {
    let bench = app.bench();
    let day = today.to_string();
    let typed = bench.recorded().filter(|(_, recorded)| recorded.at.starts_with(&day));
    let done = typed.filter_map(|(number, recorded)| {
        let trial = bench.trial(recorded.entry.as_ref()?.what.trial()?)?;
        Some(Done { of: TrialLabels::of(trial), entry: history::entry(number, recorded) })
    });
    let mut entries: Vec<Done> = done.collect();
    entries.reverse();
    let is_of_today =
        |done: &&Done| done.entry.entry.as_ref().is_some_and(|entry| entry.on == When::day(today));
    let trials = entries.iter().filter(is_of_today).map(|done| done.of.trial.clone()).collect();
    DoneToday { entries, trials }
}
