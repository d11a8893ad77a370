//! What is wrong with a table, by file, row and column.

use crate::fault::Fault;
use std::fmt;

/// One thing wrong.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Problem {
    /// Line of the file, counted from 1, the header included.
    pub row: Option<u64>,
    /// Column by its name in the header.
    pub column: Option<String>,
    /// What is wrong, in words.
    pub why: String,
    /// What to do about it.
    pub hint: Option<String>,
}

impl Problem {
    /// A problem of the whole file.
    pub fn of_file(why: impl Into<String>) -> Self {
        Self { row: None, column: None, why: why.into(), hint: None }
    }

    /// A problem of one row.
    pub fn of_row(row: u64, why: impl Into<String>) -> Self {
        Self { row: Some(row), ..Self::of_file(why) }
    }

    /// A problem of one cell.
    pub fn of_cell(row: u64, column: &str, why: impl Into<String>) -> Self {
        Self { column: Some(column.to_owned()), ..Self::of_row(row, why) }
    }

    /// A problem of one column.
    pub fn of_column(column: &str, why: impl Into<String>) -> Self {
        Self { column: Some(column.to_owned()), ..Self::of_file(why) }
    }

    /// The same with what to do about it.
    #[must_use]
    pub fn hinted(self, hint: impl Into<String>) -> Self {
        Self { hint: Some(hint.into()), ..self }
    }
}

/// At most this many problems are shown at once.
pub const MOST_SHOWN: usize = 10;

/// A table that cannot be used, with everything found wrong in it up to a limit.
///
/// Shown as `what failed: file, row 3, column "rooted": why`, one line a problem.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub struct TableError {
    /// What failed.
    pub what: &'static str,
    /// The file, as its user named it.
    pub file: String,
    /// The first problems found, at least one.
    pub problems: Vec<Problem>,
    /// Problems beyond these.
    pub more: usize,
}

impl TableError {
    /// An error with a single problem.
    pub fn single(what: &'static str, file: &str, problem: Problem) -> Self {
        Self { what, file: file.to_owned(), problems: vec![problem], more: 0 }
    }

    /// What to do, each remedy once.
    pub fn hints(&self) -> Vec<&str> {
        let mut hints: Vec<&str> = Vec::new();
        for hint in self.problems.iter().filter_map(|problem| problem.hint.as_deref()) {
            if !hints.contains(&hint) {
                hints.push(hint);
            }
        }
        hints
    }

    fn write_problem(&self, f: &mut fmt::Formatter<'_>, problem: &Problem) -> fmt::Result {
        write!(f, "{}: {}", self.what, self.file)?;
        if let Some(row) = problem.row {
            write!(f, ", row {row}")?;
        }
        if let Some(column) = &problem.column {
            write!(f, ", column \"{column}\"")?;
        }
        write!(f, ": {}", problem.why)
    }
}

impl fmt::Display for TableError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (index, problem) in self.problems.iter().enumerate() {
            if index > 0 {
                f.write_str("\n")?;
            }
            self.write_problem(f, problem)?;
        }
        match self.more {
            0 => Ok(()),
            1 => write!(f, "\nand 1 more"),
            more => write!(f, "\nand {more} more"),
        }
    }
}

impl From<TableError> for Fault {
    fn from(error: TableError) -> Self {
        let fault = Self::said(error.to_string());
        error.hints().into_iter().fold(fault, Fault::hint)
    }
}

/// Collects problems until the table has been read through.
#[derive(Debug, Default)]
pub struct Problems {
    first: Vec<Problem>,
    more: usize,
}

impl Problems {
    /// Keeps one more, and counts those that there is no room for.
    pub fn add(&mut self, problem: Problem) {
        if self.first.len() < MOST_SHOWN {
            self.first.push(problem);
        } else {
            self.more += 1;
        }
    }

    /// How many there are so far.
    pub fn count(&self) -> usize {
        self.first.len() + self.more
    }

    /// `value` if nothing was wrong.
    pub fn settle<T>(self, what: &'static str, file: &str, value: T) -> Result<T, TableError> {
        if self.first.is_empty() {
            return Ok(value);
        }
        Err(TableError { what, file: file.to_owned(), problems: self.first, more: self.more })
    }
}
