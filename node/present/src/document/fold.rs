//! What is shown when it is asked for.

use serde::{Deserialize, Serialize};

use super::{Document, Phrase};

/// Something folded away on a page.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Fold {
    /// What is in it.
    pub summary: Phrase,
    /// Whether it is open at first.
    pub is_open: bool,
    /// What text makes of it.
    pub in_text: InText,
    /// Its content.
    pub content: Document,
}

/// What text, which cannot unfold, makes of a fold.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum InText {
    /// A section under its summary.
    #[default]
    Whole,
    /// Its content in place, as if it were not folded.
    Content,
    /// A line with the command that shows it.
    Line(String),
}

impl Fold {
    /// A closed fold that text shows whole.
    pub fn new(summary: impl Into<Phrase>, content: Document) -> Self {
        Self { summary: summary.into(), is_open: false, in_text: InText::Whole, content }
    }

    /// Open at first.
    #[must_use]
    pub fn open(mut self, is_open: bool) -> Self {
        self.is_open = is_open;
        self
    }

    /// In text its content in place.
    #[must_use]
    pub fn unfolded_in_text(mut self) -> Self {
        self.in_text = InText::Content;
        self
    }

    /// In text a line with the command that shows it.
    #[must_use]
    pub fn shown_by(mut self, command: impl Into<String>) -> Self {
        self.in_text = InText::Line(command.into());
        self
    }
}
