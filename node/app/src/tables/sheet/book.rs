//! Workbooks: XLSX and ODS, one sheet of them.

use std::io::Cursor;

use calamine::{Data, DataRef, Ods, Range, Reader, SheetVisible, Xlsx};
use propagule_protocol::Date;

use super::{Cell, Line, MOST_COLUMNS, MOST_ROWS, Sheet};
use propagule_files::fault::{Fault, Problem};

/// The most bytes that a workbook may unfold to.
const MOST_UNFOLDED: u64 = 512 << 20;

/// Reads the sheet of that name, or the only one that holds something.
///
/// # Errors
/// Why it cannot be read, or which sheets there are.
pub(super) fn read(bytes: &[u8], wanted: Option<&str>) -> Result<Sheet, Problem> {
    if unfolded(bytes) > MOST_UNFOLDED {
        let fault = Fault::user("workbook-too-large").with("most", MOST_UNFOLDED >> 20);
        return Err(Problem::of_file(fault));
    }
    let holds = |name: &[u8]| bytes.windows(name.len()).any(|part| part == name);
    if holds(b"xl/workbook.xml") {
        xlsx(bytes, wanted)
    } else if holds(b"content.xml") && holds(b"META-INF/manifest.xml") {
        ods(bytes, wanted)
    } else {
        Err(Problem::of_file(Fault::user("archive-without-workbook")))
    }
}

/// What the parts of a ZIP archive say they unfold to: its central directory names it for each.
fn unfolded(bytes: &[u8]) -> u64 {
    let entries = bytes.windows(28).filter(|part| part.starts_with(b"PK\x01\x02"));
    entries.map(|entry| u64::from(u32::from_le_bytes([entry[24], entry[25], entry[26], entry[27]]))).sum()
}

fn broken(format: &str, error: &impl std::fmt::Display) -> Problem {
    Problem::of_file(Fault::user("workbook-unreadable").with("format", format).because(error))
}

/// Names of the sheets that are shown, with the one to read.
fn choose(
    shown: &[String],
    filled: &[String],
    all: &[String],
    wanted: Option<&str>,
) -> Result<String, Problem> {
    if let Some(wanted) = wanted {
        let same = |name: &&String| name.trim().eq_ignore_ascii_case(wanted.trim());
        return all.iter().find(same).cloned().ok_or_else(|| {
            let fault =
                Fault::user("sheet-not-in-workbook").with("sheet", wanted).with_data("sheets", &shown);
            Problem::of_file(fault)
        });
    }
    match filled {
        [only] => Ok(only.clone()),
        [] => Err(Problem::of_file(Fault::user("workbook-empty"))),
        several => {
            let fault = Fault::user("workbook-of-several-sheets")
                .with("count", several.len())
                .with("first", &several[0])
                .with_data("sheets", &several);
            Err(Problem::of_file(fault))
        }
    }
}

fn xlsx(bytes: &[u8], wanted: Option<&str>) -> Result<Sheet, Problem> {
    let fail = |error: calamine::XlsxError| broken("XLSX", &error);
    let mut book = Xlsx::new(Cursor::new(bytes)).map_err(fail)?;
    let all = book.sheet_names();
    let shown = visible(book.sheets_metadata());
    let mut filled = Vec::new();
    for name in &shown {
        let Ok(mut reader) = book.worksheet_cells_reader(name) else { continue };
        if reader.next_cell().map_err(fail)?.is_some() {
            filled.push(name.clone());
        }
    }
    let name = choose(&shown, &filled, &all, wanted)?;
    let mut grid = Grid::default();
    let mut reader = book.worksheet_cells_reader(&name).map_err(fail)?;
    while let Some(cell) = reader.next_cell().map_err(fail)? {
        grid.put(cell.get_position(), of_ref(cell.get_value()))?;
    }
    drop(reader);
    let mut reader = book.worksheet_cells_reader(&name).map_err(fail)?;
    while let Some(cell) = reader.next_formula().map_err(fail)? {
        if !cell.get_value().is_empty() {
            grid.formula(cell.get_position())?;
        }
    }
    Ok(grid.into_sheet(&name, filled))
}

fn ods(bytes: &[u8], wanted: Option<&str>) -> Result<Sheet, Problem> {
    let fail = |error: calamine::OdsError| broken("ODS", &error);
    let mut book = Ods::new(Cursor::new(bytes)).map_err(fail)?;
    let all = book.sheet_names();
    let shown = visible(book.sheets_metadata());
    let mut filled = Vec::new();
    for name in &shown {
        if !book.worksheet_range(name).map_err(fail)?.is_empty() {
            filled.push(name.clone());
        }
    }
    let name = choose(&shown, &filled, &all, wanted)?;
    let range: Range<Data> = book.worksheet_range(&name).map_err(fail)?;
    let mut grid = Grid::default();
    let (top, left) = range.start().unwrap_or_default();
    for (row, column, value) in range.used_cells() {
        grid.put((top + row as u32, left + column as u32), of_data(value))?;
    }
    let formulas = book.worksheet_formula(&name).map_err(fail)?;
    let (top, left) = formulas.start().unwrap_or_default();
    for (row, column, formula) in formulas.used_cells() {
        if !formula.is_empty() {
            grid.formula((top + row as u32, left + column as u32))?;
        }
    }
    Ok(grid.into_sheet(&name, filled))
}

