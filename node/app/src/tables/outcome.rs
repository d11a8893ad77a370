//! What becomes of each line of a file.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::kind::kind_of;
use super::play::Dated;
use super::row::Row;
use super::totals::SumLine;
use propagule_bench::kind::Kind;

/// What becomes of a line.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// It can be saved.
    Ready,
    /// All of it is known.
    Same,
    /// It says something else than is known.
    Changed,
    /// It waits for the answer to a question.
    Asked,
    /// It cannot be.
    Refused,
}

/// A line that is no row of plants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(tag = "line", rename_all = "snake_case")]
pub enum OtherLine {
    /// Nothing stands in it.
    Blank,
    /// It names the columns.
    Heading,
    /// It stands above the headings, and is kept as a note.
    Title {
        /// What it says.
        words: String,
    },
    /// It sums up the rows above it.
    Sum(SumLine),
    /// The grower said that it is one of totals.
    SaidTotal,
}

/// A cell that says something else than is known.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct CellChanged {
    /// Its column, or what is counted in it.
    pub what: String,
    /// What was known; none where it was not counted.
    pub was: Option<String>,
    /// What the table says.
    pub now: String,
    /// Whether it is taken as a correction, or that is still to be said.
    pub is_taken: bool,
    /// In whose words it is said.
    pub kind: Kind,
}

/// What becomes of a row of plants.
#[derive(Clone, Debug, PartialEq)]
pub struct RowOutcome {
    /// The line.
    pub line: u64,
    /// In short.
    pub outcome: Outcome,
    /// Code of the trial.
    pub trial: String,
    /// Label of the treatment.
    pub arm: String,
    /// Code of the pot.
    pub pot: Option<String>,
    /// The plant.
    pub species: String,
    /// Propagules started.
    pub started: u16,
    /// Who did the work.
    pub operator: Option<String>,
    /// Suckers removed.
    pub suckers: Option<u16>,
    /// Cells that were filled down: the heading, and from which line.
    pub filled: Vec<(String, u64)>,
    /// What was known, and what the table says.
    pub changed: Option<CellChanged>,
    /// The kind of propagation.
    pub kind: Kind,
    pub(crate) played: Vec<Dated>,
}

impl RowOutcome {
    pub(super) fn ready(row: &Row, arm: &str, pot: Option<&str>, is_known: bool) -> Self {
        Self {
            line: row.line,
            outcome: if is_known { Outcome::Same } else { Outcome::Ready },
            trial: row.trial.clone(),
            arm: arm.to_owned(),
            pot: pot.map(str::to_owned),
            species: row.species.clone(),
            started: row.started,
            operator: row.operator.clone(),
            suckers: row.suckers,
            filled: row.filled.clone(),
            changed: None,
            kind: kind_of(row),
            played: Vec::new(),
        }
    }

    /// Whether nothing of it was counted.
    pub fn is_pending(&self) -> bool {
        self.played.is_empty()
    }

    pub(super) fn set(&mut self, outcome: Outcome) {
        if self.outcome != Outcome::Changed {
            self.outcome = outcome;
        }
    }

    /// A cell says something else than is known.
    pub(super) fn change(&mut self, what: &str, was: Option<&str>, now: &str, is_taken: bool) {
        self.outcome = Outcome::Changed;
        let (what, now, kind) = (what.to_owned(), now.to_owned(), self.kind);
        let was = was.map(str::to_owned);
        self.changed.get_or_insert(CellChanged { what, was, now, is_taken, kind });
    }
}
