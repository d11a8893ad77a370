//! What is wrong with a table, by file, row and column.

use crate::fault::{Fault, Problem};

/// At most this many problems are shown at once.
pub const MOST_SHOWN: usize = 10;

/// What a table is read for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TableOf {
    /// Trials of a grower.
    Trials,
    /// Results of others.
    Evidence,
    /// Climates of growers.
    Sites,
    /// Printed trials or their sources.
    Printed,
}

impl TableOf {
    /// That the table cannot be read, for these reasons and some more.
    pub fn refused(self, file: &str, problems: Vec<Problem>, more: usize) -> Fault {
        let fault = match self {
            Self::Trials => Fault::user("trials-table-refused").with("file", file),
            Self::Evidence => Fault::user("evidence-table-refused").with("file", file),
            Self::Printed => Fault::user("printed-table-refused").with("file", file),
            Self::Sites => Fault::user("sites-table-refused").with("file", file),
        };
        let fault = if more > 0 { fault.with("more", more) } else { fault };
        fault.of_table(problems)
    }

    /// That the table cannot be read, for one reason.
    pub fn refused_for(self, file: &str, problem: Problem) -> Fault {
        self.refused(file, vec![problem], 0)
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
    ///
    /// # Errors
    /// All that was wrong, up to [`MOST_SHOWN`] in full.
    pub fn settle<T>(self, of: TableOf, file: &str, value: T) -> Result<T, Fault> {
        if self.first.is_empty() {
            return Ok(value);
        }
        Err(of.refused(file, self.first, self.more))
    }
}
