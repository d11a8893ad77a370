//! What came of a table of trials, or would, in words.

use crate::document::{Document, List, Phrase};
use propagule_files::paste::pasteable;

use super::command::ending_in_command;
use super::said;
use crate::kind::KindWords;
use crate::words::{counted, grouped, percent, sentences};
use propagule_app::outcome::import::{
    CountsShown, ImportCame, ImportLine, ImportQuestion, ImportTotals, ImportedTrial, LineOutcome,
    RefusedRow, RowCountSays, RowSays, RowShown, TrialImport,
};
use propagule_app::outcome::said::Said;
use propagule_app::tables::{
    Agrees, CellChanged, CellMeans, Change, Checks, OtherLine, Outcome, Stated, SumLine, SumOf, Told,
};

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
            said.say(format!("{} is read as {name}, {}.", column.heading, told(column.told)))
        })
        .each(&import.title, |said, title| said.say(format!("Kept as note: {}", title.replace('\n', "; "))))
}

/// What is open is asked, what is read by itself is stated.
fn question(question: &ImportQuestion) -> String {
    let sign = if question.is_open { "?" } else { "\u{2013}" };
    let place = question.row.map(|row| format!("line {row}: ")).unwrap_or_default();
    let hint = question.hint.as_ref().map(|hint| format!(" ({})", said::line(hint))).unwrap_or_default();
    format!("{sign} {place}{}{hint}", said::line(&question.text))
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
            (None, LineOutcome::Other(what)) if is_sum(what) => {
                shown.push(format!("line {} {}: {}", line.line, said::line(what), why(line)));
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
    let why = line.why.as_ref().map(|why| format!(" \u{2013} {}", said::line(why))).unwrap_or_default();
    let who = row.operator.as_ref().map(|who| format!(" by {who}")).unwrap_or_default();
    let trial = line.trial.as_deref().unwrap_or_default();
    format!(
        "line {} {}: {trial} {place}{who}: {}{why}",
        line.line,
        outcome(&line.outcome),
        said::line(&row.says)
    )
}

/// Why something became of a line, as far as something is to be said.
pub fn why(line: &ImportLine) -> String {
    line.why.as_ref().map(said::line).unwrap_or_default()
}

/// What becomes of a line, in a word.
pub fn outcome(of: &LineOutcome) -> String {
    match of {
        LineOutcome::Row(outcome) => word(*outcome).to_owned(),
        LineOutcome::Other(said) => said::line(said),
    }
}

fn word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Ready => "ready",
        Outcome::Same => "same",
        Outcome::Changed => "changed",
        Outcome::Asked => "asked",
        Outcome::Refused => "refused",
    }
}

/// How it is known what a column holds.
pub fn told(told: Told) -> &'static str {
    match told {
        Told::Name => "by name",
        Told::Content => "by content",
        Told::You => "by you",
        Told::LastTime => "as last time",
        Told::Unused => "unused",
    }
}

fn is_sum(what: &Said) -> bool {
    matches!(what, Said::TableLine { line: OtherLine::Sum(_) | OtherLine::SaidTotal })
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
        KindWords::of(of.kind).many(u64::from(of.started)),
        counted(of.arms, "treatment", "treatments"),
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
            format!(" of {} checked", grouped(u64::from(totals.looked)))
        };
        format!(", {} {}{of} ({share}%)", grouped(u64::from(totals.rooted)), said.ok)
    } else {
        String::new()
    };
    let after = totals.weeks.map_or_else(String::new, |(least, most)| {
        let weeks = counted(most, "week", "weeks");
        let span = if least == most { weeks } else { format!("{least} to {weeks}") };
        format!("; {} after {span}", said.name(propagule_bench::Stage::Lift))
    });
    format!(
        "{} ready: {} {}{with}{after}.",
        counted(totals.trials, "trial", "trials"),
        grouped(u64::from(totals.started)),
        said.started
    )
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
        format!("{} ({number}{column}{})", row.trial.as_deref().unwrap_or("no code"), said::line(&row.why))
    };
    Document::new().when(!rows.is_empty(), |said| {
        said.section(format!("{} refused:", rows.len()), |under| {
            under.list(List::points(rows.iter().map(line)))
        })
        .say("Correct them and read the table again, or bring in the others with --leave-out.")
    })
}

