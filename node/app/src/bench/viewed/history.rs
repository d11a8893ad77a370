//! Every entry of a trial, as a screen lists it.

use crate::App;
use crate::bench::history;
use propagule_bench::Entry;
use propagule_files::fault::Fault;

/// An entry in words, with how it stood before.
#[derive(Clone, Debug)]
pub struct EntryView {
    /// Its number.
    pub number: u64,
    /// None when it was taken back.
    pub entry: Option<Entry>,
    /// What it says.
    pub words: String,
    /// When it was typed.
    pub at: String,
    /// How it stood, until when.
    pub earlier: Vec<(String, String)>,
}

/// Every entry of a trial, and every change of its description.
#[derive(Clone, Debug)]
pub struct HistoryView {
    /// Entries, in the order in which they were written.
    pub entries: Vec<EntryView>,
    /// When, and what.
    pub changes: Vec<(String, String)>,
}

/// Every entry of a trial, and every change of its description.
pub fn history(app: &App, code: &str) -> Result<HistoryView, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let said =
        |entry: Option<&Entry>| entry.map_or("taken back".to_owned(), |entry| history::words(trial, entry));
    let entries = history::of_trial(&bench, trial).map(|(number, recorded)| EntryView {
        number,
        entry: recorded.entry.clone(),
        words: said(recorded.entry.as_ref()),
        at: recorded.at.clone(),
        earlier: recorded.earlier.iter().map(|(entry, at)| (said(entry.as_ref()), at.clone())).collect(),
    });
    let entries = entries.collect();
    Ok(HistoryView { entries, changes: history::changed(&bench, trial) })
}
