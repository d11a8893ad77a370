//! The document: what a screen says, without how it is laid out.

mod action;
mod build;
mod fold;
mod list;
mod sentence;

use serde::{Deserialize, Serialize};

pub use action::{Action, Weight};
pub use fold::{Fold, InText};
pub use list::{Item, List, ListKind};
pub use sentence::{Role, Sentence};

pub use crate::phrase::{Phrase, Run, Style};
pub use crate::table::{Align, Column, Layout, Most, Row, Table};

use crate::chart::Chart;

/// What a screen says, from top to bottom.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize)]
pub struct Document {
    /// Its parts in order.
    pub parts: Vec<Part>,
}

/// A block, and where it is shown.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Part {
    /// The block.
    pub block: Block,
    /// Where it is shown: nearly always everywhere.
    #[serde(default)]
    pub on: Medium,
}

/// Where a part is shown. What only one medium has is marked, so that it can be counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Medium {
    /// In text and on a page.
    #[default]
    Any,
    /// In text only.
    Text,
    /// On a page only.
    Page,
}

impl Medium {
    /// Whether what is marked so is in text.
    pub const fn is_in_text(self) -> bool {
        !matches!(self, Self::Page)
    }

    /// Whether what is marked so is on a page.
    pub const fn is_on_page(self) -> bool {
        !matches!(self, Self::Text)
    }
}

/// What a document is made of; there is nothing else.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Block {
    /// A heading with what stands under it.
    Heading(Heading),
    /// A paragraph.
    Sentence(Sentence),
    /// Rows and columns.
    Table(Table),
    /// A picture of numbers.
    Chart(Figure),
    /// Things of one kind.
    List(List),
    /// What can be done next.
    Action(Action),
    /// What is shown when it is asked for.
    Fold(Fold),
}

/// A heading and its section.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Heading {
    /// 1 for the title, 2 and 3 for sections.
    pub level: u8,
    /// Its words.
    pub title: Phrase,
    /// A name by which an address leads to it.
    pub anchor: Option<String>,
    /// What stands under it; nothing where the document goes on as before.
    pub under: Document,
}

/// A chart with what is said below it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Figure {
    /// The picture.
    pub chart: Chart,
    /// What its marks mean, where the picture does not say so itself.
    pub caption: Option<Phrase>,
}

impl Document {
    /// Whether nothing is in it.
    pub fn is_empty(&self) -> bool {
        self.parts.is_empty()
    }
}
