//! Text tables: what parts the cells, quotes, lines.

use super::{Cell, Line, LineFault, Sheet};
use propagule_files::fault::{Fault, Problem};

/// A cell in quotes goes over so many lines at most.
const MOST_CELL_LINES: usize = 50;
/// Lines by which it is told what parts the cells.
const LOOKED_AT: usize = 60;

/// Reads a text table.
///
/// # Errors
/// Why it is no text that can be read.
pub(super) fn read(bytes: &[u8]) -> Result<Sheet, Problem> {
    if bytes.starts_with(b"\xFF\xFE") || bytes.starts_with(b"\xFE\xFF") {
        return Err(Problem::of_file(Fault::user("table-utf16")));
    }
    let bytes = bytes.strip_prefix(b"\xEF\xBB\xBF").unwrap_or(bytes);
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = lines(&String::from_utf8_lossy(&bytes[..error.valid_up_to()])).len() as u64;
        Problem::of_row(line.max(1), Fault::user("table-not-utf8"))
    })?;
    if text.chars().take(400).filter(|c| *c == '\0').count() > 20 {
        return Err(Problem::of_file(Fault::user("table-with-zero-bytes")));
    }
    let all = lines(text);
    let parted = delimiter(&all);
    let width = usual_width(&all, parted);
    let mut sheet = Sheet::default();
    let mut next = 0;
    while next < all.len() {
        let (line, used) = record(&all, next, parted, width);
        sheet.lines.push(line);
        next += used;
    }
    Ok(sheet)
}

/// Lines as an editor shows them: a line ends at LF, CR or CR LF.
fn lines(text: &str) -> Vec<&str> {
    let mut found = Vec::new();
    let mut rest = text;
    while let Some(end) = rest.find(['\n', '\r']) {
        found.push(&rest[..end]);
        let skip = if rest[end..].starts_with("\r\n") { 2 } else { 1 };
        rest = &rest[end + skip..];
    }
    if !rest.is_empty() {
        found.push(rest);
    }
    found
}

/// Cells of a line, and in which of them a quote is still open at the end.
fn split(text: &str, parted: char) -> (Vec<String>, Option<usize>) {
    let mut cells = vec![String::new()];
    let mut is_quoted = false;
    let mut is_fresh = true;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        let cell = cells.last_mut().expect("there is one");
        if is_quoted {
            match c {
                '"' if chars.peek() == Some(&'"') => {
                    chars.next();
                    cell.push('"');
                }
                '"' => is_quoted = false,
                _ => cell.push(c),
            }
        } else if c == parted {
            cells.push(String::new());
            is_fresh = true;
            continue;
        } else if c == '"' && is_fresh {
            is_quoted = true;
            cell.clear();
        } else {
            cell.push(c);
        }
        is_fresh = is_fresh && c == ' ' && !is_quoted;
    }
    let open = is_quoted.then(|| cells.len() - 1);
    (cells, open)
}

/// What parts the cells: the sign that gives most lines the same number of cells, and most cells.
fn delimiter(all: &[&str]) -> char {
    let score = |parted: char| {
        let mut counts = std::collections::BTreeMap::new();
        for line in all.iter().filter(|line| !line.trim().is_empty()).take(LOOKED_AT) {
            *counts.entry(split(line, parted).0.len() - 1).or_insert(0) += 1;
        }
        counts.into_iter().map(|(signs, lines)| signs * lines).max().unwrap_or(0)
    };
    // A comma is also a decimal sign, so that in doubt it is not what parts the cells.
    [',', ';', '\t'].into_iter().max_by_key(|parted| score(*parted)).unwrap_or(',')
}

/// The number of cells that most lines have.
fn usual_width(all: &[&str], parted: char) -> usize {
    let mut counts = std::collections::BTreeMap::new();
    for line in all.iter().filter(|line| !line.trim().is_empty()) {
        let (cells, open) = split(line, parted);
        if open.is_none() {
            *counts.entry(cells.len()).or_insert(0) += 1;
        }
    }
    counts.into_iter().max_by_key(|(_, lines)| *lines).map_or(1, |(width, _)| width)
}

/// Whether behind each quote that closes comes the end of the cell: otherwise it is one that opens the next cell with a
/// quote.
fn closes_well(text: &str, parted: char) -> bool {
    let mut is_quoted = false;
    let mut is_fresh = true;
    let mut chars = text.chars().peekable();
    while let Some(c) = chars.next() {
        if is_quoted && c == '"' {
            if chars.next_if_eq(&'"').is_some() {
                continue;
            }
            is_quoted = false;
            while chars.next_if_eq(&' ').is_some() {}
            if chars.peek().is_some_and(|next| *next != parted && *next != '\n') {
                return false;
            }
        } else if !is_quoted {
            is_quoted = c == '"' && is_fresh;
            is_fresh = c == parted || (is_fresh && c == ' ');
        }
    }
    true
}

/// The record that begins on a line, and how many lines it takes. A quote that is still open at the end of a line
/// closes there unless a later line closes it with the right number of cells.
fn record(all: &[&str], at: usize, parted: char, width: usize) -> (Line, usize) {
    let number = at as u64 + 1;
    let of = |cells: Vec<String>| cells.iter().map(|cell| Cell::of(cell)).collect::<Vec<_>>();
    let (cells, open) = split(all[at], parted);
    let Some(column) = open else { return (Line::checked(number, of(cells)), 1) };
    let mut joined = all[at].to_owned();
    for (used, more) in all[at + 1..].iter().take(MOST_CELL_LINES).enumerate() {
        joined.push('\n');
        joined.push_str(more);
        let (longer, still) = split(&joined, parted);
        if still.is_none() && longer.len() == width && closes_well(&joined, parted) {
            return (Line::checked(number, of(longer)), used + 2);
        }
        if longer.len() > width {
            break;
        }
    }
    (Line { number, cells: of(cells), fault: Some(LineFault::OpenQuote(column)) }, 1)
}
