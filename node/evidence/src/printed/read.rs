//! Tables of printed trials and of their sources: what can be used, and what is wrong with the rest.

use std::collections::BTreeMap;

use propagule_files::fault::{Fault, Problem};
use propagule_files::table::{Problems, Table, TableOf, TableRow};
use propagule_protocol::Taxon;

use super::described::facets_of;
use super::{AllArms, Grade, PrintedArm, PrintedSource};

/// Columns that a table of trials must have; what it may have beside them stands in the shipped one.
pub const TRIAL_COLUMNS: [&str; 10] = [
    "source_id",
    "use",
    "species",
    "trial",
    "arm",
    "kind",
    "started",
    "rooted",
    "all_arms_reported",
    "grade",
];

/// Columns that a table of sources must have.
pub const SOURCE_COLUMNS: [&str; 2] = ["source_id", "citation"];

/// A column that only tables of sources have.
const OF_SOURCES: &str = "citation";

/// Pieces of one arm, beyond any trial.
const MOST_STARTED: u32 = 100_000;

/// What one table holds.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PrintedTable {
    /// Arms that may answer.
    pub arms: Vec<(u64, PrintedArm)>,
    /// Works.
    pub sources: Vec<PrintedSource>,
    /// What is wrong with the rows that are not used; `None` where all are.
    pub unused: Option<Fault>,
}

/// Reads a table of trials, or one of sources, which has a column `citation`. A row with something wrong is left out and
/// named; arms marked `check` are read and left out as well.
///
/// # Errors
/// When the whole table cannot be used.
pub fn read_printed(file: &str, bytes: &[u8]) -> Result<PrintedTable, Fault> {
    if let Ok((table, problems)) = Table::read_what_can_be(TableOf::Printed, file, bytes, &[OF_SOURCES]) {
        return sources(file, bytes, &table, problems);
    }
    let (table, mut problems) = Table::read_what_can_be(TableOf::Printed, file, bytes, &TRIAL_COLUMNS)?;
    let mut arms: Vec<(u64, PrintedArm)> = Vec::new();
    let mut lines: BTreeMap<(String, String, String), u64> = BTreeMap::new();
    for row in &table.rows {
        let Some(arm) = arm(&table, row, &mut problems) else { continue };
        let key = (arm.source.clone(), arm.trial.clone(), arm.arm.clone());
        let first = *lines.entry(key).or_insert(row.line);
        if first == row.line {
            arms.push((row.line, arm));
        } else {
            problems.add(twice(row, &arm, first));
        }
    }
    Ok(PrintedTable {
        arms,
        unused: problems.settle(TableOf::Printed, file, ()).err(),
        ..PrintedTable::default()
    })
}

fn twice(row: &TableRow, arm: &PrintedArm, first: u64) -> Problem {
    let fault = Fault::user("printed-arm-twice")
        .with("source", &arm.source)
        .with("trial", &arm.trial)
        .with("arm", &arm.arm)
        .with("first", first);
    Problem::of_cell(row.line, "arm", fault)
}

fn sources(file: &str, bytes: &[u8], table: &Table, mut problems: Problems) -> Result<PrintedTable, Fault> {
    Table::read_what_can_be(TableOf::Printed, file, bytes, &SOURCE_COLUMNS)?;
    let sources = table.rows.iter().filter_map(|row| source(table, row, &mut problems)).collect();
    Ok(PrintedTable {
        sources,
        unused: problems.settle(TableOf::Printed, file, ()).err(),
        ..PrintedTable::default()
    })
}

