//! What came of a table of trials, or would, in words.

use propagule_files::paste::pasteable;
use propagule_present::document::{Document, List, Phrase};

use super::command::ending_in_command;
use super::said;
use propagule_app::outcome::import::{
    ImportCame, ImportLine, ImportTotals, ImportedTrial, LineOutcome, RefusedRow, TrialImport,
};
use propagule_app::tables::{Change, Outcome, Question, RowShown, Told};
use propagule_present::kind::KindWords;
use propagule_present::words::{counted, grouped, percent};

/// Rows shown of a long table.
const SHOWN: usize = 40;

/// How the table is read, what becomes of its lines, and what came of it all.
pub(super) fn all(import: &TrialImport) -> Document {
    Document::new()
        .append(columns(import))
        .list(List::points(
            import.questions.iter().map(question).chain(lines(import)).chain(trials(&import.trials)),
        ))
        .each(&import.totals, |said, totals| said.say(said::line(totals)))
        .each(pending(import), Document::say)
        .append(refused(&import.refused))
        .each(&import.perhaps_plants, |said, (name, near)| said.say(perhaps_misspelt(name, near)))
        .append(unused(import))
        .say(came(import))
}

fn columns(import: &TrialImport) -> Document {
    let mapped: Vec<String> = import.mapped.iter().map(|(from, to)| format!("{from} as {to}")).collect();
    let by_content = import.columns.iter().filter(|column| column.told == Told::Content);
    Document::new()
        .each(&import.sheet, |said, sheet| said.say(format!("Sheet {sheet}.")))
        .when(!mapped.is_empty(), |said| said.say(format!("Read {}.", mapped.join(", "))))
        .each(by_content, |said, column| {
            let name = column.taken_for.as_deref().unwrap_or_default();
            said.say(format!("{} is read as {name}, {}.", column.heading, column.told.word()))
        })
        .each(&import.title, |said, title| said.say(format!("Kept as note: {}", title.replace('\n', "; "))))
}

/// What is open is asked, what is read by itself is stated.
fn question(question: &Question) -> String {
    let sign = if question.is_open { "?" } else { "\u{2013}" };
    let place = question.row.map(|row| format!("line {row}: ")).unwrap_or_default();
    let hint = question.hint.as_ref().map(|hint| format!(" ({hint})")).unwrap_or_default();
    format!("{sign} {place}{}{hint}", question.text)
}

/// A line for each row, as far as there are not too many; those that need a look always.
fn lines(import: &TrialImport) -> Vec<String> {
    let (mut shown, mut rows, mut skipped) = (Vec::new(), 0, 0);
    for line in &import.lines {
        match (&line.row, &line.outcome) {
            (Some(row), outcome) => {
                rows += 1;
                if rows > SHOWN && *outcome != LineOutcome::Row(Outcome::Changed) {
                    skipped += 1;
                } else {
                    shown.push(row_line(line, row));
                }
            }
            (None, LineOutcome::Other(what)) if what.contains("row") => {
                let why = line.why.as_deref().unwrap_or_default();
                shown.push(format!("line {} {what}: {why}", line.line));
            }
            (None, _) => {}
        }
    }
    if skipped > 0 {
        shown.push(format!("and {} more like these", counted(skipped, "row", "rows")));
    }
    shown
}

fn row_line(line: &ImportLine, row: &RowShown) -> String {
    let place = row.pot.as_ref().map_or_else(|| row.arm.clone(), |pot| format!("{} {pot}", row.arm));
    let why = line.why.as_ref().map(|why| format!(" \u{2013} {why}")).unwrap_or_default();
    let who = row.operator.as_ref().map(|who| format!(" by {who}")).unwrap_or_default();
    let trial = line.trial.as_deref().unwrap_or_default();
    format!("line {} {}: {trial} {place}{who}: {}{why}", line.line, line.outcome.word(), row.says)
}

fn trials(trials: &[ImportedTrial]) -> impl Iterator<Item = String> {
    let more = trials.len().saturating_sub(4 * SHOWN);
    let more = (more > 0).then(|| format!("and {}", counted(more, "more trial", "more trials")));
    trials.iter().take(4 * SHOWN).map(trial_line).chain(more)
}

fn trial_line(of: &ImportedTrial) -> String {
    let stage = of.counted_at.map_or("not counted yet", |stage| KindWords::of(of.kind).name(stage));
    let word = match of.change {
        Change::New => "new",
        Change::Updated => "updated",
        Change::Same => "unchanged",
    };
    format!(
        "{word} {}: {}, {} in {}, counted up to: {stage}",
        of.trial,
        of.species,
        counted(of.started, "piece", "pieces"),
        counted(of.arms, "arm", "arms"),
    )
}

