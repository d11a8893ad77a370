//! Rows and columns.

use serde::{Deserialize, Serialize};

use crate::phrase::Phrase;

/// A table.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Table {
    /// What it is of.
    pub caption: Phrase,
    /// Its columns.
    pub columns: Vec<Column>,
    /// Its rows; a row that is too short ends in empty cells.
    pub rows: Vec<Row>,
    /// Whether the first cell of each row is its heading.
    pub has_row_headings: bool,
    /// Whether text shows rows alone: its cells say by themselves what they are, and neither caption, headings nor soft
    /// words are printed.
    pub is_bare_in_text: bool,
    /// How many rows are shown, where there may be very many.
    pub most: Option<Most>,
    /// How a page shares out its width.
    pub layout: Layout,
}

/// A row.
pub type Row = Vec<Phrase>;

/// A column.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Column {
    /// Its heading.
    pub title: Phrase,
    /// Where its cells stand; numbers stand at the end, so that their digits are below each other.
    pub align: Align,
    /// Whether its cells may be broken into lines in text.
    pub wraps: bool,
    /// Whether it may be left out where text is too narrow.
    pub drops: bool,
    /// The fewest columns that it takes in text.
    pub least: usize,
    /// Whether its cells go on, in text of rows alone, where those of the column before it end.
    pub joins: bool,
    /// What stands before each cell in text of rows alone.
    pub before: String,
    /// What stands behind each cell in text of rows alone.
    pub after: String,
}

/// Where the cells of a column stand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Align {
    /// Words: at the beginning.
    #[default]
    Words,
    /// Numbers: at the end.
    Numbers,
}

/// How a page shares out the width of a table.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Layout {
    /// By what the cells need.
    #[default]
    Flowing,
    /// A narrow column of words and a wide one.
    Halves,
    /// A narrow first column, the others alike.
    Thirds,
}

/// How many are shown, and where the others are.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Most {
    /// In text.
    pub in_text: usize,
    /// On a page.
    pub on_page: usize,
    /// Where a page finds the others: `in the file of the answer`; empty where nowhere.
    pub others: String,
}

impl Most {
    /// `and 4 more`, where some of `all` are not shown in text.
    pub(crate) fn left_in_text(&self, all: usize) -> Option<String> {
        let left = all.checked_sub(self.in_text).filter(|left| *left > 0)?;
        Some(format!("and {left} more"))
    }

    /// `And 4 more in the file of the answer.`, where some of `all` are not shown on a page.
    pub(crate) fn left_on_page(&self, all: usize) -> Option<String> {
        let left = all.checked_sub(self.on_page).filter(|left| *left > 0)?;
        let place = if self.others.is_empty() { String::new() } else { format!(" {}", self.others) };
        Some(format!("And {left} more{place}."))
    }
}

impl Table {
    /// A table without rows.
    pub fn new(caption: impl Into<Phrase>, columns: impl IntoIterator<Item = Column>) -> Self {
        let columns = columns.into_iter().collect();
        Self { caption: caption.into(), columns, has_row_headings: true, ..Self::default() }
    }

    /// With one more row.
    #[must_use]
    pub fn row<P: Into<Phrase>>(mut self, cells: impl IntoIterator<Item = P>) -> Self {
        self.rows.push(cells.into_iter().map(Into::into).collect());
        self
    }

    /// With all these rows.
    #[must_use]
    pub fn rows(mut self, rows: impl IntoIterator<Item = Row>) -> Self {
        self.rows.extend(rows);
        self
    }

    /// Without headings of rows.
    #[must_use]
    pub fn without_row_headings(mut self) -> Self {
        self.has_row_headings = false;
        self
    }

    /// As rows alone in text.
    #[must_use]
    pub fn bare_in_text(mut self) -> Self {
        self.is_bare_in_text = true;
        self
    }

    /// With at most so many rows.
    #[must_use]
    pub fn at_most(mut self, in_text: usize, on_page: usize, others: impl Into<String>) -> Self {
        self.most = Some(Most { in_text, on_page, others: others.into() });
        self
    }

    /// Shared out so on a page.
    #[must_use]
    pub fn laid_out(mut self, layout: Layout) -> Self {
        self.layout = layout;
        self
    }

    /// The cell of a row; empty beyond its end.
    pub(crate) fn cell(row: &Row, column: usize) -> &Phrase {
        const EMPTY: &Phrase = &Phrase::new();
        row.get(column).unwrap_or(EMPTY)
    }
}

impl Column {
    /// Words that may be broken into lines.
    pub fn words(title: impl Into<Phrase>) -> Self {
        Self { title: title.into(), wraps: true, ..Self::default() }
    }

    /// Numbers.
    pub fn numbers(title: impl Into<Phrase>) -> Self {
        Self { title: title.into(), align: Align::Numbers, ..Self::default() }
    }

    /// Never broken into lines.
    #[must_use]
    pub fn whole(mut self) -> Self {
        self.wraps = false;
        self
    }

    /// Left out where text is too narrow.
    #[must_use]
    pub fn may_drop(mut self) -> Self {
        self.drops = true;
        self
    }

    /// At least so wide in text.
    #[must_use]
    pub fn at_least(mut self, columns: usize) -> Self {
        self.least = columns;
        self
    }

    /// What says in text of rows alone what a cell is.
    #[must_use]
    pub fn said(mut self, before: impl Into<String>, after: impl Into<String>) -> Self {
        (self.before, self.after) = (before.into(), after.into());
        self
    }

    /// The same of a column that goes on where the one before it ends: ` (12)`.
    #[must_use]
    pub fn joined(mut self, before: impl Into<String>, after: impl Into<String>) -> Self {
        self.joins = true;
        self.said(before, after)
    }
}
