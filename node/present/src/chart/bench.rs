//! The bench as seen from the walking side: each pot where it stands.

mod lines;

use std::collections::BTreeSet;

use maud::{Markup, html};
use propagule_bench::layout::Layout;
use serde::{Deserialize, Serialize};

use super::Draw;
use crate::lines::Lines;
use crate::table::{Column, Table};

/// A place where nothing stands.
const FREE: &str = "·";

/// Places of a bench, row by row: row 1 at the back, column 1 at the left.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BenchMap {
    /// The rows, each from left to right.
    pub rows: Vec<Vec<BenchPlace>>,
}

/// A place of a bench.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct BenchPlace {
    /// What stands there; none is free.
    pub label: Option<String>,
    /// Its block; none on a bench without blocks, and where nothing stands.
    pub block: Option<u8>,
}

impl BenchMap {
    /// Of a layout; `labels` are those of the replicates of its request, in their order.
    pub fn of(layout: &Layout, labels: &[String]) -> Self {
        let places = layout.cells.iter().map(|cell| BenchPlace {
            label: cell.replicate.map(|at| labels.get(at).cloned().unwrap_or_default()),
            block: cell.block,
        });
        let places: Vec<BenchPlace> = places.collect();
        Self { rows: places.chunks(layout.columns.max(1)).map(<[BenchPlace]>::to_vec).collect() }
    }

    fn places(&self) -> impl Iterator<Item = &BenchPlace> {
        self.rows.iter().flatten()
    }

    fn columns(&self) -> usize {
        self.rows.iter().map(Vec::len).max().unwrap_or(0)
    }

    fn blocks(&self) -> usize {
        self.places().filter_map(|place| place.block).collect::<BTreeSet<_>>().len()
    }
}

impl Draw for BenchMap {
    /// A grid: what stands somewhere is read with its row and column, and nothing is told by colour.
    fn picture(&self) -> Markup {
        let shows_blocks = self.blocks() > 1;
        html! {
            table {
                caption { "Row 1 is at the back, column 1 at the left" }
                thead { tr { th scope="col" { "Row" } @for column in 1..=self.columns() { th scope="col" { (column) } } } }
                tbody { @for (places, row) in self.rows.iter().zip(1..) { tr {
                    th scope="row" { (row) }
                    @for place in places { td {
                        (place.label.as_deref().unwrap_or(FREE))
                        @if let Some(block) = place.block.filter(|_| shows_blocks) { br; span class="soft" { "block " (block) } }
                    } }
                } } }
            }
        }
    }

    fn table(&self) -> Table {
        let row = |(at, places): (usize, &Vec<BenchPlace>)| {
            let row = |(column, place): (usize, &BenchPlace)| {
                let block = place.block.map(|block| block.to_string()).unwrap_or_default();
                let label = place.label.clone()?;
                Some(vec![
                    (at + 1).to_string().into(),
                    (column + 1).to_string().into(),
                    label.into(),
                    block.into(),
                ])
            };
            places.iter().enumerate().filter_map(row).collect::<Vec<_>>()
        };
        let columns = [
            Column::numbers("Row"),
            Column::numbers("Column"),
            Column::words("Place"),
            Column::numbers("Block"),
        ];
        Table::new("Where each stands", columns).rows(self.rows.iter().enumerate().flat_map(row))
    }

    fn text(&self, lines: &mut Lines) {
        lines::write(self, lines);
    }
}
