//! One row of a trial table: words checked against the vocabularies, counts against each other.

use std::collections::BTreeMap;

use propagule_protocol::{Date, Facet, Facets, Taxon};

use super::columns::{COUNT_COLUMNS, of_stage};
use crate::bench::{Counts, Stage};
use crate::paper::dates::{self, Reading, When};
use crate::table::{Problem, Problems, Table, TableRow};

/// The most pieces that an arm may have; the schema's limit.
const MOST_PIECES: u32 = 10_000;
/// The longest code of a trial.
const MOST_CODE_CHARACTERS: usize = 60;

/// One arm as typed.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct ArmRow {
    pub(super) line: u64,
    pub(super) trial: String,
    pub(super) species: String,
    pub(super) started_on: When,
    pub(super) label: String,
    pub(super) started: u16,
    pub(super) facets: BTreeMap<String, String>,
    pub(super) stages: [(Option<When>, Option<Counts>); 4],
    pub(super) place: Option<String>,
    pub(super) grower: Option<String>,
    pub(super) spot: Option<String>,
    pub(super) stock_plants: Option<u16>,
    pub(super) is_randomised: Option<bool>,
    pub(super) is_blocked: Option<bool>,
    pub(super) is_scored_blind: Option<bool>,
    pub(super) note: Option<String>,
}

/// How days are read, and which is the last on which something can have happened, where that is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Days {
    pub(super) reading: Reading,
    pub(super) last: Option<Date>,
}

impl Days {
    /// Refuses a day that is yet to come.
    fn check(self, line: u64, column: &str, day: When, problems: &mut Problems) {
        if self.last.is_some_and(|last| day.first > last) {
            let why = format!("{day} is yet to come by this computer's clock");
            problems.add(Problem::of_cell(line, column, why).hinted("look at the year"));
        }
    }
}

/// Reads a row; what is wrong goes to `problems`, and then there is no row.
pub(super) fn read(table: &Table, row: &TableRow, days: Days, problems: &mut Problems) -> Option<ArmRow> {
    let before = problems.count();
    let text = |column: &str| table.cell(row, column).map(str::to_owned);
    let trial = code(table, row, problems);
    let species = species(table, row, problems);
    let started = started(table, row, problems);
    let started_on = table
        .needed(row, "started_on", problems)
        .and_then(|_| date(table, row, "started_on", days, problems));
    if let Some(day) = started_on {
        days.check(row.line, "started_on", day, problems);
    }
    let stages = Stage::ALL.map(|stage| stage_of(table, row, stage, (started, started_on), days, problems));
    let facets = facets(table, row, problems);
    let stock_plants =
        table.count(row, "stock_plants", problems).map(|count| count.min(u32::from(u16::MAX)) as u16);
    let [is_randomised, is_blocked, is_scored_blind] =
        ["randomised", "blocked", "scored_blind"].map(|column| yes_or_no(table, row, column, problems));
    if problems.count() > before {
        return None;
    }
    Some(ArmRow {
        line: row.line,
        trial: trial?,
        species: species?,
        started_on: started_on?,
        label: text("arm").unwrap_or_else(|| "A".to_owned()),
        started: started?,
        facets,
        stages,
        place: text("place"),
        grower: text("grower"),
        spot: text("spot"),
        stock_plants,
        is_randomised,
        is_blocked,
        is_scored_blind,
        note: text("note"),
    })
}

