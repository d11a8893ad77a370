//! A file as rows of cells, whatever program wrote it.

mod book;
mod text;

use propagule_protocol::Date;

use propagule_files::fault::{Fault, Problem};
use propagule_files::table::TableOf;

/// The longest cell, in bytes; a longer one is a quote that was never closed.
pub(super) const MOST_CELL_BYTES: usize = 10_000;
/// The most rows of a table.
const MOST_ROWS: usize = 200_000;
/// The most columns of a table.
const MOST_COLUMNS: usize = 500;

/// One cell.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Cell {
    /// As typed, or as the spreadsheet stored it; days year-month-day.
    pub(super) text: String,
    /// A formula of which the spreadsheet stored no value.
    pub(super) is_open_formula: bool,
}

impl Cell {
    fn of(text: &str) -> Self {
        Self { text: tidy(text), is_open_formula: false }
    }

    fn day(day: Date) -> Self {
        Self::of(&day.to_string())
    }

    /// Whether nothing stands in it.
    pub(super) fn is_blank(&self) -> bool {
        self.text.is_empty()
    }
}

/// One line of the file.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Line {
    /// Its number, from 1.
    pub(super) number: u64,
    /// Its cells.
    pub(super) cells: Vec<Cell>,
    /// Why it cannot be read.
    pub(super) fault: Option<LineFault>,
}

/// Why a line cannot be read; the column is told by its place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum LineFault {
    /// A quote that opens in this column and never closes.
    OpenQuote(usize),
    /// A control character.
    Control(usize, u32),
    /// Far too many characters.
    Long(usize, usize),
}

impl Line {
    /// Whether nothing stands in it.
    pub(super) fn is_blank(&self) -> bool {
        self.cells.iter().all(|cell| cell.is_blank() && !cell.is_open_formula)
    }

    fn checked(number: u64, cells: Vec<Cell>) -> Self {
        let control = |c: &char| c.is_control() && !matches!(c, '\n' | '\r' | '\t');
        let fault = cells.iter().enumerate().find_map(|(at, cell)| {
            let bad = cell.text.chars().find(control).map(|c| LineFault::Control(at, u32::from(c)));
            let is_long = cell.text.len() > MOST_CELL_BYTES;
            bad.or_else(|| is_long.then(|| LineFault::Long(at, cell.text.chars().count())))
        });
        Self { number, cells, fault }
    }
}

/// A file as rows of cells.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Sheet {
    /// The lines, blank ones among them.
    pub(super) lines: Vec<Line>,
    /// Name of the sheet, in a workbook.
    pub(super) name: Option<String>,
    /// Names of the other sheets that are not hidden and hold something.
    pub(super) others: Vec<String>,
}

/// Reads a file; what it is is told by its content.
///
/// # Errors
/// When it is no table that can be read, with what it is.
pub(super) fn read(file: &str, bytes: &[u8], sheet: Option<&str>) -> Result<Sheet, Fault> {
    let fail = |problem: Problem| TableOf::Trials.refused_for(file, problem);
    let found = if bytes.starts_with(b"PK\x03\x04") {
        book::read(bytes, sheet)
    } else if let (Some(sheet), true) = (sheet, !bytes.is_empty()) {
        Err(Problem::of_file(Fault::user("text-without-sheets").with("sheet", sheet)))
    } else {
        text::read(bytes)
    };
    let found = found.map_err(fail)?;
    let widest = found.lines.iter().map(|line| line.cells.len()).max().unwrap_or(0);
    if found.lines.len() > MOST_ROWS || widest > MOST_COLUMNS {
        let fault = Fault::user("table-of-too-many-cells")
            .with("rows", found.lines.len())
            .with("cells", widest)
            .with("most_rows", MOST_ROWS)
            .with("most_columns", MOST_COLUMNS);
        return Err(fail(Problem::of_file(fault)));
    }
    if found.lines.iter().all(Line::is_blank) {
        return Err(fail(Problem::of_file(Fault::user("trials-table-empty"))));
    }
    Ok(found)
}

/// Without spaces around it, and without the apostrophe that keeps a spreadsheet from taking it for a formula.
fn tidy(text: &str) -> String {
    let text = text.trim_matches(|c: char| c.is_whitespace() || c == '\u{feff}');
    match text.strip_prefix('\'') {
        Some(rest) if rest.starts_with(['=', '+', '-', '@', '\t', '\r']) => rest.to_owned(),
        _ => text.to_owned(),
    }
}

#[cfg(test)]
mod tests;
