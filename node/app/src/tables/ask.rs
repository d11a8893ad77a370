//! What a table leaves open, and what is stated of it: each with the answer that it takes.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_files::table::Problem;

/// A question to the grower, or a reading that is stated.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Question {
    /// Line and column, where it is about one.
    #[serde(rename = "line")]
    pub row: Option<u64>,
    /// The column.
    pub column: Option<String>,
    /// The question, or the statement.
    pub text: String,
    /// How it is answered.
    pub hint: Option<String>,
    /// Whether it has to be answered before anything is saved.
    #[serde(rename = "open")]
    pub is_open: bool,
    /// The option that answers it, and for what: `fill/Plant`.
    pub field: String,
    /// The answers that it has; none where any text may stand.
    pub choices: Vec<String>,
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
        if self.all.iter().any(|known| known.is_open && known.field == field) {
            return;
        }
        let Problem { row, column, why, hint } = problem;
        let choices = choices.iter().map(|word| (*word).to_owned()).collect();
        self.all.push(Question { row, column, text: why, hint, is_open: true, field, choices });
    }

    /// States a reading, unless the same was stated.
    pub(super) fn state(&mut self, text: impl Into<String>, field: impl Into<String>, choices: &[&str]) {
        let (text, field) = (text.into(), field.into());
        if self.all.iter().any(|known| !known.is_open && known.text == text) {
            return;
        }
        let choices = choices.iter().map(|word| (*word).to_owned()).collect();
        self.all.push(Question { row: None, column: None, text, hint: None, is_open: false, field, choices });
    }

    /// Whether that was asked already.
    pub(super) fn is_asked(&self, field: &str) -> bool {
        self.all.iter().any(|known| known.is_open && known.field == field)
    }

    /// Whether anything is open.
    pub(super) fn is_open(&self) -> bool {
        self.all.iter().any(|question| question.is_open)
    }
}

/// `lines 5 and 6`, `line 4`, `lines 5, 6, 7 and 12 more`.
pub(super) fn lines(numbers: &[u64]) -> String {
    let words: Vec<String> = numbers.iter().take(3).map(u64::to_string).collect();
    match (numbers.len(), words.split_last()) {
        (1, _) => format!("line {}", numbers[0]),
        (2 | 3, Some((last, first))) => format!("lines {} and {last}", first.join(", ")),
        (many, _) => format!("lines {} and {} more", words.join(", "), many.saturating_sub(3)),
    }
}
