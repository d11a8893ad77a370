//! What came of reading a table of trials, or would.

use std::collections::BTreeMap;

use propagule_bench::Stage;
use propagule_bench::kind::Kind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;
use crate::tables::{Change, Outcome, Told};
use propagule_bench::dates::When;
use propagule_files::fault::Fault;

/// A table of trials, read.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct TrialImport {
    /// Nothing was saved.
    pub dry_run: bool,
    /// It was saved.
    pub saved: bool,
    /// It can be saved as it is read.
    pub can_save: bool,
    /// What came of it.
    pub came: ImportCame,
    /// What keeps it from being saved.
    pub error: Option<ImportError>,
    /// The sheet that was read, in a workbook.
    pub sheet: Option<String>,
    /// Lines above the headings, kept as a note.
    pub title: Option<String>,
    /// Trials that can be taken in.
    pub trials: Vec<ImportedTrial>,
    /// Rows that cannot.
    pub refused: Vec<RefusedRow>,
    /// Lines of those.
    pub left_out: Vec<u64>,
    /// Headings that were read as another column.
    pub mapped: BTreeMap<String, String>,
    /// Headings that are not used.
    pub unused_columns: Vec<String>,
    /// The column that such a heading is perhaps a slip of.
    pub perhaps_columns: BTreeMap<String, String>,
    /// All trials together, where there are two or more.
    pub totals: Option<Said>,
    /// What each column was taken for.
    pub columns: Vec<ImportColumn>,
    /// Questions, and readings that are stated.
    pub questions: Vec<ImportQuestion>,
    /// What becomes of each line.
    pub lines: Vec<ImportLine>,
    /// Plants that the list does not have, with those of nearly that name.
    pub perhaps_plants: BTreeMap<String, Vec<String>>,
}

/// What came of reading a table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum ImportCame {
    /// All of it is known.
    NothingNew,
    /// It is saved.
    Saved,
    /// It waits for a yes.
    Ready,
    /// It cannot be saved as it is.
    NotSaved,
}

/// What keeps a table from being saved.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ImportError {
    /// All that is wrong.
    pub message: Said,
    /// What to do.
    pub hints: Said,
    /// The same as data.
    pub fault: Fault,
}

impl ImportError {
    /// Of a fault.
    pub fn of(fault: Fault) -> Self {
        let (message, hints) =
            (Said::WhatOf { fault: fault.clone() }, Said::HintsOf { fault: fault.clone() });
        Self { message, hints, fault }
    }
}

/// A question to the grower, or a reading that is stated.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ImportQuestion {
    /// Its line, where it is about one.
    #[serde(rename = "line")]
    pub row: Option<u64>,
    /// The column.
    pub column: Option<String>,
    /// The question, or the statement.
    pub text: Said,
    /// How it is answered.
    pub hint: Option<Said>,
    /// Whether it has to be answered before anything is saved.
    #[serde(rename = "open")]
    pub is_open: bool,
    /// The option that answers it, and for what: `fill/Plant`.
    pub field: String,
    /// The answers that it has; none where any text may stand.
    pub choices: Vec<String>,
}

/// A trial of a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ImportedTrial {
    /// Its code.
    pub trial: String,
    /// What happens to it.
    pub change: Change,
    /// How many treatments it has.
    pub arms: usize,
    /// The plant.
    pub species: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// Propagules started.
    pub started: u32,
    /// The last stage at which it is counted.
    pub counted_at: Option<Stage>,
}

/// A row that cannot be taken in.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RefusedRow {
    /// The code of its trial, where it has one.
    pub trial: Option<String>,
    /// Its line.
    pub row: Option<u64>,
    /// The column that is wrong.
    pub column: Option<String>,
    /// Why.
    pub why: Said,
}

/// A column of the table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ImportColumn {
    /// Its heading as typed.
    pub heading: String,
    /// The column that it stands for; none where it is not used.
    pub taken_for: Option<String>,
    /// How that is known.
    pub told: Told,
    /// The day that the heading names, as typed.
    pub day: Option<String>,
    /// Whether its numbers are shares of the propagules started.
    pub per_cent: bool,
}

/// What becomes of a line.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ImportLine {
    /// Its number.
    pub line: u64,
    /// In a word.
    pub outcome: LineOutcome,
    /// Code of its trial, where it has one.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub trial: Option<String>,
    /// The column that is wrong, in a line that is refused.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub column: Option<String>,
    /// Why, where something is to be said.
    pub why: Option<Said>,
    /// What a row of plants says.
    #[serde(flatten)]
    pub row: Option<Box<RowShown>>,
}

