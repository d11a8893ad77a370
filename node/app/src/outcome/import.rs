//! What came of reading a table of trials, or would.

use std::collections::BTreeMap;

use propagule_bench::Stage;
use propagule_bench::kind::Kind;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::said::Said;
use crate::tables::{Change, Outcome, Question, RowShown, Told};

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
    pub questions: Vec<Question>,
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
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ImportError {
    /// All that is wrong.
    pub message: String,
    /// What to do.
    pub hints: Vec<String>,
}

/// A trial of a table.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct ImportedTrial {
    /// Its code.
    pub trial: String,
    /// What happens to it.
    pub change: Change,
    /// How many arms it has.
    pub arms: usize,
    /// The plant.
    pub species: String,
    /// The kind of propagation.
    pub kind: Kind,
    /// Pieces put in.
    pub started: u32,
    /// The last stage at which it is counted.
    pub counted_at: Option<Stage>,
}

/// A row that cannot be taken in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct RefusedRow {
    /// The code of its trial, where it has one.
    pub trial: Option<String>,
    /// Its line.
    pub row: Option<u64>,
    /// The column that is wrong.
    pub column: Option<String>,
    /// Why.
    pub why: String,
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
    /// Whether its numbers are shares of the pieces put in.
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
    pub why: Option<String>,
    /// What a row of plants says.
    #[serde(flatten)]
    pub row: Option<Box<RowShown>>,
}

/// What becomes of a line, in a word.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(untagged)]
pub enum LineOutcome {
    /// Of a row of plants.
    Row(Outcome),
    /// What another line is.
    Other(String),
}

/// All trials of a table together, so that a column read wrongly is seen.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ImportTotals {
    /// In whose words they are said.
    pub kind: Kind,
    /// How many trials.
    pub trials: usize,
    /// Pieces put in.
    pub started: u32,
    /// With the outcome at the first stage.
    pub rooted: u32,
    /// Put in where it was looked for.
    pub looked: u32,
    /// Weeks until the first stage, the fewest and the most.
    pub weeks: Option<(i32, i32)>,
}

impl TrialImport {
    /// Questions that have to be answered before anything is saved.
    pub fn open_questions(&self) -> impl Iterator<Item = &Question> {
        self.questions.iter().filter(|question| question.is_open)
    }
}

impl LineOutcome {
    /// The word.
    pub fn word(&self) -> &str {
        match self {
            Self::Row(outcome) => outcome.word(),
            Self::Other(word) => word,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn lines_of_each_sort_come_back_as_they_were_sent() {
        for line in [
            r#"{"line":2,"outcome":"total row","why":"adds up the others"}"#,
            r#"{"line":3,"outcome":"refused","trial":"M1","column":"dead","why":"13 of 12"}"#,
            r#"{"line":4,"outcome":"changed","trial":"M1","why":null,"arm":"A","pot":null,"species":"Morus nigra",
                "started":12,"operator":null,"suckers":null,"not_counted_yet":true,"says":"12 put in","was":3,"now":"4 or 5",
                "filled":[],"checks":{}}"#,
        ] {
            let value: serde_json::Value = serde_json::from_str(line).expect("JSON");
            let read: ImportLine = serde_json::from_value(value.clone()).expect("a line");
            assert_eq!(read.row.is_some(), value.get("arm").is_some(), "{line}");
            assert_eq!(serde_json::to_value(&read).expect("plain data"), value);
        }
    }
}