/// A plant that the list does not have, where it has one of nearly that name.
fn perhaps_misspelt(name: &str, near: &[String]) -> String {
    format!("{name} is not on the list; you can still use it. Did you mean {}?", near.join(", "))
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
        (ImportCame::NothingNew, _) => "Nothing new: all of it is here already.".into(),
        (ImportCame::Saved, Some(first)) => {
            ending_in_command(&format!("Saved. See one: propagule trial show {}", pasteable(&first.trial)))
        }
        (ImportCame::Ready, _) => "Nothing was saved yet. Save it: the same command with --yes".into(),
        (ImportCame::NotSaved | ImportCame::Saved, _) => "Nothing was saved.".into(),
    }
}

/// What a line is that is no row of plants.
pub(super) fn other_line(line: &OtherLine) -> String {
    match line {
        OtherLine::Blank => "blank".to_owned(),
        OtherLine::Heading => "heading".to_owned(),
        OtherLine::Title { words } => format!("title, kept as note '{words}'"),
        OtherLine::Sum(SumLine { of: SumOf::Average, .. }) => "average row".to_owned(),
        OtherLine::Sum(SumLine { of: SumOf::Total, .. }) | OtherLine::SaidTotal => "total row".to_owned(),
    }
}

/// Why it is taken for that.
pub(super) fn other_line_why(line: &OtherLine) -> String {
    match line {
        OtherLine::Sum(SumLine { first, agrees, .. }) => {
            format!("first cell is {first} and {}; never a plant", sum_agrees(agrees.as_ref()))
        }
        OtherLine::SaidTotal => "you said so".to_owned(),
        OtherLine::Blank | OtherLine::Heading | OtherLine::Title { .. } => String::new(),
    }
}

fn sum_agrees(agrees: Option<&Agrees>) -> String {
    match agrees {
        Some(Agrees::Sum { value }) => format!("{value} is the sum of the rows above"),
        Some(Agrees::Mean { value, of }) => format!("{value} is the mean of {}", numbers(of)),
        None => "it has no number that can be checked".to_owned(),
    }
}

fn numbers(all: &[f64]) -> String {
    let mut words: Vec<String> = all.iter().take(8).map(f64::to_string).collect();
    if all.len() > words.len() {
        words.push(format!("and {} more", all.len() - words.len()));
    }
    words.join(", ")
}

/// A cell that says something else than is known.
pub(super) fn cell_changed(changed: &CellChanged) -> String {
    let CellChanged { what, was, now, is_taken, kind } = changed;
    let what = KindWords::of(*kind).state(what);
    let was = was.as_deref().unwrap_or(NOT_COUNTED);
    let how = if *is_taken { "saved as a correction" } else { "needs --update: saved as a correction" };
    format!("{what} was {was}, now {now}; {how}, {was} stays in the history")
}

/// Of a cell in which nothing was counted.
pub(super) const NOT_COUNTED: &str = "not counted";
/// Of a line that is asked about.
pub(super) const WAITS: &str = "waits for an answer";

/// What a row of plants says, in a line.
pub(super) fn row(says: &RowSays) -> String {
    let words = KindWords::of(says.kind);
    let mut parts = vec![format!("{} {}", says.started, words.started)];
    for RowCountSays { stage, on, counts } in &says.counts {
        let when = {
            let day = sentences::when(&words, on);
            stage.map_or_else(|| day.clone(), |stage| format!("{} {day}", words.name(stage)))
        };
        parts.push(format!("{when}: {}", row_counts(counts, stage.is_some(), words.ok)));
        if let Some(count) = counts.not_mentioned {
            parts.push(format!("{count} of {} are not accounted for", counts.of));
        }
    }
    if says.counts.is_empty() {
        parts.push("not counted yet".to_owned());
    }
    parts.extend(says.suckers.map(|removed| format!("rootstock suckers {removed}")));
    let filled = says.filled.iter();
    parts.extend(filled.map(|filled| format!("{} filled from line {}", filled.column, filled.line)));
    parts.join("; ")
}

