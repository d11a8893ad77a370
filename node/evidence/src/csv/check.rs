//! Whether one row of an evidence table can be true, and whether two rows are the same arm.

use std::collections::BTreeMap;

use super::CsvRow;
use crate::row::{Outcome, Stage};
use propagule_files::fault::{Fault, Problem};
use propagule_files::table::{Problems, Table, TableRow};

/// The row with its counts checked; `None` when something was wrong with it.
pub(super) fn check_row(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<CsvRow> {
    let mut text = |column: &str| table.needed(row, column, problems).map(str::to_owned);
    let (grower, trial, arm, method) = (text("grower"), text("trial"), text("arm"), text("method"));
    let (medium, region) = (text("medium"), text("region"));
    let species = if table.has("species") { text("species") } else { None };
    let stuck = table.needed_count(row, "stuck", problems);
    let rooted = table.needed_count(row, "rooted", problems);
    let checked = CsvRow {
        line: row.line,
        species,
        alive: table.count(row, "alive", problems),
        dead: table.count(row, "dead", problems),
        lost: table.count(row, "lost", problems),
        stage: word(table, row, "stage", Stage::parse, "stages-of-a-table", problems),
        outcome: word(table, row, "outcome", Outcome::parse, "outcomes-of-a-table", problems),
        grower: grower?,
        trial: trial?,
        arm: arm?,
        method: method?,
        medium: medium?,
        region: region?,
        stuck: stuck?,
        rooted: rooted?,
    };
    check_counts(&checked, problems).then_some(checked)
}

/// Pieces of one arm, beyond any bench; a larger number is a slip, and no model is computed for it.
const MOST_STUCK: u32 = 100_000;

fn word<T: Default>(
    table: &Table,
    row: &TableRow,
    column: &str,
    parse: fn(&str) -> Option<T>,
    choices: &'static str,
    problems: &mut Problems,
) -> T {
    let Some(cell) = table.cell(row, column) else { return T::default() };
    parse(&cell.to_lowercase()).unwrap_or_else(|| {
        let fault = Fault::user("table-word-unknown").with("cell", cell).hint_named(choices);
        problems.add(Problem::of_cell(row.line, column, fault));
        T::default()
    })
}

/// Adds a problem for the first rule that the counts break.
fn check_counts(row: &CsvRow, problems: &mut Problems) -> bool {
    let Some((column, fault)) = broken_rule(row) else { return true };
    problems.add(Problem::of_cell(row.line, column, fault));
    false
}

fn broken_rule(row: &CsvRow) -> Option<(&'static str, Fault)> {
    let stuck = u64::from(row.stuck);
    if row.stuck == 0 {
        return Some(("stuck", Fault::user("row-of-nothing-put-in")));
    }
    if row.stuck > MOST_STUCK {
        return Some(("stuck", Fault::user("row-of-too-many-put-in").with("stuck", stuck)));
    }
    if row.rooted > row.stuck {
        let fault = Fault::user("row-more-rooted-than-stuck").with("rooted", row.rooted).with("stuck", stuck);
        return Some(("rooted", fault));
    }
    if let Some(alive) = row.alive.filter(|alive| *alive < row.rooted) {
        let fault =
            Fault::user("row-fewer-alive-than-rooted").with("alive", alive).with("rooted", row.rooted);
        return Some(("alive", fault));
    }
    let failed: u64 = [row.dead, row.lost].into_iter().flatten().map(u64::from).sum();
    let living = u64::from(row.alive.unwrap_or(row.rooted));
    if living + failed > stuck {
        let counted = if row.alive.is_some() { "alive" } else { "rooted" };
        let fault = Fault::user("row-more-fates-than-stuck")
            .with("counted", counted)
            .with("living", living)
            .with("failed", failed)
            .with("stuck", stuck);
        return Some(("stuck", fault));
    }
    let all_given = row.alive.is_some() && row.dead.is_some() && row.lost.is_some();
    if all_given && living + failed != stuck {
        let fault = Fault::user("row-fewer-fates-than-stuck")
            .with("living", living)
            .with("failed", failed)
            .with("left", stuck - living - failed)
            .with("stuck", stuck);
        return Some(("stuck", fault));
    }
    None
}

/// Adds a problem for every row that repeats grower, trial, arm and count of an earlier one.
pub(super) fn duplicates(rows: &Vec<CsvRow>, has_species: bool, problems: &mut Problems) {
    let mut seen = BTreeMap::new();
    for row in rows {
        let key = (&row.grower, &row.trial, &row.arm, &row.species, row.stage, row.outcome);
        if let Some(first) = seen.insert(key, row.line) {
            problems.add(duplicate(row, first, has_species));
            seen.insert(key, first);
        }
    }
}

fn duplicate(row: &CsvRow, first: u64, has_species: bool) -> Problem {
    let hint = if has_species { "label-of-its-own" } else { "label-of-its-own-or-species" };
    let fault = Fault::user("row-of-an-arm-twice")
        .with("grower", &row.grower)
        .with("trial", &row.trial)
        .with("arm", &row.arm)
        .with("first", first)
        .hint_named(hint);
    Problem::of_cell(row.line, "arm", fault)
}
