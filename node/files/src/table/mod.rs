//! Text tables with a header: byte-order mark, delimiter, row length, numbers.

use std::collections::BTreeMap;

mod error;
mod lines;
mod write;

use crate::fault::{Fault, Problem};

pub use error::{MOST_SHOWN, Problems, TableOf};
pub use write::as_csv;

/// A table whose header has been read and whose rows all have its length.
#[derive(Debug)]
pub struct Table {
    columns: BTreeMap<String, usize>,
    names: Vec<String>,
    /// Its rows, in order.
    pub rows: Vec<TableRow>,
}

/// One row with the line it starts on.
#[derive(Debug)]
pub struct TableRow {
    /// Line of the file on which it begins.
    pub line: u64,
    cells: Vec<String>,
}

/// The longest cell, in bytes; a longer one is a quote that was never closed.
const MOST_CELL_BYTES: usize = 10_000;
/// The one column whose cells may have several lines.
const NOTE: &str = "note";

/// A column name in the form used for matching: trimmed, lower case, with underscores.
fn matching_name(name: &str) -> String {
    name.trim().to_lowercase().replace([' ', '-'], "_")
}

/// A cell as it was before an export put an apostrophe before a character that starts a formula.
fn without_guard(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@', '\t', '\r']) => rest,
        _ => cell,
    }
}

/// What a spreadsheet's own file begins with: it is a ZIP archive.
const SPREADSHEET: &[u8] = b"PK\x03\x04";

/// The delimiter that the header line holds most of; a comma where it holds none.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |byte: &u8| header.bytes().filter(|b| b == byte).count();
    [b',', b';', b'\t'].into_iter().rev().max_by_key(count).unwrap_or(b',')
}

/// The bytes as text, without a byte-order mark.
pub fn as_text<'a>(of: TableOf, file: &str, bytes: &'a [u8]) -> Result<&'a str, Fault> {
    if bytes.starts_with(SPREADSHEET) {
        return Err(of.refused_for(file, Problem::of_file(Fault::user("table-is-a-spreadsheet"))));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    std::str::from_utf8(bytes).map_err(|error| {
        let line = lines::Lines::of(bytes).at(error.valid_up_to());
        of.refused_for(file, Problem::of_row(line, Fault::user("table-not-utf8")))
    })
}

impl Table {
    /// Reads a table with the columns named in `needed`.
    ///
    /// # Errors
    /// Text that is not UTF-8, an empty file, a needed column missing or named twice, rows of another
    /// length than the header.
    pub fn read(of: TableOf, file: &str, bytes: &[u8], needed: &[&str]) -> Result<Self, Fault> {
        let (table, problems) = Self::read_what_can_be(of, file, bytes, needed)?;
        problems.settle(of, file, table)
    }

    /// Reads the rows that can be read, with what is wrong with the others.
    ///
    /// # Errors
    /// Text that is not UTF-8, an empty file, a needed column missing or named twice, a file without a row.
    pub fn read_what_can_be(
        of: TableOf,
        file: &str,
        bytes: &[u8],
        needed: &[&str],
    ) -> Result<(Self, Problems), Fault> {
        let text = as_text(of, file, bytes)?;
        let mut reader = csv::ReaderBuilder::new()
            .delimiter(delimiter(text))
            .flexible(true)
            .has_headers(false)
            .from_reader(text.as_bytes());
        let mut records = reader.records().enumerate().map(|(index, record)| {
            record.map_err(|error| {
                let fault = Fault::user("table-row-unreadable").because(error);
                of.refused_for(file, Problem::of_row(index as u64 + 1, fault))
            })
        });
        let Some(header) = records.next() else {
            let fault = Fault::user("table-empty").with("columns", needed.join(","));
            return Err(of.refused_for(file, Problem::of_file(fault)));
        };
        let names: Vec<String> = header?.iter().map(|name| name.trim().to_owned()).collect();
        let mut problems = Problems::default();
        let columns = columns_by_name(&names, needed, &mut problems);
        let is_headed = problems.count() == 0;
        let mut lines = lines::Lines::of(text.as_bytes());
        let mut rows = Vec::new();
        for record in records {
            let record = record?;
            if record.iter().all(|cell| cell.trim().is_empty()) {
                continue;
            }
            let line = record.position().map_or(0, |position| lines.of_record(position.byte() as usize));
            match read_row(line, &names, &record) {
                Ok(row) => rows.push(row),
                Err(problem) => problems.add(problem),
            }
        }
        if rows.is_empty() && problems.count() == 0 {
            problems.add(Problem::of_file(Fault::user("table-without-rows")));
        }
        let table = Self { columns, names, rows };
        if is_headed && !table.rows.is_empty() {
            return Ok((table, problems));
        }
        problems.settle(of, file, (table, Problems::default()))
    }

    /// Whether the header names `column`.
    pub fn has(&self, column: &str) -> bool {
        self.columns.contains_key(column)
    }

