//! Everything that was entered for a trial, in words.

use crate::document::{Column, Document, Phrase, Table};
use propagule_bench::Entry;
use propagule_bench::changes::Change;
use propagule_bench::kind::Kind;

use super::said;
use crate::kind::KindWords;
use crate::words::sentences::day;
use crate::words::{changes, recorded};
use propagule_app::outcome::history::{EntryHistory, History, TrialLabels};

/// All entries with how they stood, and all changes of the description.
pub(super) fn all(history: &History) -> Document {
    let entries = history.entries.iter().flat_map(|entry| rows(&history.of, entry));
    let entries = Table::new("", [Column::numbers(""), Column::words("")]).bare_in_text().rows(entries);
    Document::new().section(format!("History of {}, by number of entry", history.of.trial), |under| {
        under
            .table(entries)
            .each(&history.changes, |under, change| {
                under.say(format!("{} {}", minute(&change.at), said::line(&change.what)))
            })
            .when(history.entries.is_empty() && history.changes.is_empty(), |under| {
                under.say("Nothing has been entered yet.")
            })
    })
}

/// An entry, and below it how it stood.
fn rows(of: &TrialLabels, entry: &EntryHistory) -> Vec<Vec<Phrase>> {
    let stands = vec![entry.number.to_string().into(), stands(of, entry.entry.as_ref()).into()];
    let earlier = entry.earlier.iter().map(|earlier| {
        let words = self::stands(of, earlier.entry.as_ref());
        vec![Phrase::new(), format!("until {}: {words}", minute(&earlier.until)).into()]
    });
    [stands].into_iter().chain(earlier).collect()
}

/// The minute of a time, its day as the reader writes days: 30 Nov 2026 21:13.
fn minute(at: &str) -> String {
    let parts = at.split_once('T').and_then(|(date, time)| Some((date.parse().ok()?, time.get(..5)?)));
    let Some((date, time)) = parts else { return at.to_owned() };
    format!("{} {time}", day(&KindWords::of(Kind::Mixed), date))
}

/// An entry in one line, or that it was taken back.
pub fn stands(of: &TrialLabels, entry: Option<&Entry>) -> String {
    entry.map_or_else(|| "undone".to_owned(), |entry| self::entry(of, entry))
}

/// An entry in one line.
pub(super) fn entry(of: &TrialLabels, entry: &Entry) -> String {
    recorded::Words { kind: &KindWords::of(of.kind), label: |arm| of.label(arm) }.entry(entry)
}

/// What changed in a description.
pub(super) fn change(change: &Change, kind: Kind) -> String {
    changes::change(change, &KindWords::of(kind))
}
