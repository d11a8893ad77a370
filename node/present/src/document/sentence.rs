//! A paragraph and what it is for.

use serde::{Deserialize, Serialize};

use super::Phrase;

/// A paragraph.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Sentence {
    /// What it is for.
    pub role: Role,
    /// Its words.
    pub words: Phrase,
}

/// What a paragraph is for; how it looks follows from that.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// What the screen is there for.
    Main,
    /// One sentence among others.
    Plain,
    /// What explains.
    Note,
    /// What a statement rests on: in brackets in text, quiet on a page.
    Aside,
    /// What has to be known beside the whole; back at the margin in text.
    Warning,
    /// What limits the whole; back at the margin in text.
    Caveat,
}

impl Role {
    /// Whether it speaks of the whole, wherever it stands.
    pub const fn is_of_the_whole(self) -> bool {
        matches!(self, Self::Warning | Self::Caveat)
    }
}
