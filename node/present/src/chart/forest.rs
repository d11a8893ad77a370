//! Rates with what is known of them, row by row on one scale, and the reader's own beside them.

mod characters;
mod marks;

use maud::{Markup, html};
use serde::{Deserialize, Serialize};

use super::{Behind, Draw};
use crate::lines::Lines;
use crate::number::grouped;
use crate::phrase::Phrase;
use crate::svg::Scale;
use crate::table::{Column, Row, Table};

/// Rows on one scale.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Forest {
    /// Rows that belong together.
    pub blocks: Vec<ForestBlock>,
    /// What the marks mean, in the order in which it is said; only those that are there.
    pub keys: Vec<Key>,
    /// What stands before the own count: `yours`.
    pub yours: String,
    /// Headings of the table: what a row is of, the count, the rate.
    pub heads: [String; 3],
    /// Words of the table.
    pub behind: Behind,
}

/// Rows under one heading.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForestBlock {
    /// Empty where there is nothing to say.
    pub heading: String,
    /// Its rows.
    pub rows: Vec<ForestRow>,
}

/// One row.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ForestRow {
    /// What it is of; empty where what stands around says so.
    pub what: String,
    /// What it rests on.
    pub basis: String,
    /// The row in words.
    pub said: String,
    /// What its first line shows.
    pub reading: Reading,
    /// The same in words.
    pub rate: String,
    /// What is added to the rate in the table.
    pub beside: Vec<String>,
    /// What is added to what it rests on in the table.
    pub more: String,
    /// Successes, of how many.
    pub count: (u32, u32),
    /// Its weight, of the most that any row has.
    pub share_of_most: f64,
    /// The reader's own successes, of how many.
    pub own: Option<(u32, u32)>,
    /// Another average with its interval, below the first line.
    pub everybody: Option<(f64, [f64; 2])>,
}

/// What the first line of a row shows.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Reading {
    /// An average with its interval, and where one more may land.
    Average {
        /// The average.
        rate: f64,
        /// Its interval.
        interval: [f64; 2],
        /// Where one more may land.
        range: [f64; 2],
    },
    /// What the count alone fits; no dot where nothing succeeded.
    Count {
        /// The rate of the count.
        rate: Option<f64>,
        /// What it fits.
        interval: [f64; 2],
    },
}

/// What a mark means.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Key {
    /// The mark.
    pub mark: KeyMark,
    /// What it means beside its picture.
    pub words: String,
    /// What it means in text, with its character.
    pub in_text: String,
}

/// A mark of the picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum KeyMark {
    /// An average with its interval.
    Average,
    /// Where one more may land.
    Range,
    /// What the count alone fits.
    Count,
    /// The reader's own.
    Own,
    /// The other average.
    Everybody,
}

impl ForestRow {
    /// The rate of the reader's own count.
    fn own_rate(&self) -> Option<f64> {
        self.own.map(|(count, of)| f64::from(count) / f64::from(of.max(1)))
    }

    /// The highest rate of its first line.
    fn first_reach(&self) -> f64 {
        let first = match self.reading {
            Reading::Average { interval, range, .. } => interval[1].max(range[1]),
            Reading::Count { interval, .. } => interval[1],
        };
        first.max(self.own_rate().unwrap_or(0.0))
    }

    /// The highest rate that is drawn.
    fn reach(&self) -> f64 {
        self.first_reach().max(self.everybody.map_or(0.0, |(_, interval)| interval[1]))
    }

    fn has(&self, mark: KeyMark) -> bool {
        match mark {
            KeyMark::Average | KeyMark::Range => matches!(self.reading, Reading::Average { .. }),
            KeyMark::Count => matches!(self.reading, Reading::Count { .. }),
            KeyMark::Own => self.own.is_some(),
            KeyMark::Everybody => self.everybody.is_some(),
        }
    }

    fn count_words(&self) -> String {
        let (count, of) = self.count;
        format!("{} of {}", grouped(u64::from(count)), grouped(u64::from(of)))
    }
}

impl Forest {
    /// All rows of all blocks.
    fn rows(&self) -> impl Iterator<Item = &ForestRow> {
        self.blocks.iter().flat_map(|block| &block.rows)
    }

    /// What the marks mean that are there.
    fn keys(&self) -> impl Iterator<Item = &Key> {
        self.keys.iter().filter(|key| self.rows().any(|row| row.has(key.mark)))
    }

    fn row(&self, row: &ForestRow, scale: Scale) -> Markup {
        html! {
            div class="row" {
                div class="what" { (row.what) br; span class="soft" { (row.basis) } }
                (marks::row(row, scale))
                div class="how" {
                    strong { (row.rate) } br; span class="soft" { (row.count_words()) }
                    @if let Some((own, of)) = row.own { span class="soft" { ", " (self.yours) " " (own) " of " (of) } }
                }
            }
        }
    }
}

impl Draw for Forest {
    fn picture(&self) -> Markup {
        let scale = Scale::holding(self.rows().map(ForestRow::reach).fold(0.0, f64::max));
        html! {
            @for block in &self.blocks {
                @if !block.heading.is_empty() { h2 { (block.heading) } }
                @for row in &block.rows { (self.row(row, scale)) }
            }
            div class="row" { div class="what" {} (scale.numbers()) div class="how" {} }
            p class="legend" { @for key in self.keys() { (marks::key(key)) } }
        }
    }

    fn table(&self) -> Table {
        let row = |row: &ForestRow| -> Row {
            let basis =
                [&row.basis, &row.more].map(String::as_str).into_iter().filter(|part| !part.is_empty());
            let basis = basis.collect::<Vec<_>>().join("; ");
            let rate = [&row.rate].into_iter().chain(&row.beside).map(String::as_str).collect::<Vec<_>>();
            let what = Phrase::from(&row.what).line().soft(basis);
            vec![what, row.count_words().into(), rate.join("; ").into()]
        };
        Table::new(self.behind.caption.clone(), self.heads.iter().map(Column::words))
            .rows(self.rows().map(row))
    }

    fn text(&self, lines: &mut Lines) {
        characters::write(self, lines);
    }

    fn behind(&self) -> Option<&str> {
        Some(&self.behind.summary)
    }

    fn class(&self) -> Option<&'static str> {
        Some("figure forest")
    }
}
