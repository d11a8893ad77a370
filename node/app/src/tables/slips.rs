//! What makes a table or a line unreadable.

use std::collections::BTreeMap;

use super::heading::{self, Taken};
use super::sheet::{Fault, Line};
use super::{WHAT, columns};
use propagule_files::table::{Problem, TableError};

/// Two columns that say the same are a slip of the table.
pub(super) fn check_twice(columns: &[Taken], file: &str) -> Result<(), TableError> {
    let mut seen: BTreeMap<&str, &Taken> = BTreeMap::new();
    let mut headings: BTreeMap<String, &Taken> = BTreeMap::new();
    for column in columns.iter().filter(|column| !column.heading.is_empty()) {
        let Some(first) = headings.insert(heading::plain(&column.heading), column) else { continue };
        if first.name != columns::UNUSED || column.name != columns::UNUSED {
            let problem = Problem::of_column(&column.heading, "two columns have this name");
            return Err(TableError::single(WHAT, file, problem.hinted("rename one of them, or take it out")));
        }
    }
    for column in columns.iter().filter(|column| column.name != columns::UNUSED) {
        if column.name.starts_with(columns::CHECK) {
            continue;
        }
        if let Some(first) = seen.insert(&column.name, column) {
            let why = if first.heading == column.heading {
                "two columns have this name".to_owned()
            } else {
                format!("it and \"{}\" both stand for {}", first.heading, column.name)
            };
            let hint = format!("rename one of them, or leave it out: --map '{}=unused'", column.heading);
            let problem = Problem::of_column(&column.heading, why).hinted(hint);
            return Err(TableError::single(WHAT, file, problem));
        }
    }
    Ok(())
}

/// Why a line cannot be read at all.
pub(super) fn unreadable(line: &Line, columns: &[Taken]) -> Option<Problem> {
    let heading = |at: usize| columns.get(at).map_or("", |column| column.heading.as_str());
    let number = line.number;
    match line.fault {
        Some(Fault::OpenQuote(at)) => {
            let why = format!(
                "a quote opens in column {} and never closes; the line was read to its end",
                heading(at)
            );
            return Some(Problem::of_row(number, why).hinted("close the quote, or take it out"));
        }
        Some(Fault::Control(at, code)) => {
            let why = format!("the cell holds a control character (U+{code:04X})");
            return Some(
                Problem::of_cell(number, heading(at), why)
                    .hinted("save the table as CSV, UTF-8, and try again"),
            );
        }
        Some(Fault::Long(at, length)) => {
            let why = format!("the cell has {length} characters, the most is 10000");
            return Some(Problem::of_cell(number, heading(at), why).hinted("shorten the text"));
        }
        None => {}
    }
    let open = line.cells.iter().position(|cell| cell.is_open_formula);
    if let Some(at) = open.filter(|at| columns.get(*at).is_some_and(|column| column.name != columns::UNUSED))
    {
        let why = "the cell holds a formula of which no value is stored";
        return Some(Problem::of_cell(number, heading(at), why).hinted(
            "open the file in the spreadsheet, let it work out the formula, and save it; or write the number",
        ));
    }
    let (cells, headings) = (line.cells.len(), columns.len());
    let has_more = line.cells.iter().skip(headings).any(|cell| !cell.is_blank());
    let is_short = cells < headings && columns[cells..].iter().any(|column| !column.heading.is_empty());
    (has_more || is_short).then(|| {
        let words = if cells == 1 { "cell" } else { "cells" };
        Problem::of_row(number, format!("{cells} {words} under {headings} headings"))
            .hinted("look for a missing or an extra comma; put text that holds one in double quotes")
    })
}