fn source(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<PrintedSource> {
    let id = table.needed(row, "source_id", problems).map(str::to_owned);
    let citation = table.needed(row, OF_SOURCES, problems).map(str::to_owned);
    let text = |column: &str| table.cell(row, column).map(str::to_owned);
    Some(PrintedSource {
        address: text("doi_or_url"),
        place: text("table"),
        how_read: text("how_read"),
        rights: text("rights"),
        date_read: text("date_read"),
        id: id?,
        citation: citation?,
    })
}

/// The arm of a row that may answer; `None` where it may not, or where something is wrong with it.
fn arm(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<PrintedArm> {
    let before = problems.count();
    let is_answer = word(table, row, "use", &[("answer", true), ("check", false)], problems)?;
    if !is_answer {
        return None;
    }
    let mut text = |column: &str| table.needed(row, column, problems).map(str::to_owned);
    let (source, trial, arm, kind) = (text("source_id"), text("trial"), text("arm"), text("kind"));
    let taxon = text("species").and_then(|name| species(row, &name, problems));
    let cell = |column: &str| table.cell(row, column).map(str::to_owned);
    let (started, succeeded) = counts(table, row, problems)?;
    let all_arms = AllArms::ALL.map(|all| (all.word(), all));
    let grades = Grade::ALL.map(|grade| (grade.word(), grade));
    let read = PrintedArm {
        doi: None,
        label: cell("arm_label").unwrap_or_default(),
        facets: facets_of(table, row, problems),
        other: cell("other_facets"),
        started,
        succeeded,
        weeks: small(table, row, "weeks", u16::MAX, problems),
        month: small(table, row, "season_month", 12, problems).filter(|month| *month > 0),
        country: cell("country"),
        all_arms: word(table, row, "all_arms_reported", &all_arms, problems)?,
        grade: Some(word(table, row, "grade", &grades, problems)?),
        basis: cell("count_basis"),
        remark: cell("remark"),
        source: source?,
        taxon: taxon?,
        trial: trial?,
        arm: arm?,
    };
    (kind.is_some() && problems.count() == before).then_some(read)
}

fn species(row: &TableRow, name: &str, problems: &mut Problems) -> Option<Taxon> {
    match Taxon::parse(name) {
        Ok(taxon) if taxon.species.is_some() => Some(taxon),
        Ok(_) => {
            let fault = Fault::user("printed-genus-alone").with("name", name);
            problems.add(Problem::of_cell(row.line, "species", fault));
            None
        }
        Err(why) => {
            let fault = Fault::user("printed-plant-malformed").with("why", why);
            problems.add(Problem::of_cell(row.line, "species", fault));
            None
        }
    }
}

/// Pieces put in and successes; `None` where they cannot be true.
fn counts(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<(u32, u32)> {
    let started = table.needed_count(row, "started", problems);
    let succeeded = table.needed_count(row, "rooted", problems);
    let (started, succeeded) = (started?, succeeded?);
    let (column, fault) = if started == 0 {
        ("started", Fault::user("row-of-nothing-put-in"))
    } else if started > MOST_STARTED {
        ("started", Fault::user("row-of-too-many-put-in").with("stuck", started))
    } else if succeeded > started {
        let fault =
            Fault::user("printed-more-rooted-than-put-in").with("rooted", succeeded).with("started", started);
        ("rooted", fault)
    } else {
        return Some((started, succeeded));
    };
    problems.add(Problem::of_cell(row.line, column, fault));
    None
}

/// One of a few words.
fn word<T: Copy>(
    table: &Table,
    row: &TableRow,
    column: &str,
    words: &[(&str, T)],
    problems: &mut Problems,
) -> Option<T> {
    let cell = table.needed(row, column, problems)?;
    let found = words.iter().find(|(word, _)| word.eq_ignore_ascii_case(cell)).map(|(_, value)| *value);
    if found.is_none() {
        let all: Vec<&str> = words.iter().map(|(word, _)| *word).collect();
        let fault = Fault::user("printed-word-unknown").with("cell", cell).with_data("words", &all);
        problems.add(Problem::of_cell(row.line, column, fault));
    }
    found
}

/// A whole number that may be blank.
fn small<T: TryFrom<u32> + Into<u32> + Copy>(
    table: &Table,
    row: &TableRow,
    column: &str,
    most: T,
    problems: &mut Problems,
) -> Option<T> {
    let number = table.count(row, column, problems)?;
    if number <= most.into() {
        return T::try_from(number).ok();
    }
    let fault = Fault::user("printed-number-too-large").with("number", number).with("most", most.into());
    problems.add(Problem::of_cell(row.line, column, fault));
    None
}
