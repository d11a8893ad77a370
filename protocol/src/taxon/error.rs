//! Why a text is not a plant name.

use std::sync::OnceLock;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::parse::capitalised;
use crate::taxon::ascii;
use crate::taxon::names;
use crate::text_rules::is_epithet;

/// A name outside the grammar, with names that were perhaps meant.
#[derive(Clone, Debug, thiserror::Error)]
#[error("`{text}` is not a plant name: {fault}")]
pub struct TaxonError {
    text: String,
    fault: TaxonFault,
    /// Looked up when they are asked for.
    suggestions: OnceLock<Vec<String>>,
}

impl PartialEq for TaxonError {
    fn eq(&self, other: &Self) -> bool {
        (&self.text, &self.fault) == (&other.text, &other.fault)
    }
}

impl Eq for TaxonError {}

/// What is wrong with a name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, thiserror::Error, JsonSchema)]
#[serde(tag = "fault", content = "of", rename_all = "snake_case")]
pub enum TaxonFault {
    /// Nothing there.
    #[error("it is empty")]
    Empty,
    /// The first word is not a genus.
    #[error("`{0}` is not a genus; one is written with a capital, in letters")]
    Genus(String),
    /// A word that is not an epithet.
    #[error("`{0}` is not an epithet of 2 to 40 letters")]
    Epithet(String),
    /// A word that fits nowhere.
    #[error("`{0}` fits nowhere")]
    Unexpected(String),
    /// A third epithet without its rank.
    #[error("`{0}` needs its rank: subsp., var. or f.")]
    Rank(String),
    /// A hybrid sign or rank without an epithet after it.
    #[error("an epithet is missing after `{0}`")]
    Missing(String),
    /// A quote that is not closed.
    #[error("the quote of the cultivar is not closed")]
    OpenQuote,
    /// A cultivar or group name that records cannot carry.
    #[error("`{0}` is longer than 40 bytes or holds hidden characters")]
    Name(String),
}

impl TaxonError {
    pub(super) fn new(text: &str, fault: TaxonFault) -> Self {
        Self { text: text.trim().to_owned(), fault, suggestions: OnceLock::new() }
    }

    /// The text as typed.
    pub fn text(&self) -> &str {
        &self.text
    }

    /// What is wrong with it.
    pub fn fault(&self) -> &TaxonFault {
        &self.fault
    }

    /// At most three names that were perhaps meant.
    pub fn suggestions(&self) -> &[String] {
        self.suggestions.get_or_init(|| suggestions(&self.text, &self.fault))
    }
}

fn suggestions(text: &str, fault: &TaxonFault) -> Vec<String> {
    let listed: Vec<String> = names::suggest(text).into_iter().map(str::to_owned).collect();
    match fault {
        TaxonFault::Genus(word) if listed.is_empty() && is_epithet(&ascii(word)) => vec![capitalised(text)],
        TaxonFault::Rank(epithet) => ["subsp.", "var.", "f."]
            .map(|rank| text.replacen(&format!(" {epithet}"), &format!(" {rank} {epithet}"), 1))
            .to_vec(),
        _ => listed,
    }
}