/// All trials together, so that a column read wrongly is seen.
pub(super) fn totals(totals: &ImportTotals) -> String {
    let said = KindWords::of(totals.kind);
    let with = if totals.rooted > 0 && totals.looked > 0 {
        let share = percent(f64::from(totals.rooted) / f64::from(totals.looked));
        let of = if totals.looked == totals.started {
            String::new()
        } else {
            format!(" of {} looked at", grouped(u64::from(totals.looked)))
        };
        format!(", {} {}{of} ({share} %)", grouped(u64::from(totals.rooted)), said.lead)
    } else {
        String::new()
    };
    let after = totals.weeks.map_or_else(String::new, |(least, most)| {
        let weeks = counted(most, "week", "weeks");
        let span = if least == most { weeks } else { format!("{least} to {weeks}") };
        format!("; {} after {span}", said.first_count_done())
    });
    format!("{} ready: {} put in{with}{after}.", totals.trials, grouped(u64::from(totals.started)))
}

/// How many rows were counted, where some were not.
fn pending(import: &TrialImport) -> Option<String> {
    let rows: Vec<_> = import.lines.iter().filter_map(|line| line.row.as_ref()).collect();
    let open = rows.iter().filter(|row| row.not_counted_yet).count();
    let has_pots = rows.iter().all(|row| row.pot.is_some());
    let counted_rows = rows.len() - open;
    let words =
        if has_pots { counted(counted_rows, "pot", "pots") } else { counted(counted_rows, "row", "rows") };
    (open > 0).then(|| format!("{words} counted, {open} not counted yet."))
}

fn refused(rows: &[RefusedRow]) -> Document {
    let line = |row: &RefusedRow| {
        let number = row.row.map(|row| format!("row {row}, ")).unwrap_or_default();
        let column = row.column.as_deref().map(|column| format!("{column}: ")).unwrap_or_default();
        format!("{} ({number}{column}{})", row.trial.as_deref().unwrap_or("no code"), row.why)
    };
    Document::new().when(!rows.is_empty(), |said| {
        said.section(format!("{} refused:", rows.len()), |under| {
            under.list(List::points(rows.iter().map(line)))
        })
        .say("Mend them and read the table again, or take in the others with --leave-out.")
    })
}

/// A plant that the list does not have, where it has one of nearly that name.
fn perhaps_misspelt(name: &str, near: &[String]) -> String {
    format!("{name} is not in the list of plants; did you mean {}?", near.join(", "))
}

fn unused(import: &TrialImport) -> Document {
    let column = |name: &String| match import.perhaps_columns.get(name) {
        Some(near) => format!("{name} (did you mean {near}?)"),
        None => name.clone(),
    };
    let columns: Vec<String> = import.unused_columns.iter().map(column).collect();
    Document::new()
        .when(!columns.is_empty(), |said| said.say(format!("Columns not used: {}.", columns.join(", "))))
}

fn came(import: &TrialImport) -> Phrase {
    match (import.came, import.trials.first()) {
        (ImportCame::NothingNew, _) => "Nothing new: all of it is known.".into(),
        (ImportCame::Saved, Some(first)) => {
            ending_in_command(&format!("Saved. See one: propagule trial show {}", pasteable(&first.trial)))
        }
        (ImportCame::Ready, _) => "Nothing was saved yet. Save it: the same command with --yes".into(),
        (ImportCame::NotSaved | ImportCame::Saved, _) => "Nothing was saved.".into(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    fn of(looked: u32, weeks: Option<(i32, i32)>) -> String {
        let rooted = if looked == 0 { 0 } else { 9 };
        totals(&ImportTotals { kind: Kind::Cutting, trials: 2, started: 24, rooted, looked, weeks })
    }

    #[test]
    fn totals_name_a_share_only_of_what_was_looked_at() {
        assert_eq!(of(0, None), "2 ready: 24 put in.");
        assert_eq!(of(24, Some((1, 1))), "2 ready: 24 put in, 9 rooted (38 %); lifted after 1 week.");
        assert_eq!(
            of(12, Some((0, 8))),
            "2 ready: 24 put in, 9 rooted of 12 looked at (75 %); lifted after 0 to 8 weeks."
        );
    }
}
