//! What a table leaves open, and what is stated of it: each with the answer that it takes.

use serde::{Deserialize, Serialize};

use super::Checks;
use propagule_files::fault::{Fault, Problem};

/// A question to the grower, or a reading that is stated.
#[derive(Clone, Debug, PartialEq)]
pub struct Question {
    /// Its line, where it is about one.
    pub row: Option<u64>,
    /// The column.
    pub column: Option<String>,
    /// What it says.
    pub says: Says,
    /// The option that answers it, and for what: `fill/Plant`.
    pub field: String,
    /// The answers that it has; none where any text may stand.
    pub choices: Vec<String>,
}

/// What a question says.
#[derive(Clone, Debug, PartialEq)]
pub enum Says {
    /// It has to be answered before anything is saved.
    Open(Fault),
    /// How something is read.
    Stated(Stated),
}

/// How something in a table is read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "stated", rename_all = "snake_case")]
pub enum Stated {
    /// The columns are those of the last table with these headings.
    ColumnsAsLastTime,
    /// A column is known by what stands in it.
    ColumnByContent {
        /// As typed.
        heading: String,
        /// What it holds.
        column: String,
    },
    /// The column of replicates numbers the pots of each arm.
    ReplicatesArePots,
    /// Other sheets hold something too, and are not read.
    OtherSheets {
        /// Their names.
        names: Vec<String>,
    },
    /// The label of an arm is taken for another spelling of one before.
    ArmReadAs {
        /// As typed.
        typed: String,
        /// As it was spelt first.
        read_as: String,
    },
    /// A word of a facet is taken for the listed one.
    WordReadAs {
        /// The heading of its column.
        heading: String,
        /// As typed.
        typed: String,
        /// As listed, or as it was spelt first.
        read_as: String,
    },
    /// The name of a plant is taken for another form of it.
    NameReadAs {
        /// The heading of its column.
        heading: String,
        /// As typed.
        typed: String,
        /// The name.
        read_as: String,
        /// What was changed or left out on the way, in the words of the rules of names.
        noted: Vec<String>,
    },
    /// A column holds shares, written as fractions of one.
    Fractions {
        /// The heading.
        heading: String,
    },
    /// A column holds shares in per cent.
    PerCent {
        /// The heading.
        heading: String,
    },
    /// What the columns of checks hold, as the grower said.
    ChecksHold {
        /// Their headings.
        headings: Vec<String>,
        /// What they hold.
        checks: Checks,
    },
    /// A day of a heading lacks its year, which follows from the day put in.
    YearOfHeading {
        /// As typed.
        typed: String,
        /// The year.
        year: u16,
    },
    /// What a word in a cell with counts means.
    Cell {
        /// As typed.
        text: String,
        /// What it means.
        means: CellMeans,
    },
    /// Pieces that a stage does not mention are taken as not known.
    RestNotKnown {
        /// How many, row by row: the first of them.
        counts: Vec<u16>,
        /// Whether there are more rows of that sort.
        and_more: bool,
    },
}

/// What a word in a cell with counts means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CellMeans {
    /// None.
    Zero,
    /// All that were left died.
    AllDied,
    /// All that were left are lost.
    AllLost,
    /// All that were left live.
    AllAlive,
    /// Looked, and not known.
    NotKnown,
    /// Nobody counted.
    NotCounted,
}

impl Question {
    /// Whether it has to be answered before anything is saved.
    pub fn is_open(&self) -> bool {
        self.fault().is_some()
    }

    /// What keeps the table from being saved until it is answered.
    pub fn fault(&self) -> Option<&Fault> {
        match &self.says {
            Says::Open(fault) => Some(fault),
            Says::Stated(_) => None,
        }
    }
}

/// Questions and statements of a table, each once.
#[derive(Clone, Debug, Default)]
pub(super) struct Asked {
    pub(super) all: Vec<Question>,
}

impl Asked {
    /// Asks, unless the same was asked.
    pub(super) fn ask(&mut self, problem: Problem, field: impl Into<String>, choices: &[&str]) {
        let field = field.into();
        if self.is_asked(&field) {
            return;
        }
        let Problem { row, column, fault } = problem;
        self.all.push(Question { row, column, says: Says::Open(fault), field, choices: owned(choices) });
    }

    /// States a reading, unless the same was stated.
    pub(super) fn state(&mut self, stated: Stated, field: impl Into<String>, choices: &[&str]) {
        let says = Says::Stated(stated);
        if self.all.iter().any(|known| known.says == says) {
            return;
        }
        let (field, choices) = (field.into(), owned(choices));
        self.all.push(Question { row: None, column: None, says, field, choices });
    }

    /// Whether that was asked already.
    pub(super) fn is_asked(&self, field: &str) -> bool {
        self.all.iter().any(|known| known.is_open() && known.field == field)
    }

    /// Whether anything is open.
    pub(super) fn is_open(&self) -> bool {
        self.all.iter().any(Question::is_open)
    }
}

fn owned(words: &[&str]) -> Vec<String> {
    words.iter().map(|word| (*word).to_owned()).collect()
}
