//! Trials that are over, in words.

use crate::document::{Action, Column, Document, Table};
use propagule_bench::Fate;
use propagule_files::counted::counted;

use super::undo;
use crate::words::any_kind;
use crate::words::sentences::when;
use propagule_app::outcome::closing::{Closed, ClosedHow, ClosedStep, Sleeper};

/// Trials that were closed, would be, or go on.
pub(super) fn done(done: &Closed) -> Document {
    let Closed { trials, entries, .. } = done;
    let many = trials.len();
    match &done.step {
        ClosedStep::One { how } => Document::new()
            .each(trials.iter().zip(entries), |said, (trial, entry)| said.say(saved(trial, *entry, how)))
            .action(undo::by(["trial", "reopen"].into_iter().chain(trials.iter().map(String::as_str)))),
        ClosedStep::AsleepPreview { sleepers } => Document::new().section(
            format!(
                "{}:",
                counted(
                    many,
                    "trial has had no entry for more than 8 weeks",
                    "trials have had no entry for more than 8 weeks"
                )
            ),
            |under| under.table(table(sleepers)),
        ),
        ClosedStep::Asleep { sleepers } => {
            let closed = counted(many, "trial is closed", "trials are closed");
            Document::new()
                .section(format!("{closed}; the results stand:"), |under| under.table(table(sleepers)))
                .action(undo::by(["trial", "reopen"].into_iter().chain(trials.iter().map(String::as_str))))
        }
        ClosedStep::NoneAsleep => {
            Document::new().say("Every trial had an entry within 8 weeks. Nothing was closed.")
        }
        ClosedStep::Reopened { were } => Document::new()
            .each(trials.iter().zip(entries), |said, (trial, entry)| {
                said.say(format!("{trial} goes on: entry {entry} is undone."))
            })
            .each(trials.iter().zip(were), |said, (trial, how)| said.action(close_again(trial, how))),
    }
}

fn saved(trial: &str, entry: u64, how: &ClosedHow) -> String {
    format!(
        "Saved as entry {entry}: {trial}, {}. Its results stand; nothing is due there any more.",
        line(how)
    )
}

/// How a trial was closed, and when.
pub fn line(how: &ClosedHow) -> String {
    let why = how.because.as_ref().map(|why| format!(" ({})", why.replace('-', " "))).unwrap_or_default();
    let rest = match how.rest {
        None => "",
        Some(Fate::Dead) => "; the rest: dead",
        Some(Fate::Lost) => "; the rest: lost",
        Some(Fate::NotKnown) => "; the rest: not seen",
    };
    format!("closed{why}{rest}, {}", when(&any_kind(), &how.on))
}

fn table(sleepers: &[Sleeper]) -> Table {
    let row = |sleeper: &Sleeper| {
        let Sleeper { trial, species, started_on, left } = sleeper;
        let day = when(&any_kind(), started_on);
        vec![trial.as_str().into(), format!("{species}, started {day}, {left} left").into()]
    };
    Table::new("", [Column::words("").whole(), Column::words("")])
        .without_row_headings()
        .bare_in_text()
        .rows(sleepers.iter().map(row))
}

/// The command that closes a trial as it was.
fn close_again(trial: &str, how: &ClosedHow) -> Action {
    let on = how.on.to_string();
    let because = how.because.iter().flat_map(|because| ["--because", because.as_str()]);
    let rest = how.rest.into_iter().flat_map(|rest| ["--rest", word_of(rest)]);
    undo::by(["trial", "close", trial].into_iter().chain(because).chain(rest).chain(["--on", on.as_str()]))
}

/// How a fate is typed.
fn word_of(fate: Fate) -> &'static str {
    match fate {
        Fate::Dead => "dead",
        Fate::Lost => "lost",
        Fate::NotKnown => "not-seen",
    }
}
