//! Words in a line, with what stands out in them.

use serde::{Deserialize, Serialize};

/// Words, some of them set apart.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Phrase {
    /// In the order of reading.
    pub runs: Vec<Run>,
}

/// Words of one style.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Run {
    /// The words, with the spaces around them.
    pub text: String,
    /// How they are set.
    pub style: Style,
}

/// How words are set.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Style {
    /// As all the others.
    Plain,
    /// What is to be seen first, such as a figure.
    Strong,
    /// The scientific name of a plant.
    Name,
    /// What may be passed over; a table of rows alone leaves it out in text.
    Soft,
    /// What is typed; never broken.
    Code,
    /// What leads to an address.
    Link(String),
    /// A verdict in a word, set in a box.
    Boxed,
    /// The end of a line; has no words.
    Break,
}

impl Phrase {
    /// No words.
    pub const fn new() -> Self {
        Self { runs: Vec::new() }
    }

    /// Whether it has no words.
    pub fn is_empty(&self) -> bool {
        self.runs.iter().all(|run| run.text.trim().is_empty())
    }

    /// Then plain words.
    #[must_use]
    pub fn then(self, text: impl Into<String>) -> Self {
        self.run(text, Style::Plain)
    }

    /// Then words that stand out.
    #[must_use]
    pub fn strong(self, text: impl Into<String>) -> Self {
        self.run(text, Style::Strong)
    }

    /// Then the name of a plant.
    #[must_use]
    pub fn name(self, text: impl Into<String>) -> Self {
        self.run(text, Style::Name)
    }

    /// Then words that may be passed over.
    #[must_use]
    pub fn soft(self, text: impl Into<String>) -> Self {
        self.run(text, Style::Soft)
    }

    /// Then a word in a box.
    #[must_use]
    pub fn boxed(self, text: impl Into<String>) -> Self {
        self.run(text, Style::Boxed)
    }

    /// Then what is typed.
    #[must_use]
    pub fn code(self, text: impl Into<String>) -> Self {
        self.run(text, Style::Code)
    }

    /// Then words that lead somewhere.
    #[must_use]
    pub fn link(self, text: impl Into<String>, address: impl Into<String>) -> Self {
        self.run(text, Style::Link(address.into()))
    }

    /// Then on a new line.
    #[must_use]
    pub fn line(self) -> Self {
        self.run("", Style::Break)
    }

    /// Then another phrase.
    #[must_use]
    pub fn and(mut self, other: impl Into<Self>) -> Self {
        self.runs.extend(other.into().runs);
        self
    }

    fn run(mut self, text: impl Into<String>, style: Style) -> Self {
        self.runs.push(Run { text: text.into(), style });
        self
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        Self::new().then(text)
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Self {
        Self::new().then(text)
    }
}

impl From<&String> for Phrase {
    fn from(text: &String) -> Self {
        Self::new().then(text.as_str())
    }
}