    /// The cell as typed; `None` where the column is missing or the cell blank.
    pub fn cell<'a>(&self, row: &'a TableRow, column: &str) -> Option<&'a str> {
        let index = *self.columns.get(column)?;
        Some(row.cells[index].as_str()).filter(|cell| !cell.is_empty())
    }

    /// Names of columns other than `known`, as typed.
    pub fn names_beside(&self, known: &[impl AsRef<str>]) -> Vec<String> {
        let unknown = |name: &&String| {
            !name.is_empty() && known.iter().all(|known| known.as_ref() != matching_name(name))
        };
        self.names.iter().filter(unknown).cloned().collect()
    }

    /// A needed cell; a blank is a problem.
    pub fn needed<'a>(&self, row: &'a TableRow, column: &str, problems: &mut Problems) -> Option<&'a str> {
        let cell = self.cell(row, column);
        if cell.is_none() {
            problems.add(blank(row.line, column));
        }
        cell
    }

    /// A whole number, 0 or more; `None` where the cell is blank or wrong (which is a problem).
    pub fn count(&self, row: &TableRow, column: &str, problems: &mut Problems) -> Option<u32> {
        let cell = self.cell(row, column)?;
        match whole_number(cell) {
            Ok(count) => Some(count),
            Err(fault) => {
                problems.add(Problem::of_cell(row.line, column, fault));
                None
            }
        }
    }

    /// A needed whole number.
    pub fn needed_count(&self, row: &TableRow, column: &str, problems: &mut Problems) -> Option<u32> {
        self.needed(row, column, problems)?;
        self.count(row, column, problems)
    }

    /// A needed decimal number.
    pub fn needed_decimal(&self, row: &TableRow, column: &str, problems: &mut Problems) -> Option<f64> {
        let cell = self.needed(row, column, problems)?;
        if has_thousands_or_decimals(cell) {
            let fault = Fault::user("table-number-read-two-ways").with("cell", cell);
            problems.add(Problem::of_cell(row.line, column, fault));
            return None;
        }
        match cell.replace(',', ".").parse::<f64>() {
            Ok(number) if number.is_finite() => Some(number),
            _ => {
                let fault = Fault::user("table-cell-not-a-number").with("cell", cell);
                problems.add(Problem::of_cell(row.line, column, fault));
                None
            }
        }
    }
}

fn columns_by_name(names: &[String], needed: &[&str], problems: &mut Problems) -> BTreeMap<String, usize> {
    let mut columns = BTreeMap::new();
    // Spreadsheets leave columns without a name at the end; nothing can be asked of them.
    for (index, name) in names.iter().enumerate().filter(|(_, name)| !name.is_empty()) {
        if columns.insert(matching_name(name), index).is_some() {
            problems.add(Problem::of_column(name, Fault::user("table-column-twice")));
        }
    }
    for column in needed.iter().filter(|column| !columns.contains_key(**column)) {
        let fault = Fault::user("table-column-missing").with_data("there", &names);
        problems.add(Problem::of_column(column, fault));
    }
    columns
}

fn read_row(line: u64, names: &[String], record: &csv::StringRecord) -> Result<TableRow, Problem> {
    if record.len() != names.len() {
        return Err(wrong_length(line, record, names.len()));
    }
    if let Some(problem) = unreadable(line, names, record) {
        return Err(problem);
    }
    Ok(TableRow { line, cells: names.iter().zip(record).map(|(name, cell)| typed(name, cell)).collect() })
}

fn wrong_length(line: u64, record: &csv::StringRecord, expected: usize) -> Problem {
    let hint = if record.iter().next_back().is_some_and(|cell| cell.contains(['\n', '\r'])) {
        "close-the-quote-of-this-row"
    } else {
        "look-for-a-comma"
    };
    let fault = Fault::user("table-row-of-other-length")
        .with("found", record.len())
        .with("expected", expected)
        .hint_named(hint);
    Problem::of_row(line, fault)
}

/// A row that no person typed: a cell with control characters, or far too long.
fn unreadable(line: u64, names: &[String], record: &csv::StringRecord) -> Option<Problem> {
    let is_control = |c: &char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
    names.iter().zip(record).find_map(|(name, cell)| {
        if let Some(control) = cell.chars().find(is_control) {
            let fault = Fault::user("table-cell-with-control-character")
                .with("character", format_args!("U+{:04X}", u32::from(control)));
            return Some(Problem::of_cell(line, name, fault));
        }
        (cell.len() > MOST_CELL_BYTES).then(|| {
            let fault = Fault::user("table-cell-too-long")
                .with("characters", cell.chars().count())
                .with("most", MOST_CELL_BYTES);
            Problem::of_cell(line, name, fault)
        })
    })
}

/// The cell in one line, as it was typed; a note keeps its lines.
fn typed(column: &str, cell: &str) -> String {
    let cell = without_guard(cell.trim());
    if matching_name(column) == NOTE || !cell.contains(['\n', '\r', '\t']) {
        return cell.to_owned();
    }
    cell.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// Whether the comma in `1,200` may stand before thousands or before decimals.
fn has_thousands_or_decimals(cell: &str) -> bool {
    let Some((before, behind)) = cell.split_once(',') else { return false };
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    digits(before.trim_start_matches('-'))
        && before.trim_start_matches('-') != "0"
        && behind.len() == 3
        && digits(behind)
}

fn blank(line: u64, column: &str) -> Problem {
    let hint = match column {
        "stuck" => "blank-number-put-in",
        "medium" | "region" => "blank-word",
        "rooted" => "blank-outcome",
        _ => "fill-in-or-leave-out",
    };
    Problem::of_cell(line, column, Fault::user("table-cell-blank").hint_named(hint))
}

fn whole_number(cell: &str) -> Result<u32, Fault> {
    if let Ok(count) = cell.parse::<u32>() {
        return Ok(count);
    }
    let digits = cell.strip_prefix(['-', '\u{2212}']).unwrap_or_default();
    if !digits.is_empty() && digits.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Fault::user("table-count-negative").with("cell", cell));
    }
    if cell.ends_with('%') {
        return Err(Fault::user("table-count-in-per-cent").with("cell", cell));
    }
    Err(Fault::user("table-count-not-whole").with("cell", cell))
}
