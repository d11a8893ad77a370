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
}

impl TypedFault {
    /// A fault without a hint yet.
    pub fn new(text: impl Into<String>, why: impl Into<String>) -> Self {
        Self { text: text.into(), why: why.into(), hints: Vec::new() }
    }

    /// Adds what to do.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hints.push(hint.into());
        self
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
