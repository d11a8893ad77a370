//! The preview of a table as text.

use std::collections::BTreeSet;
use std::fmt::Write;

use crate::tables;
use crate::tables::{Change, Import, Outcome, Planned, Refused, Told};
use crate::trial::perhaps_misspelt;
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::{counted, grouped, percent};
use propagule_bench::kind::Kind;
use propagule_bench::{Stage, Tally, Trial, What};
use propagule_files::paste::pasteable;

/// Rows shown of a long table.
const SHOWN: usize = 40;

pub(super) fn text(import: &Import, saved: bool, can_save: bool, wanted: bool) -> String {
    let mut text = String::new();
    write_columns(&mut text, import);
    for question in &import.questions {
        let sign = if question.is_open { "?" } else { "\u{2013}" };
        let place = question.row.map(|row| format!("line {row}: ")).unwrap_or_default();
        let hint = question.hint.as_ref().map(|hint| format!(" ({hint})")).unwrap_or_default();
        let _ = writeln!(text, "  {sign} {place}{}{hint}", question.text);
    }
    write_lines(&mut text, import);
    write_trials(&mut text, import);
    if let Some(totals) = totals(import) {
        let _ = writeln!(text, "{totals}");
    }
    if let Some(pending) = pending(import) {
        let _ = writeln!(text, "{pending}");
    }
    write_refused(&mut text, import);
    write_unlisted(&mut text, import);
    let unused = import.unused_columns();
    if !unused.is_empty() {
        let columns: Vec<String> = unused.iter().map(|name| column_words(name)).collect();
        let _ = writeln!(text, "Columns not used: {}.", columns.join(", "));
    }
    let nothing_new =
        !import.trials.is_empty() && import.trials.iter().all(|planned| planned.change == Change::Same);
    let _ = match (saved, nothing_new, import.trials.first()) {
        (_, true, _) if import.refused.is_empty() => writeln!(text, "Nothing new: all of it is known."),
        (true, _, Some(first)) => {
            writeln!(text, "Saved. See one: propagule trial show {}", pasteable(&first.trial.code))
        }
        _ if can_save && !wanted => {
            writeln!(text, "Nothing was saved yet. Save it: the same command with --yes")
        }
        _ => writeln!(text, "Nothing was saved."),
    };
    text
}

fn write_columns(text: &mut String, import: &Import) {
    if let Some(sheet) = &import.sheet {
        let _ = writeln!(text, "Sheet {sheet}.");
    }
    let mapped = import.mapped();
    if !mapped.is_empty() {
        let mapped: Vec<String> = mapped.iter().map(|(from, to)| format!("{from} as {to}")).collect();
        let _ = writeln!(text, "Read {}.", mapped.join(", "));
    }
    for column in import.columns.iter().filter(|column| column.told == Told::Content) {
        let _ = writeln!(text, "{} is read as {}, {}.", column.heading, column.name, column.told.word());
    }
    if let Some(title) = &import.title {
        let _ = writeln!(text, "Kept as note: {}", title.replace('\n', "; "));
    }
}

/// A line for each row, as far as there are not too many; those that need a look always.
fn write_lines(text: &mut String, import: &Import) {
    let mut lines: Vec<(u64, String)> = Vec::new();
    let mut skipped = 0;
    let rows = import.trials.iter().flat_map(|planned| &planned.rows);
    for (at, row) in rows.enumerate() {
        if at >= SHOWN && row.outcome != Outcome::Changed {
            skipped += 1;
            continue;
        }
        let place = row.pot.as_ref().map_or_else(|| row.arm.clone(), |pot| format!("{} {pot}", row.arm));
        let why = row.why.as_ref().map(|why| format!(" \u{2013} {why}")).unwrap_or_default();
        let who = row.operator.as_ref().map(|who| format!(" by {who}")).unwrap_or_default();
        let what = format!("{}: {} {place}{who}: {}{why}", row.outcome.word(), row.trial, row.says());
        lines.push((row.line, what));
    }
    for (line, what, why) in import.others.iter().filter(|(_, what, _)| what.contains("row")) {
        lines.push((*line, format!("{what}: {}", why.as_deref().unwrap_or_default())));
    }
    lines.sort();
    for (line, what) in lines {
        let _ = writeln!(text, "  line {line} {what}");
    }
    if skipped > 0 {
        let _ = writeln!(text, "  and {} more like these", counted(skipped, "row", "rows"));
    }
}

