//! Whether one row of an evidence table can be true, and whether two rows are the same arm.

use std::collections::BTreeMap;

use super::CsvRow;
use crate::row::{Outcome, Stage};
use propagule_files::table::{Problem, Problems, Table, TableRow};

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
        stage: word(table, row, "stage", Stage::parse, "lift, season, spring or final", problems),
        outcome: word(table, row, "outcome", Outcome::parse, OUTCOMES, problems),
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

const OUTCOMES: &str = "rooted, alive, callused, established or final";

fn word<T: Default>(
    table: &Table,
    row: &TableRow,
    column: &str,
    parse: fn(&str) -> Option<T>,
    choices: &str,
    problems: &mut Problems,
) -> T {
    let Some(cell) = table.cell(row, column) else { return T::default() };
    parse(&cell.to_lowercase()).unwrap_or_else(|| {
        let problem = Problem::of_cell(row.line, column, format!("\"{cell}\" is not one of its words"));
        problems.add(problem.hinted(format!("use {choices}")));
        T::default()
    })
}

/// Adds a problem for the first rule that the counts break.
fn check_counts(row: &CsvRow, problems: &mut Problems) -> bool {
    let Some((column, why, hint)) = broken_rule(row) else { return true };
    problems.add(Problem::of_cell(row.line, column, why).hinted(hint));
    false
}

fn broken_rule(row: &CsvRow) -> Option<(&'static str, String, &'static str)> {
    let stuck = u64::from(row.stuck);
    if row.stuck == 0 {
        return Some(("stuck", "nothing was put in".to_owned(), "leave out arms that were never stuck"));
    }
    if row.stuck > MOST_STUCK {
        let why = format!("{} are more than one arm can hold", row.stuck);
        return Some(("stuck", why, "one row is one arm of at most 100,000 pieces"));
    }
    if row.rooted > row.stuck {
        let why = format!("{} rooted of {} stuck", row.rooted, row.stuck);
        return Some(("rooted", why, "rooted is a part of stuck; check whether the columns are swapped"));
    }
    if let Some(alive) = row.alive.filter(|alive| *alive < row.rooted) {
        let why = format!("{alive} alive but {} rooted", row.rooted);
        return Some(("alive", why, "alive counts all that live, the rooted ones included"));
    }
    let failed: u64 = [row.dead, row.lost].into_iter().flatten().map(u64::from).sum();
    let living = u64::from(row.alive.unwrap_or(row.rooted));
    if living + failed > stuck {
        let name = if row.alive.is_some() { "alive" } else { "rooted" };
        let why = format!("{name} {living} + dead or lost {failed} is more than {stuck} stuck");
        return Some((
            "stuck",
            why,
            "each piece is alive, dead or lost once; alive includes the rooted ones",
        ));
    }
    let all_given = row.alive.is_some() && row.dead.is_some() && row.lost.is_some();
    if all_given && living + failed != stuck {
        let why =
            format!("alive {living} + dead or lost {failed} leaves {} of {stuck}", stuck - living - failed);
        return Some(("stuck", why, "count pieces that nobody scored as lost, or leave the column out"));
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
    let CsvRow { grower, trial, arm, .. } = row;
    let why = format!("grower {grower}, trial {trial}, arm {arm} stands in row {first} already");
    let hint = if has_species {
        "give each arm of a trial its own label, or add the two rows up"
    } else {
        "give each arm its own label; if the file holds several species, add a column \"species\""
    };
    Problem::of_cell(row.line, "arm", why).hinted(hint)
}
