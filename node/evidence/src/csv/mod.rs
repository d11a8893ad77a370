//! Evidence from a table: `grower,trial,arm,method,medium,region,stuck,rooted` and a few optional columns.
//!
//! The same analysis serves results that never were on the network. Every row is one arm; what is wrong
//! with a table is reported by file, row and column, several problems at once.

mod check;
mod select;
mod sites;
#[cfg(test)]
mod tests;
mod write;

pub use propagule_files::table::MOST_SHOWN;
pub use select::species_key;
pub use sites::{SITE_COLUMNS, Sites, read_sites};
pub use write::table;

use super::row::{Outcome, Stage};
use check::check_row;
use propagule_files::fault::Fault;
use propagule_files::table::{Problems, Table, TableOf};

/// Columns that an evidence table must have.
pub const NEEDED_COLUMNS: [&str; 8] =
    ["grower", "trial", "arm", "method", "medium", "region", "stuck", "rooted"];

/// Columns that an evidence table may have.
pub const OPTIONAL_COLUMNS: [&str; 6] = ["species", "alive", "dead", "lost", "stage", "outcome"];

/// One row of an evidence table, checked.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvRow {
    /// Line of the file.
    pub line: u64,
    /// Label of the grower.
    pub grower: String,
    /// Label of the trial, unique for its grower.
    pub trial: String,
    /// Label of the arm, unique in its trial.
    pub arm: String,
    /// Species as typed, where the table has the column.
    pub species: Option<String>,
    /// Method, compared as typed.
    pub method: String,
    /// Medium, compared as typed.
    pub medium: String,
    /// Region, as typed.
    pub region: String,
    /// Pieces put in.
    pub stuck: u32,
    /// Pieces that count as success.
    pub rooted: u32,
    /// Pieces alive, rooted ones included.
    pub alive: Option<u32>,
    /// Dead pieces.
    pub dead: Option<u32>,
    /// Pieces never scored.
    pub lost: Option<u32>,
    /// Which count; lift where the table does not say.
    pub stage: Stage,
    /// What `rooted` counts; rooted where the table does not say.
    pub outcome: Outcome,
}

/// A whole evidence table.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvEvidence {
    /// The file, as its user named it.
    pub file: String,
    /// Rows in the order of the file.
    pub rows: Vec<CsvRow>,
    /// Whether there is a column of species.
    pub has_species: bool,
    /// Names of columns that were not used.
    pub unused_columns: Vec<String>,
}

/// Reads an evidence table.
///
/// # Errors
/// Everything found wrong, up to [`MOST_SHOWN`] problems.
pub fn read_evidence(file: &str, bytes: &[u8]) -> Result<CsvEvidence, Fault> {
    let table = Table::read(TableOf::Evidence, file, bytes, &NEEDED_COLUMNS)?;
    let mut problems = Problems::default();
    let rows = table.rows.iter().filter_map(|row| check_row(&table, row, &mut problems)).collect();
    check::duplicates(&rows, table.has("species"), &mut problems);
    let known: Vec<&str> = NEEDED_COLUMNS.iter().chain(&OPTIONAL_COLUMNS).copied().collect();
    let evidence = CsvEvidence {
        file: file.to_owned(),
        has_species: table.has("species"),
        unused_columns: table.names_beside(&known),
        rows,
    };
    problems.settle(TableOf::Evidence, file, evidence)
}
