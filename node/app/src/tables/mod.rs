//! Trials from a table: read, previewed with every question that it leaves open, and turned into events.
//!
//! What a table says becomes a description of each trial and entries of the bench, so that its counts go by the same
//! rules as typed ones. Reading a table again adds what is new in it; what is known stays unless an update is asked for.

mod arms;
mod ask;
mod cell;
mod columns;
mod days;
mod describe;
mod grid;
mod heading;
mod kind;
mod outcome;
mod plan;
mod play;
mod read_counts;
mod reading;
mod row;
mod row_days;
mod share;
mod sheet;
mod slips;
mod totals;
mod usual;
mod wide;

use std::collections::BTreeMap;

use propagule_protocol::Date;
use schemars::JsonSchema;
use serde::de::Error as _;
use serde::{Deserialize, Deserializer, Serialize};

use propagule_bench::Rest;
use propagule_bench::dates::Reading;
use propagule_bench::locale::Dialect;
use propagule_files::fault::{Fault, Problem};
use propagule_files::table::{Problems, TableOf};

pub use ask::{CellMeans, Question, Says, Stated};
pub use columns::{COUNT_COLUMNS, NEEDED_COLUMNS, known as known_columns};
pub use heading::{Taken, Told};
pub use outcome::{CellChanged, OtherLine, Outcome, RowOutcome};
pub use plan::{Known, Planned};
pub(crate) use play::Dated;
pub use reading::read;
pub use totals::{Agrees, SumLine, SumOf};

/// How a table is read: what the grower said.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(default)]
pub struct Options {
    /// What headings mean, as the grower says now.
    pub columns: BTreeMap<String, String>,
    /// What holds for all rows: column → value.
    pub set: BTreeMap<String, String>,
    /// Columns whose blanks are filled down.
    pub fill: Vec<String>,
    /// What words in cells with counts mean.
    pub words: BTreeMap<String, String>,
    /// Lines that look like totals: `total` or `plants`.
    #[serde(deserialize_with = "by_number")]
    #[schemars(with = "BTreeMap<u64, String>")]
    pub rows: BTreeMap<u64, String>,
    /// What the columns of checks hold.
    pub checks: Option<Checks>,
    /// What became of propagules that a stage does not mention.
    pub rest: Option<Rest>,
    /// How days are read.
    pub reading: Reading,
    /// The sheet of a workbook.
    pub sheet: Option<String>,
    /// Every row is one propagule.
    pub one_piece: bool,
    /// Read what is right although other rows are wrong.
    pub leave_out: bool,
    /// Cells that say something else than is known are corrections.
    pub update: bool,
    /// The English of whoever wrote it.
    #[serde(skip)]
    pub dialect: Dialect,
    /// The last day on which something can have happened, where it is known.
    #[serde(skip)]
    pub last_day: Option<Date>,
}

/// Reads lines by number. JSON names them by texts, and inside a tagged request nothing makes numbers of those by itself.
fn by_number<'de, D: Deserializer<'de>>(deserializer: D) -> Result<BTreeMap<u64, String>, D::Error> {
    let named = BTreeMap::<String, String>::deserialize(deserializer)?;
    named.into_iter().map(|(line, what)| Ok((line.parse().map_err(D::Error::custom)?, what))).collect()
}

/// What the numbers of a check are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "kebab-case")]
pub enum Checks {
    /// Alive on that day.
    Alive,
    /// Dead since the check before.
    Dead,
    /// Dead so far.
    DeadSoFar,
    /// Rooted on that day.
    Rooted,
}

impl Checks {
    /// All of them, with the word of each.
    pub const ALL: [(Self, &'static str); 4] = [
        (Self::Alive, "alive"),
        (Self::Dead, "dead"),
        (Self::DeadSoFar, "dead-so-far"),
        (Self::Rooted, "rooted"),
    ];

    /// The word of its option.
    pub fn word(self) -> &'static str {
        Self::ALL.into_iter().find(|(known, _)| *known == self).map_or("", |(_, word)| word)
    }

    /// The count that it is.
    pub(crate) fn what(self) -> &'static str {
        match self {
            Self::Alive => "alive",
            Self::Dead | Self::DeadSoFar => "dead",
            Self::Rooted => "rooted",
        }
    }
}

/// What reading a table would do to the bench record.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Import {
    /// The sheet that was read, in a workbook.
    pub sheet: Option<String>,
    /// Lines above the headings, kept as a note.
    pub title: Option<String>,
    /// What each column was taken for.
    pub columns: Vec<Taken>,
    /// Questions, and readings that are stated.
    pub questions: Vec<Question>,
    /// Trials that can be taken in.
    pub trials: Vec<Planned>,
    /// Rows that cannot be taken in, and why.
    pub refused: Vec<Refused>,
    /// Lines that are no rows of plants: their number, and what they are.
    pub others: Vec<(u64, OtherLine)>,
    /// Lines that wait for an answer.
    pub asked: Vec<u64>,
}

impl Import {
    /// Whether something has to be answered before anything is saved.
    pub fn is_open(&self) -> bool {
        self.questions.iter().any(Question::is_open)
    }

    /// Headings that were read as another column.
    pub fn mapped(&self) -> BTreeMap<String, String> {
        let used = self.columns.iter().filter(|column| column.told != Told::Unused);
        let own = used.filter(|column| heading::plain(&column.heading) != column.name);
        own.map(|column| (column.heading.clone(), column.name.clone())).collect()
    }

    /// Columns that are not used, as typed.
    pub fn unused_columns(&self) -> Vec<String> {
        let unused =
            self.columns.iter().filter(|column| column.told == Told::Unused && !column.heading.is_empty());
        unused.map(|column| column.heading.clone()).collect()
    }

    /// The headings by which what was said of them is found again.
    pub fn headings(&self) -> Vec<String> {
        self.columns.iter().map(|column| column.heading.clone()).collect()
    }

    /// All that keeps the table from being saved whole, as one error.
    pub fn error(&self, file: &str) -> Fault {
        let mut all = Problems::default();
        for Question { row, column, says, .. } in &self.questions {
            if let Says::Open(fault) = says {
                all.add(Problem { row: *row, column: column.clone(), fault: fault.clone() });
            }
        }
        let mut refused: Vec<&Refused> = self.refused.iter().collect();
        refused.sort_by_key(|refused| refused.problem.row);
        for refused in refused {
            all.add(refused.problem.clone());
        }
        let none = || Problem::of_file(Fault::user("table-without-row-to-take"));
        all.settle(TableOf::Trials, file, ())
            .err()
            .unwrap_or_else(|| TableOf::Trials.refused_for(file, none()))
    }
}

/// A row that cannot be taken in.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused {
    /// The code of its trial, where the row has one.
    pub trial: Option<String>,
    /// Why.
    pub problem: Problem,
}

/// What an import does to a trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Change {
    /// It is new.
    New,
    /// Something is added or corrected.
    Updated,
    /// Nothing changes.
    #[serde(rename = "unchanged")]
    Same,
}

/// The column that a name or a usual heading means.
///
/// # Errors
/// The columns nearest to it.
pub fn column_named(name: &str) -> Result<String, Vec<String>> {
    let known = known_columns();
    let own = known.iter().find(|column| **column == heading::plain(name)).cloned();
    own.or_else(|| usual::by_name(name))
        .ok_or_else(|| propagule_files::closest(name, known.iter().map(String::as_str), 3))
}

/// Whether a word can be given this meaning.
pub fn is_meaning(meaning: &str) -> bool {
    cell::given(meaning).is_some()
}
