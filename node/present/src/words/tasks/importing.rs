//! Bringing in a table.

use crate::words::counted;

/// How a table is to look.
pub const HOW: &str = "One row for each treatment, pot or plant, with headings in the first row. Copy it from your spreadsheet and paste it, or choose a file (CSV, XLSX or ODS). Leave out what you do not know: a blank is not a zero.";
/// The field of the table.
pub const TABLE: &str = "The table";
/// What stands between its columns.
pub const TABLE_HELP: &str = "Columns parted by commas, semicolons or tabs";
/// Leads on when all is in.
pub const TO_BENCH: &str = "To the bench";
/// The heading of how it is read.
pub const READING: &str = "How it is read";
/// Nothing is chosen.
const NOT_SAID: (&str, &str) = ("", super::super::new_trial::NOT_SAID);
/// The order of days in figures.
pub const DATES: &str = "Dates written in figures";
/// Its choices.
pub const DATES_CHOICES: [(&str, &str); 3] =
    [("", "5/6 is 5 June or 6 May"), ("day", "the day comes first"), ("month", "the month comes first")];
/// The year that was left out.
pub const YEAR: &str = "The year of dates without one";
/// What columns that are headed by a day hold.
pub const CHECKS: &str = "Columns headed by a date hold";
/// Its choices.
pub const CHECKS_CHOICES: [(&str, &str); 5] = [
    NOT_SAID,
    ("alive", "alive on that day"),
    ("dead", "dead since the check before"),
    ("dead-so-far", "dead so far"),
    ("rooted", "rooted"),
];
/// Those that no column of a count holds.
pub const REST: &str = "Those that a count leaves out are";
/// Its choices.
pub const REST_CHOICES: [(&str, &str); 3] = [("", "not seen"), ("alive", "alive"), ("dead", "dead")];
/// A sheet among several.
pub const SHEET: &str = "The sheet of a workbook";
/// A row is a plant.
pub const ONE_PLANT: &str = "Every row is one plant, placed by itself";
/// Rows that are wrong are left out.
pub const LEAVE_OUT: &str = "Take in the rows that are right, and leave the others out";
/// Shows what it is taken for.
pub const TRY: &str = "Look at it first: nothing is saved";
/// Shows it again.
pub const TRY_AGAIN: &str = "Look again: nothing is saved";
/// A column is left as it is.
pub const AS_READ: &str = "as it is read";
/// The heading of the columns.
pub const COLUMNS: &str = "Columns";
/// A column that nothing is taken from.
pub const UNUSED: &str = "unused";
/// The heading of what is asked.
pub const QUESTIONS: &str = "Questions";
/// What holds for all rows.
pub const ALL_ROWS: &str = "What holds for all rows";
/// How it is typed.
pub const ALL_ROWS_HELP: &str = "One a line, such as species=Morus nigra or lift_on=2026-09-12";
/// The heading of rows that were refused.
pub const REFUSED: &str = "Refused";
/// The heading of all rows.
pub const LINES: &str = "Line by line";
/// A row without the code of a trial.
pub const NO_CODE: &str = "no code";

/// What was saved.
pub fn taken_in(trials: usize, left_out: usize) -> [String; 2] {
    let left = match left_out {
        0 => String::new(),
        _ => format!("{} left out.", counted(left_out, "line was", "lines were")),
    };
    [format!("{} saved.", counted(trials, "trial was", "trials were")), left]
}

/// What would be saved.
pub fn ready(trials: usize, refused: usize) -> [String; 2] {
    let trials = counted(trials, "trial is ready", "trials are ready");
    let refused = match refused {
        0 => String::new(),
        _ => format!(", {}", counted(refused, "line is refused", "lines are refused")),
    };
    [format!("{trials}{refused}."), "Nothing has been saved yet.".to_owned()]
}

/// Those that are not listed.
pub fn more(lines: usize) -> String {
    format!("and {lines} more")
}

/// Columns that nothing was taken from.
pub fn unused(columns: &[String]) -> String {
    format!("Columns not used: {}.", columns.join(", "))
}

/// Where in the table something stands.
pub fn at(row: impl std::fmt::Display, column: Option<&str>) -> String {
    column.map_or_else(|| format!("(row {row})"), |column| format!("(row {row}, {column})"))
}

/// A line by its number.
pub fn line(number: impl std::fmt::Display) -> String {
    format!("Line {number}:")
}
