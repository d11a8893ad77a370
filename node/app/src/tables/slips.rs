//! What makes a table or a line unreadable.

use std::collections::BTreeMap;

use super::columns;
use super::heading::{self, Taken};
use super::sheet::{Line, LineFault, MOST_CELL_BYTES};
use propagule_files::fault::{Fault, Problem};
use propagule_files::table::TableOf;

/// Two columns that say the same are a slip of the table.
pub(super) fn check_twice(columns: &[Taken], file: &str) -> Result<(), Fault> {
    let mut seen: BTreeMap<&str, &Taken> = BTreeMap::new();
    let mut headings: BTreeMap<String, &Taken> = BTreeMap::new();
    for column in columns.iter().filter(|column| !column.heading.is_empty()) {
        let Some(first) = headings.insert(heading::plain(&column.heading), column) else { continue };
        if first.name != columns::UNUSED || column.name != columns::UNUSED {
            return Err(twice(file, column, Fault::user("table-column-twice")));
        }
    }
    for column in columns.iter().filter(|column| column.name != columns::UNUSED) {
        if column.name.starts_with(columns::CHECK) {
            continue;
        }
        if let Some(first) = seen.insert(&column.name, column) {
            let fault = Fault::user("table-column-read-twice")
                .with("first", &first.heading)
                .with("column", &column.name)
                .with("heading", &column.heading);
            return Err(twice(file, column, fault));
        }
    }
    Ok(())
}

fn twice(file: &str, column: &Taken, fault: Fault) -> Fault {
    TableOf::Trials.refused_for(file, Problem::of_column(&column.heading, fault))
}

/// Why a line cannot be read at all.
pub(super) fn unreadable(line: &Line, columns: &[Taken]) -> Option<Problem> {
    let heading = |at: usize| columns.get(at).map_or("", |column| column.heading.as_str());
    let number = line.number;
    match line.fault {
        Some(LineFault::OpenQuote(at)) => {
            return Some(Problem::of_row(
                number,
                Fault::user("table-quote-open").with("column", heading(at)),
            ));
        }
        Some(LineFault::Control(at, code)) => {
            let fault = Fault::user("table-cell-with-control-character")
                .with("character", format_args!("U+{code:04X}"));
            return Some(Problem::of_cell(number, heading(at), fault));
        }
        Some(LineFault::Long(at, length)) => {
            let fault =
                Fault::user("table-cell-too-long").with("characters", length).with("most", MOST_CELL_BYTES);
            return Some(Problem::of_cell(number, heading(at), fault));
        }
        None => {}
    }
    let open = line.cells.iter().position(|cell| cell.is_open_formula);
    if let Some(at) = open.filter(|at| columns.get(*at).is_some_and(|column| column.name != columns::UNUSED))
    {
        return Some(Problem::of_cell(number, heading(at), Fault::user("table-formula-without-value")));
    }
    let (cells, headings) = (line.cells.len(), columns.len());
    let has_more = line.cells.iter().skip(headings).any(|cell| !cell.is_blank());
    let is_short = cells < headings && columns[cells..].iter().any(|column| !column.heading.is_empty());
    (has_more || is_short).then(|| {
        let fault = Fault::user("table-line-of-other-length").with("cells", cells).with("headings", headings);
        Problem::of_row(number, fault)
    })
}