fn visible(sheets: &[calamine::Sheet]) -> Vec<String> {
    let shown = sheets.iter().filter(|sheet| sheet.visible == SheetVisible::Visible);
    shown.map(|sheet| sheet.name.clone()).collect()
}

/// A value as text; a day year-month-day.
fn of_ref(value: &DataRef<'_>) -> Cell {
    match value {
        DataRef::Int(number) => Cell::of(&number.to_string()),
        DataRef::Float(number) => Cell::of(&number.to_string()),
        DataRef::String(text) | DataRef::DateTimeIso(text) | DataRef::DurationIso(text) => {
            Cell::of(iso_day(text))
        }
        DataRef::SharedString(text) => Cell::of(text),
        DataRef::Bool(yes) => Cell::of(if *yes { "yes" } else { "no" }),
        DataRef::DateTime(day) if day.is_datetime() => {
            let (year, month, of_month, ..) = day.to_ymd_hms_milli();
            Date::new(year, month, of_month).map_or_else(|| Cell::of(&day.as_f64().to_string()), Cell::day)
        }
        DataRef::DateTime(span) => Cell::of(&span.as_f64().to_string()),
        DataRef::Error(error) => Cell::of(&error.to_string()),
        DataRef::Empty => Cell::default(),
    }
}

fn of_data(value: &Data) -> Cell {
    match value {
        Data::Int(number) => Cell::of(&number.to_string()),
        Data::Float(number) => Cell::of(&number.to_string()),
        Data::String(text) | Data::DateTimeIso(text) | Data::DurationIso(text) => Cell::of(iso_day(text)),
        Data::Bool(yes) => of_ref(&DataRef::Bool(*yes)),
        Data::DateTime(day) => of_ref(&DataRef::DateTime(*day)),
        Data::Error(error) => Cell::of(&error.to_string()),
        Data::Empty => Cell::default(),
    }
}

/// The day of an instant; anything else as it is.
fn iso_day(text: &str) -> &str {
    match text.split_once('T') {
        Some((day, time))
            if day.parse::<Date>().is_ok() && time.starts_with(|c: char| c.is_ascii_digit()) =>
        {
            day
        }
        _ => text,
    }
}

/// Cells by row and column, as far as anything stands there.
#[derive(Default)]
struct Grid {
    rows: Vec<Vec<Cell>>,
}

impl Grid {
    fn at(&mut self, (row, column): (u32, u32)) -> Result<&mut Cell, Problem> {
        let (row, column) = (row as usize, column as usize);
        if row >= MOST_ROWS || column >= MOST_COLUMNS {
            let fault = Fault::user("workbook-cell-too-far-off")
                .with("row", row + 1)
                .with("column", column + 1)
                .with("most_rows", MOST_ROWS)
                .with("most_columns", MOST_COLUMNS);
            return Err(Problem::of_file(fault));
        }
        if self.rows.len() <= row {
            self.rows.resize_with(row + 1, Vec::new);
        }
        let cells = &mut self.rows[row];
        if cells.len() <= column {
            cells.resize_with(column + 1, Cell::default);
        }
        Ok(&mut cells[column])
    }

    fn put(&mut self, at: (u32, u32), cell: Cell) -> Result<(), Problem> {
        if !cell.is_blank() {
            *self.at(at)? = cell;
        }
        Ok(())
    }

    fn formula(&mut self, at: (u32, u32)) -> Result<(), Problem> {
        let cell = self.at(at)?;
        cell.is_open_formula = cell.is_blank();
        Ok(())
    }

    /// Rows of one length: a spreadsheet stores none of the blank cells at the end of a row.
    fn into_sheet(self, name: &str, filled: Vec<String>) -> Sheet {
        let width = self.rows.iter().map(Vec::len).max().unwrap_or(0);
        let padded = |mut cells: Vec<Cell>| {
            cells.resize_with(width, Cell::default);
            cells
        };
        let lines =
            self.rows.into_iter().zip(1..).map(|(cells, at)| Line::checked(at, padded(cells))).collect();
        let others = filled.into_iter().filter(|other| other != name).collect();
        Sheet { lines, name: Some(name.to_owned()), others }
    }
}
