//! The rows below the headings: cells by column, blanks filled down, constants where nothing stands.

use std::collections::{BTreeMap, BTreeSet};

use super::Options;
use super::ask::{Asked, Stated};
use super::columns::{self, UNUSED};
use super::heading::{Taken, plain};
use super::sheet::Line;
use propagule_bench::Stage;
use propagule_bench::dates::When;
use propagule_files::fault::{Fault, Problem};

/// Columns of which a blank under a value is asked about.
const ASKED: [&str; 4] = ["trial", "species", "arm", "started_on"];

/// Rows with the columns they are read by.
#[derive(Debug)]
pub(super) struct Grid<'a> {
    pub(super) options: &'a Options,
    pub(super) columns: &'a [Taken],
    by_name: BTreeMap<String, usize>,
    filled: BTreeMap<(u64, usize), (String, u64)>,
    fractions: BTreeSet<usize>,
}

impl<'a> Grid<'a> {
    pub(super) fn new(options: &'a Options, columns: &'a [Taken], rows: &[&Line], asked: &mut Asked) -> Self {
        let by_name =
            columns.iter().enumerate().rev().map(|(at, column)| (column.name.clone(), at)).collect();
        let mut grid =
            Self { options, columns, by_name, filled: BTreeMap::new(), fractions: BTreeSet::new() };
        for column in columns.iter().filter(|column| column.name != UNUSED) {
            grid.fill(column, rows, asked);
        }
        for column in columns.iter().filter(|column| column.is_per_cent) {
            grid.see_fractions(column, rows, asked);
        }
        grid
    }

    /// Fills blanks down, or asks whether they are to be filled.
    fn fill(&mut self, column: &Taken, rows: &[&Line], asked: &mut Asked) {
        let is_wanted = self
            .options
            .fill
            .iter()
            .any(|name| plain(name) == plain(&column.heading) || plain(name) == column.name);
        let is_key = ASKED.contains(&column.name.as_str()) && !self.options.set.contains_key(&column.name);
        if !is_wanted && !is_key {
            return;
        }
        let mut last: Option<(String, u64)> = None;
        let mut blank = Vec::new();
        for line in rows {
            match (Self::raw(line, column), &last) {
                (Some(text), _) => last = Some((text, line.number)),
                (None, Some(above)) if is_wanted => {
                    self.filled.insert((line.number, column.index), above.clone());
                }
                (None, Some((_, above))) => blank.push((line.number, *above)),
                (None, None) => {}
            }
        }
        let Some((_, above)) = blank.first() else { return };
        let numbers: Vec<u64> = blank.iter().map(|(line, _)| *line).collect();
        let fault = Fault::user("table-blanks-below-a-value")
            .with_data("lines", &numbers)
            .with("heading", &column.heading)
            .with("above", above);
        asked.ask(Problem::of_column(&column.heading, fault), format!("fill/{}", column.heading), &["yes"]);
    }

    /// Shares that a spreadsheet keeps as fractions of one.
    fn see_fractions(&mut self, column: &Taken, rows: &[&Line], asked: &mut Asked) {
        let texts: Vec<String> = rows.iter().filter_map(|line| Self::raw(line, column)).collect();
        let numbers: Vec<f64> = texts.iter().filter_map(|text| text.replace(',', ".").parse().ok()).collect();
        let is_fraction = !numbers.is_empty()
            && numbers.iter().all(|number| *number <= 1.0)
            && numbers.iter().any(|number| number.fract() != 0.0);
        let heading = column.heading.clone();
        let stated = if is_fraction {
            self.fractions.insert(column.index);
            Stated::Fractions { heading }
        } else {
            Stated::PerCent { heading }
        };
        asked.state(stated, "", &[]);
    }

    fn raw(line: &Line, column: &Taken) -> Option<String> {
        let text = line.cells.get(column.index).map(|cell| cell.text.as_str())?;
        if text.is_empty() {
            return None;
        }
        if column.name == "note" || !text.contains(['\n', '\r', '\t']) {
            return Some(text.to_owned());
        }
        Some(text.split_whitespace().collect::<Vec<_>>().join(" "))
    }

    /// The cell of a column, what fills it, or the constant.
    pub(super) fn text(&self, line: &Line, name: &str) -> Option<String> {
        let column = self.by_name.get(name).map(|at| &self.columns[*at]);
        let own = column.and_then(|column| self.text_at(line, column));
        own.or_else(|| self.options.set.get(name).cloned()).filter(|text| !text.is_empty())
    }

    /// The cell of a column, or what fills it.
    pub(super) fn text_at(&self, line: &Line, column: &Taken) -> Option<String> {
        Self::raw(line, column)
            .or_else(|| self.filled.get(&(line.number, column.index)).map(|(text, _)| text.clone()))
    }

    /// Cells of a line that were filled: the heading, and the line they come from.
    pub(super) fn filled_of(&self, line: u64) -> Vec<(String, u64)> {
        let cells = self.filled.range((line, 0)..=(line, usize::MAX));
        cells
            .filter_map(|((_, index), (_, from))| {
                let column = self.columns.iter().find(|column| column.index == *index)?;
                Some((column.heading.clone(), *from))
            })
            .collect()
    }

    /// Whether a column or a constant says it.
    pub(super) fn has(&self, name: &str) -> bool {
        self.has_column(name) || self.options.set.contains_key(name)
    }

    /// Whether a column says it.
    pub(super) fn has_column(&self, name: &str) -> bool {
        self.by_name.contains_key(name)
    }

    /// The heading of a column, else its name.
    pub(super) fn heading(&self, name: &str) -> String {
        let found = self.by_name.get(name).map(|at| self.columns[*at].heading.clone());
        found.unwrap_or_else(|| name.to_owned())
    }

    /// Headings that are not used.
    pub(super) fn unused_headings(&self) -> Vec<String> {
        let unused = self.columns.iter().filter(|column| column.name == UNUSED && !column.heading.is_empty());
        unused.map(|column| column.heading.clone()).collect()
    }

    /// Columns with counts, in the order of the table.
    pub(super) fn count_columns(&self) -> impl Iterator<Item = &'a Taken> + use<'a> {
        let counts = |column: &&Taken| {
            columns::count_of(&column.name).is_some() || column.name.starts_with(columns::CHECK)
        };
        self.columns.iter().filter(counts)
    }

    /// Whether the shares of a column are fractions of one.
    pub(super) fn is_fraction(&self, column: &Taken) -> bool {
        self.fractions.contains(&column.index)
    }

    /// The day that a heading of a stage's counts names: the heading's column, and the day as typed.
    pub(super) fn heading_day(&self, stage: Stage, _started_on: Option<When>) -> Option<(String, String)> {
        let is_of = |column: &&Taken| columns::count_of(&column.name).is_some_and(|(of, _)| of == stage);
        let column = self.columns.iter().filter(is_of).find(|column| column.day.is_some())?;
        Some((column.name.clone(), column.day.clone()?))
    }
}
