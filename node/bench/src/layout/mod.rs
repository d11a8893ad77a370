//! Seeded random layouts on a bench grid.
//!
//! Places are filled along a walk that turns at the end of each row, so that a block is one connected stretch. Out
//! of many shuffles the most even one is taken, and made more even by swaps (`balance.rs`); what is then left uneven
//! is told as data. The bench is seen from the walking side: row 1 at the back, column 1 at the left.

mod balance;
mod blocks;
mod evenness;
mod random;

#[cfg(test)]
mod tests;

pub use evenness::{BenchPart, Cause, Evenness, Imbalance, imbalance};

use balance::Place;
use random::Random;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// One pot to be placed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReplicateSpec {
    /// Its label code.
    pub code: String,
    /// Its treatment, 1 to 24.
    pub arm: u8,
    /// Its block, where blocks are given beforehand (pots shared by treatments).
    pub block: Option<u8>,
    /// The stock plant its propagules come from, where there is just one.
    pub stock_plant: Option<String>,
}

/// What is to be laid out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LayoutRequest {
    /// The same seed gives the same layout.
    pub seed: u64,
    /// The pots, at most 1,200.
    pub replicates: Vec<ReplicateSpec>,
    /// Places side by side on the bench.
    pub columns: usize,
    /// Whether each stretch of the bench holds each treatment as evenly as the numbers allow.
    pub is_blocked: bool,
}

/// Where everything stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Layout {
    /// The seed it was drawn with.
    pub seed: u64,
    /// Places side by side.
    pub columns: usize,
    /// Rows of places.
    pub rows: usize,
    /// All places, row by row.
    pub cells: Vec<Cell>,
}

/// One place on the bench.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Cell {
    /// Row, 0 at the back.
    pub row: usize,
    /// Column, 0 at the left.
    pub column: usize,
    /// Which pot of the request stands here; `None` is left free.
    pub replicate: Option<usize>,
    /// Whether it has no neighbour on at least one side, so dries and warms more than others.
    pub is_edge: bool,
    /// Its block, from 1, or as given; `None` on a bench without blocks and where nothing stands.
    pub block: Option<u8>,
}

impl Layout {
    /// The pots in the order in which one walks along the bench, back and forth.
    pub fn walk(&self) -> Vec<usize> {
        let by_row = self.cells.chunks(self.columns.max(1)).enumerate();
        let turned = by_row.flat_map(|(row, cells)| {
            let cells: Vec<&Cell> =
                if row % 2 == 0 { cells.iter().collect() } else { cells.iter().rev().collect() };
            cells
        });
        turned.filter_map(|cell| cell.replicate).collect()
    }
}

/// Lays the pots out. No pots give a layout without places; no columns count as one.
pub fn lay_out(request: &LayoutRequest) -> Layout {
    let count = request.replicates.len();
    let columns = request.columns.clamp(1, count.max(1));
    let rows = count.div_ceil(columns);
    let mut random = Random::new(request.seed);
    let blocks = blocks::assign(request, &mut random);
    let places: Vec<Place> = (0..count).map(|step| Place::new(step, columns, count)).collect();
    let order = balance::search(request, &blocks, &places, &mut random);
    let mut cells: Vec<Cell> = (0..rows * columns)
        .map(|at| {
            let (row, column) = (at / columns, at % columns);
            Cell { row, column, replicate: None, is_edge: true, block: None }
        })
        .collect();
    for (place, replicate) in places.iter().zip(order) {
        let cell = &mut cells[place.row * columns + place.column];
        cell.replicate = Some(replicate);
        cell.is_edge = place.is_edge;
        cell.block = blocks.number_of(replicate);
    }
    Layout { seed: request.seed, columns, rows, cells }
}