/// A code that can be typed after a command.
fn code(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<String> {
    let typed = table.needed(row, "trial", problems)?;
    if !typed.starts_with('-') && typed.chars().count() <= MOST_CODE_CHARACTERS {
        return Some(typed.to_owned());
    }
    let why = format!("a code has 1 to {MOST_CODE_CHARACTERS} characters and does not begin with a hyphen");
    problems.add(Problem::of_cell(row.line, "trial", why).hinted("use a short code, such as M1"));
    None
}

/// Lift comes before spring, spring before the final count.
pub(super) fn check_order(line: u64, days: [Option<When>; 4], problems: &mut Problems) {
    let mut last: Option<(Stage, When)> = None;
    for (stage, day) in Stage::ALL.into_iter().zip(days) {
        let Some(day) = day else { continue };
        if let Some((earlier, before)) = last
            && day.last < before.first
        {
            let column = of_stage(stage, "on");
            let why = format!("{day} is before the {} count ({before})", earlier.word());
            problems.add(Problem::of_cell(line, &column, why).hinted("look at the year of both dates"));
        }
        last = Some((stage, day));
    }
}

fn species(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<String> {
    let typed = table.needed(row, "species", problems)?;
    match Taxon::parse(typed) {
        Ok(_) => Some(typed.to_owned()),
        Err(error) => {
            let hint = match error.suggestions() {
                [] => "write genus and species, such as Morus nigra; a cultivar in single quotes".to_owned(),
                some => format!("did you mean {}?", some.join(", ")),
            };
            problems.add(Problem::of_cell(row.line, "species", error.to_string()).hinted(hint));
            None
        }
    }
}

fn started(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<u16> {
    if table.cell(row, "started").is_none() {
        problems.add(Problem::of_cell(row.line, "started", "the number put in is missing").hinted(
            "a share without the number put in cannot be counted: fill it in, or leave the row out with --leave-out",
        ));
        return None;
    }
    let count = table.needed_count(row, "started", problems)?;
    if (1..=MOST_PIECES).contains(&count) {
        return Some(count as u16);
    }
    let why = format!("{count} pieces put in; an arm has 1 to {MOST_PIECES}");
    problems.add(
        Problem::of_cell(row.line, "started", why)
            .hinted("leave out an arm that was never started; split a larger one"),
    );
    None
}

fn date(table: &Table, row: &TableRow, column: &str, days: Days, problems: &mut Problems) -> Option<When> {
    let typed = table.cell(row, column)?;
    match dates::read(typed, days.reading) {
        Ok(when) => Some(when),
        Err(question) => {
            let why = format!("\"{typed}\" is not a date: {question}");
            problems.add(
                Problem::of_cell(row.line, column, why).hinted("write year-month-day, such as 2026-06-05"),
            );
            None
        }
    }
}

fn yes_or_no(table: &Table, row: &TableRow, column: &str, problems: &mut Problems) -> Option<bool> {
    let typed = table.cell(row, column)?;
    match typed.to_lowercase().as_str() {
        "yes" | "y" | "true" | "1" => Some(true),
        "no" | "n" | "false" | "0" => Some(false),
        _ => {
            problems.add(
                Problem::of_cell(row.line, column, format!("\"{typed}\" is neither yes nor no"))
                    .hinted("write yes or no, or leave the cell blank"),
            );
            None
        }
    }
}

fn facets(table: &Table, row: &TableRow, problems: &mut Problems) -> BTreeMap<String, String> {
    let mut words = BTreeMap::new();
    let mut checked = Facets::default();
    for facet in Facet::ALL {
        let Some(typed) = table.cell(row, facet.name()) else { continue };
        match checked.set(facet, typed) {
            Ok(()) => {
                words.insert(facet.name().to_owned(), typed.to_owned());
            }
            Err(error) => {
                let hint = match &error.suggestions[..] {
                    [] => "leave the cell blank if you do not know".to_owned(),
                    some => format!("did you mean {}?", some.join(", ")),
                };
                problems.add(
                    Problem::of_cell(row.line, facet.name(), format!("\"{typed}\": {}", error.why))
                        .hinted(hint),
                );
            }
        }
    }
    words
}

fn stage_of(
    table: &Table,
    row: &TableRow,
    stage: Stage,
    (started, started_on): (Option<u16>, Option<When>),
    days: Days,
    problems: &mut Problems,
) -> (Option<When>, Option<Counts>) {
    let day_column = of_stage(stage, "on");
    let day = date(table, row, &day_column, days, problems);
    if let (Some(day), Some(started_on)) = (day, started_on)
        && day.last < started_on.first
    {
        let why = format!("{day} is before the pieces were put in ({started_on})");
        problems.add(Problem::of_cell(row.line, &day_column, why).hinted("look at the year of both dates"));
    }
    let cells = COUNT_COLUMNS.map(|what| count(table, row, &of_stage(stage, what), started, problems));
    if cells.iter().all(Option::is_none) {
        return (day, None);
    }
    // Without counts it is the day that was set in advance.
    if let Some(day) = day {
        days.check(row.line, &day_column, day, problems);
    }
    if day.is_none() && table.cell(row, &day_column).is_none() {
        problems.add(
            Problem::of_cell(row.line, &day_column, "there are counts but no date")
                .hinted("fill in the day of the count"),
        );
    }
    if let Some(started) = started {
        check_counts(row.line, stage, u32::from(started), cells, problems);
    }
    let [alive, callused, rooted, established, finished, dead, lost, left_as_finished] =
        cells.map(|cell| cell.map(|count| count.min(u32::from(u16::MAX)) as u16));
    let counts = Counts {
        alive,
        callused,
        rooted,
        established,
        finished,
        dead,
        lost,
        left_as_finished,
        ever_rooted: None,
    };
    (day, Some(counts))
}

/// A count, or a share of the number put in that is a whole count.
fn count(
    table: &Table,
    row: &TableRow,
    column: &str,
    started: Option<u16>,
    problems: &mut Problems,
) -> Option<u32> {
    let typed = table.cell(row, column)?;
    let Some(share) = typed.strip_suffix('%') else { return table.count(row, column, problems) };
    // Without the number put in the row is refused for that already.
    let started = u32::from(started?);
    match super::share::whole(share.trim(), started) {
        Ok(count) => Some(count),
        Err(why) => {
            problems.add(Problem::of_cell(row.line, column, why).hinted(
                "a share must be a whole number of the pieces put in: look for a slip in either, or write the count",
            ));
            None
        }
    }
}

/// The laws of counting: nothing exceeds what was put in, and fates add up.
pub(super) fn check_counts(
    line: u64,
    stage: Stage,
    started: u32,
    cells: [Option<u32>; 8],
    problems: &mut Problems,
) {
    for (what, count) in COUNT_COLUMNS.iter().zip(cells) {
        if let Some(count) = count.filter(|count| *count > started) {
            let why = format!("{count} {}, but only {started} were put in", what.replace('_', " "));
            problems.add(
                Problem::of_cell(line, &of_stage(stage, what), why).hinted(
                    "the number put in is fixed on the day of starting; look for a slip in either cell",
                ),
            );
            return;
        }
    }
    let [alive, callused, rooted, _, _, dead, lost, left] = cells;
    for (what, part) in [("rooted", rooted), ("callused", callused)] {
        if let (Some(alive), Some(part)) = (alive, part)
            && part > alive
        {
            let why = format!("{part} {what}, but only {alive} alive");
            problems.add(
                Problem::of_cell(line, &of_stage(stage, what), why)
                    .hinted("alive counts every living piece, the rooted ones too"),
            );
        }
    }
    let fates = [alive, dead, lost, left];
    let sum: u32 = fates.iter().flatten().sum();
    let all_given = alive.is_some() && dead.is_some() && lost.is_some();
    if sum > started || (all_given && sum != started) {
        let why =
            format!("alive, dead, lost and left as finished add up to {sum}, but {started} were put in");
        problems.add(
            Problem::of_cell(line, &of_stage(stage, "alive"), why)
                .hinted("each piece has one fate; leave a cell blank if it was not counted"),
        );
    }
}
