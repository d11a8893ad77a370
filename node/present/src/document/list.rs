//! Things of one kind, one below the other.

use serde::{Deserialize, Serialize};

use super::{Document, Most, Phrase};

/// A list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct List {
    /// Of what.
    pub kind: ListKind,
    /// Its items.
    pub items: Vec<Item>,
    /// How many items are shown, where there may be very many.
    pub most: Option<Most>,
}

/// What a list is of; text shows all of them as lines.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ListKind {
    /// Points in no order.
    Points,
    /// Points whose order matters.
    Ranked,
    /// Names with what they stand for.
    Facts,
    /// Long names with their figures.
    Figures,
    /// Things with a page of their own.
    Rows,
}

/// An item of a list.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Item {
    /// What the words stand for, in a list of facts or figures.
    pub term: Option<Phrase>,
    /// What is said.
    pub words: Phrase,
    /// Where its page is.
    pub address: Option<String>,
    /// What belongs to it.
    pub under: Document,
}

impl List {
    /// Points in no order.
    pub fn points<P: Into<Item>>(items: impl IntoIterator<Item = P>) -> Self {
        Self::of(ListKind::Points, items)
    }

    /// Points whose order matters.
    pub fn ranked<P: Into<Item>>(items: impl IntoIterator<Item = P>) -> Self {
        Self::of(ListKind::Ranked, items)
    }

    /// Names with what they stand for.
    pub fn facts<P: Into<Item>>(items: impl IntoIterator<Item = P>) -> Self {
        Self::of(ListKind::Facts, items)
    }

    /// Long names with their figures.
    pub fn figures<P: Into<Item>>(items: impl IntoIterator<Item = P>) -> Self {
        Self::of(ListKind::Figures, items)
    }

    /// Things with a page of their own.
    pub fn rows<P: Into<Item>>(items: impl IntoIterator<Item = P>) -> Self {
        Self::of(ListKind::Rows, items)
    }

    fn of<P: Into<Item>>(kind: ListKind, items: impl IntoIterator<Item = P>) -> Self {
        Self { kind, items: items.into_iter().map(Into::into).collect(), most: None }
    }

    /// With at most so many items.
    #[must_use]
    pub fn at_most(mut self, in_text: usize, on_page: usize, others: impl Into<String>) -> Self {
        self.most = Some(Most { in_text, on_page, others: others.into() });
        self
    }
}

impl Item {
    /// A name with what it stands for.
    pub fn fact(term: impl Into<Phrase>, words: impl Into<Phrase>) -> Self {
        Self { term: Some(term.into()), words: words.into(), ..Self::default() }
    }

    /// With a page of its own.
    #[must_use]
    pub fn at(mut self, address: impl Into<String>) -> Self {
        self.address = Some(address.into());
        self
    }

    /// With what belongs to it.
    #[must_use]
    pub fn with(mut self, under: Document) -> Self {
        self.under = under;
        self
    }
}

impl<P: Into<Phrase>> From<P> for Item {
    fn from(words: P) -> Self {
        Self { words: words.into(), ..Self::default() }
    }
}
