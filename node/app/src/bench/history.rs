//! Everything that was entered for a trial, with how it stood before each correction.

use std::fmt::Write;

use serde_json::json;

use crate::{App, Reply};
use propagule_answer::words::changes;
use propagule_answer::words::kind::KindWords;
use propagule_bench::{Bench, Entry, Fate, Mark, Recorded, Tally, Trial, What};
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
    let label = |arm: u8| trial.arm(arm).map_or("?".to_owned(), |arm| arm.label.clone());
    let labels = |arms: &[u8]| arms.iter().map(|arm| label(*arm)).collect::<Vec<_>>().join(", ");
    let what = match &entry.what {
        What::Looked { .. } => "looked, no counts".to_owned(),
        What::Counted { tallies, is_blind, .. } => {
            let places: Vec<String> = tallies.iter().map(|tally| tally_words(trial, tally)).collect();
            let blind = if *is_blind { " (scored blind)" } else { "" };
            format!("{}{blind}: {}", super::entering::what_words(trial, &entry.what), places.join("; "))
        }
        What::Moved { arms, spot, .. } => {
            format!("moved {} to {}", labels(arms), spot.as_deref().unwrap_or("another spot"))
        }
        What::Left { arm, replicate, pieces, how, at_grade, .. } => {
            let place = replicate.clone().unwrap_or_else(|| label(*arm));
            let grade = if *at_grade { "at grade" } else { "below grade" };
            format!("{place}: {pieces} {how}, {grade}")
        }
        What::Stood { arms, spot, .. } => format!("{} stood on {spot}", labels(arms)),
        What::Suckers { removed, .. } => {
            let removed: Vec<String> =
                removed.iter().map(|(arm, n)| format!("{} {n}", label(*arm))).collect();
            format!("suckers looked for{}{}", if removed.is_empty() { "" } else { ": " }, removed.join(", "))
        }
        What::Closed { because, rest, .. } => closed_words(because.as_deref(), *rest),
        What::WrapCut { .. } => "wrap cut".to_owned(),
        What::Noted { .. } => "note".to_owned(),
        What::Cared { spot, care, .. } => format!("{spot}: {care}"),
    };
    let note = entry.note.as_deref().map(|note| format!(" \u{2013} {note}")).unwrap_or_default();
    let files = if entry.files.is_empty() { String::new() } else { format!(" [{}]", entry.files.join(", ")) };
    format!("{}  {what}{note}{files}", entry.on)
}

/// How a trial was closed, and when; none of an entry that closes nothing.
pub(super) fn closed_line(entry: &Entry) -> Option<String> {
    let What::Closed { because, rest, .. } = &entry.what else { return None };
    Some(format!("{}, {}", closed_words(because.as_deref(), *rest), entry.on))
}

fn closed_words(because: Option<&str>, rest: Option<Fate>) -> String {
    let why = because.map(|why| format!(" ({})", why.replace('-', " "))).unwrap_or_default();
    let rest = match rest {
        None => "",
        Some(Fate::Dead) => "; those that were left: dead",
        Some(Fate::Lost) => "; those that were left: lost",
        Some(Fate::NotKnown) => "; those that were left: not known",
    };
    format!("closed{why}{rest}")
}

fn tally_words(trial: &Trial, tally: &Tally) -> String {
    let arm = || trial.arm(tally.arm).map(|arm| arm.label.clone()).unwrap_or_default();
    let place = tally.replicate.clone().unwrap_or_else(arm);
    let counts = tally.counts().into_iter();
    let said = KindWords::of_trial(trial);
    let counts =
        counts.filter_map(|(word, count)| count.map(|count| format!("{count} {}", said.state(word))));
    let marks = tally.marks.iter().map(|(name, mark)| {
        let name = name.replace('_', " ");
        match mark {
            Mark::Count(count) => format!("{count} {name}"),
            Mark::None => format!("none {name}"),
            Mark::Some => format!("some {name}"),
            Mark::Most => format!("most {name}"),
        }
    });
    let list = |numbers: &[u16]| numbers.iter().map(u16::to_string).collect::<Vec<_>>().join("/");
    let roots = (!tally.root_counts.is_empty()).then(|| format!("roots {}", list(&tally.root_counts)));
    let longest = tally.longest_root.map(|mm| format!("longest root {mm} mm"));
    let grades = (!tally.grades.is_empty()).then(|| {
        format!("grades {} ({})", list(&tally.grades), tally.grade_scale.as_deref().unwrap_or("own scale"))
    });
    let cause = tally.cause.as_ref().map(|cause| format!("cause {cause}"));
    let all: Vec<String> =
        counts.chain(marks).chain(roots).chain(longest).chain(grades).chain(cause).collect();
    format!("{place} {}", all.join(", "))
}