fn row_counts(counts: &CountsShown, is_stage: bool, lead: &str) -> String {
    let mut words = Vec::new();
    if let (Some(alive), false) = (counts.alive, is_stage) {
        words.push(format!("{alive} alive"));
    }
    let named = [
        (lead, counts.rooted),
        ("finished", counts.finished),
        ("died", Some(counts.died)),
        ("lost", Some(counts.lost)),
        ("not seen", Some(counts.not_known)),
    ];
    for (word, count) in named {
        let Some(count) = count else { continue };
        if count > 0 || (word == lead && is_stage) {
            words.push(format!("{count} {word}"));
        }
    }
    words.join(", ")
}

/// How something in a table is read.
pub(super) fn stated(reading: &Stated) -> String {
    match reading {
        Stated::ColumnsAsLastTime => "columns as last time (same headings)".to_owned(),
        Stated::ColumnByContent { heading, column } => {
            format!("{heading}: {}, by what stands in it", column.replace('_', " "))
        }
        Stated::ReplicatesArePots => "Rep: pots of a treatment".to_owned(),
        Stated::OtherSheets { names } => {
            format!("only this sheet is read; there is also \"{}\"", names.join("\", \""))
        }
        Stated::ArmReadAs { typed, read_as } => format!("{typed} is read as {read_as}"),
        Stated::WordReadAs { heading, typed, read_as } => {
            format!("{heading}: '{typed}' is read as {read_as}")
        }
        Stated::NameReadAs { heading, typed, read_as, noted } => {
            format!("{heading}: '{typed}' is read as {read_as} ({})", noted.join("; "))
        }
        Stated::Fractions { heading } => {
            format!("{heading}: shares of the number started, written as fractions")
        }
        Stated::PerCent { heading } => format!("{heading}: percent of the number started"),
        Stated::ChecksHold { headings, checks: held } => {
            format!("{}: {}", headings.join(", "), checks(*held))
        }
        Stated::YearOfHeading { typed, year } => {
            format!("{typed} has no year: {year}, from the day of starting")
        }
        Stated::Cell { text, means } => format!("'{text}': {}", cell_means(*means)),
        Stated::RestNotKnown { counts, and_more } => {
            let shown: Vec<String> = counts.iter().map(u16::to_string).collect();
            format!(
                "Not accounted for at a count ({}{}): read as not seen. To say alive or dead: --rest",
                shown.join(", "),
                if *and_more { " \u{2026}" } else { "" }
            )
        }
    }
}

fn checks(checks: Checks) -> &'static str {
    match checks {
        Checks::Alive => "alive on that day",
        Checks::Dead => "dead since the check before",
        Checks::DeadSoFar => "dead so far",
        Checks::Rooted => "rooted on that day",
    }
}

fn cell_means(means: CellMeans) -> &'static str {
    match means {
        CellMeans::Zero => "zero",
        CellMeans::AllDied => "all that were left died",
        CellMeans::AllLost => "all that were left are lost",
        CellMeans::AllAlive => "all that were left are alive",
        CellMeans::NotKnown => "checked, not seen",
        CellMeans::NotCounted => NOT_COUNTED,
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
        assert_eq!(of(0, None), "2 trials ready: 24 stuck.");
        assert_eq!(
            of(24, Some((1, 1))),
            "2 trials ready: 24 stuck, 9 rooted (38%); lift count after 1 week."
        );
        assert_eq!(
            of(12, Some((0, 8))),
            "2 trials ready: 24 stuck, 9 rooted of 12 checked (75%); lift count after 0 to 8 weeks."
        );
    }
}