/// What becomes of a line, in a word.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum LineOutcome {
    /// Of a row of plants.
    Row(Outcome),
    /// What another line is.
    Other(Said),
}

/// What a row of plants says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RowShown {
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
    /// Nothing of it was counted.
    pub not_counted_yet: bool,
    /// All of it in a line.
    pub says: Said,
    /// What was known.
    pub was: Option<CellShown>,
    /// What the table says instead.
    pub now: Option<CellShown>,
    /// Cells that were filled down.
    pub filled: Vec<FilledDown>,
    /// What was counted at the first stage.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub lift: Option<CountsShown>,
    /// At season end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub season: Option<CountsShown>,
    /// In spring.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub spring: Option<CountsShown>,
    /// At the end.
    #[serde(default, rename = "final", skip_serializing_if = "Option::is_none")]
    pub last: Option<CountsShown>,
    /// At each check, by its day.
    pub checks: BTreeMap<String, CountsShown>,
}

/// All that a row of plants says.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RowSays {
    /// In whose words it is said.
    pub kind: Kind,
    /// Propagules started.
    pub started: u16,
    /// What was counted, by day.
    pub counts: Vec<RowCountSays>,
    /// Suckers removed.
    pub suckers: Option<u16>,
    /// Cells that were filled down.
    pub filled: Vec<FilledDown>,
}

/// What was counted of a row on a day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct RowCountSays {
    /// The stage; none at a check.
    pub stage: Option<Stage>,
    /// The day.
    pub on: When,
    /// The counts.
    pub counts: CountsShown,
}

/// A cell that was filled down.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct FilledDown {
    /// The heading of its column.
    pub column: String,
    /// The line that it was filled from.
    pub line: u64,
}

/// A cell.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum CellShown {
    /// A whole number.
    Number(u64),
    /// Anything else that was typed.
    Text(String),
    /// That nothing was.
    Said(Said),
}

/// Counts of a row on a day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct CountsShown {
    /// The day.
    pub on: String,
    /// Alive.
    pub alive: Option<u16>,
    /// With the outcome.
    pub rooted: Option<u16>,
    /// Growing on.
    pub established: Option<u16>,
    /// Finished.
    pub finished: Option<u16>,
    /// Dead since the count before.
    pub died: u16,
    /// Lost since.
    pub lost: u16,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// Left at the count before.
    pub of: u16,
    /// Sold, given or planted out as finished.
    pub left_as_finished: u16,
    /// Propagules that the table does not mention.
    pub not_mentioned: Option<u16>,
}

/// All trials of a table together, so that a column read wrongly is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ImportTotals {
    /// In whose words they are said.
    pub kind: Kind,
    /// How many trials.
    pub trials: usize,
    /// Propagules started.
    pub started: u32,
    /// With the outcome at the first stage.
    pub rooted: u32,
    /// Started where it was looked for.
    pub looked: u32,
    /// Weeks until the first stage, the fewest and the most.
    pub weeks: Option<(i32, i32)>,
}

impl TrialImport {
    /// Questions that have to be answered before anything is saved.
    pub fn open_questions(&self) -> impl Iterator<Item = &ImportQuestion> {
        self.questions.iter().filter(|question| question.is_open)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_each_sort_come_back_as_they_were_sent() {
        for line in [
            r#"{"line":2,"outcome":{"say":"table_line","line":{"line":"said_total"}},"why":null}"#,
            r#"{"line":3,"outcome":"refused","trial":"M1","column":"dead","why":{"say":"line_waits"}}"#,
            r#"{"line":4,"outcome":"changed","trial":"M1","why":null,"arm":"A","pot":null,"species":"Morus nigra",
                "started":12,"operator":null,"suckers":null,"not_counted_yet":true,"says":{"say":"table_row",
                "kind":"seed","started":12,"counts":[],"suckers":null,"filled":[]},"was":3,"now":"4 or 5","filled":[],
                "checks":{}}"#,
            r#"{"line":5,"outcome":"changed","trial":"M1","why":null,"arm":"A","pot":null,"species":"Morus nigra",
                "started":12,"operator":null,"suckers":null,"not_counted_yet":true,"says":{"say":"not_counted"},
                "was":{"say":"not_counted"},"now":4,"filled":[],"checks":{}}"#,
        ] {
            let value: serde_json::Value = serde_json::from_str(line).expect("JSON");
            let read: ImportLine = serde_json::from_value(value.clone()).expect("a line");
            assert_eq!(read.row.is_some(), value.get("arm").is_some(), "{line}");
            assert_eq!(serde_json::to_value(&read).expect("plain data"), value);
        }
    }
}