fn write_trials(text: &mut String, import: &Import) {
    for Planned { trial, change, entries, .. } in import.trials.iter().take(4 * SHOWN) {
        let stages = entries.iter().filter_map(|(_, entry)| match &entry.what {
            What::Counted { stage, .. } => *stage,
            _ => None,
        });
        let stage = stages
            .max()
            .or(trial.last_stage())
            .map_or("not counted yet", |stage| KindWords::of_trial(trial).name(stage));
        let word = match change {
            Change::New => "new",
            Change::Updated => "updated",
            Change::Same => "unchanged",
        };
        let _ = writeln!(
            text,
            "{word} {}: {}, {} in {}, counted up to: {stage}",
            trial.code,
            trial.species,
            counted(trial.started(), "piece", "pieces"),
            counted(trial.arms.len(), "arm", "arms"),
        );
    }
    let more = import.trials.len().saturating_sub(4 * SHOWN);
    if more > 0 {
        let _ = writeln!(text, "and {}", counted(more, "more trial", "more trials"));
    }
}

/// Tallies at lift that an import would write or correct.
fn lift(planned: &Planned) -> impl Iterator<Item = (&Tally, propagule_bench::dates::When)> {
    planned
        .entries
        .iter()
        .filter_map(|(_, entry)| match &entry.what {
            What::Counted { stage: Some(Stage::Lift), tallies, .. } => Some((tallies, entry.on)),
            _ => None,
        })
        .flat_map(|(tallies, on)| tallies.iter().map(move |tally| (tally, on)))
}

/// All trials together, so that a column read wrongly is seen; what is not counted yet stands beside, never in the
/// share.
pub(super) fn totals(import: &Import) -> Option<String> {
    if import.trials.len() < 2 {
        return None;
    }
    let trials = || import.trials.iter().map(|planned| &planned.trial);
    let said = KindWords::of(Kind::of_all(trials()));
    let started: u32 = trials().map(Trial::started).sum();
    let mut text = format!("{} ready: {} put in", import.trials.len(), grouped(u64::from(started)));
    let tallies =
        || import.trials.iter().flat_map(|planned| lift(planned).map(move |found| (planned, found.0)));
    let rooted: u32 = tallies().filter_map(|(_, tally)| tally.rooted).map(u32::from).sum();
    let looked: u32 = tallies()
        .filter(|(_, tally)| tally.rooted.is_some())
        .map(|(planned, tally)| started_of(&planned.trial, tally))
        .sum();
    if rooted > 0 && looked > 0 {
        let share = percent(f64::from(rooted) / f64::from(looked));
        let of = if looked == started {
            String::new()
        } else {
            format!(" of {} looked at", grouped(u64::from(looked)))
        };
        let _ = write!(text, ", {} {}{of} ({share} %)", grouped(u64::from(rooted)), said.lead);
    }
    let weeks: Vec<i32> = import
        .trials
        .iter()
        .filter_map(|planned| {
            Some(lift(planned).next()?.1.middle().weeks_since(planned.trial.started_on.middle()))
        })
        .collect();
    if let (Some(least), Some(most)) = (weeks.iter().min(), weeks.iter().max()) {
        let weeks = counted(*most, "week", "weeks");
        let span = if least == most { weeks } else { format!("{least} to {weeks}") };
        let _ = write!(text, "; {} after {span}", said.first_count_done());
    }
    text.push('.');
    Some(text)
}

fn started_of(trial: &Trial, tally: &Tally) -> u32 {
    let Some(arm) = trial.arm(tally.arm) else { return 0 };
    let pot = arm.replicates.iter().find(|pot| Some(&pot.code) == tally.replicate.as_ref());
    u32::from(pot.map_or(arm.started, |pot| pot.started))
}

/// How many rows were counted, where some were not.
fn pending(import: &Import) -> Option<String> {
    let rows: Vec<_> = import.trials.iter().flat_map(|planned| &planned.rows).collect();
    let open = rows.iter().filter(|row| row.is_pending()).count();
    let has_pots = rows.iter().all(|row| row.pot.is_some());
    let counted_rows = rows.len() - open;
    let words =
        if has_pots { counted(counted_rows, "pot", "pots") } else { counted(counted_rows, "row", "rows") };
    (open > 0).then(|| format!("{words} counted, {open} not counted yet."))
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

fn column_words(name: &str) -> String {
    let known = tables::known_columns();
    match propagule_files::closest(name, known.iter().map(String::as_str), 1).first() {
        Some(near) => format!("{name} (did you mean {near}?)"),
        None => name.to_owned(),
    }
}
