//! What is wrong with something typed.

/// The words, why they are not understood, and what to write instead.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
#[error("\"{text}\": {why}")]
pub struct TypedFault {
    /// As typed.
    pub text: String,
    /// Why.
    pub why: String,
    /// What now.
    pub hints: Vec<String>,
    /// What is to be told of how counts are written, in the words of the trial's kind.
    pub how: Option<How>,
}

/// What can be told of how counts are written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum How {
    /// The cell of a check.
    Cell,
    /// The cell of a stage.
    CellAtAStage,
    /// What can be counted.
    States,
    /// What can be counted or marked.
    StatesAndMarks,
}

impl TypedFault {
    /// A fault without a hint yet.
    pub fn new(text: impl Into<String>, why: impl Into<String>) -> Self {
        Self { text: text.into(), why: why.into(), hints: Vec::new(), how: None }
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
    }

    /// Leaves the hint to whoever knows the kind of the trial.
    #[must_use]
    pub fn how(self, how: How) -> Self {
        Self { how: Some(how), ..self }
    }

    /// Adds what was perhaps meant, or where nothing is near, what to do instead.
    #[must_use]
    pub fn did_you_mean(self, near: &[String], otherwise: impl Into<String>) -> Self {
        if near.is_empty() {
            self.hint(otherwise)
        } else {
            self.hint(format!("did you mean {}?", near.join(", ")))
        }
    }
}
