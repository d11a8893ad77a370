//! Seeded random layouts on a bench grid.

use serde::{Deserialize, Serialize};

/// One replicate to be placed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReplicateSpec {
    /// Its label code.
    pub code: String,
    /// Its arm, 1 to 24.
    pub arm: u8,
    /// Its block, where blocks are given beforehand (pots shared by arms).
    pub block: Option<u8>,
    /// The stock plant its pieces come from, where there is just one.
    pub stock_plant: Option<String>,
}

/// What is to be laid out.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct LayoutRequest {
    /// The same seed gives the same layout.
    pub seed: u64,
    /// The replicates, at most 1,200.
    pub replicates: Vec<ReplicateSpec>,
    /// Places side by side on the bench.
    pub columns: usize,
    /// Whether each stretch of the bench holds each arm as evenly as the numbers allow.
    pub is_blocked: bool,
}

/// Where everything stands.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
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
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Cell {
    /// Row, 0 at the back.
    pub row: usize,
    /// Column, 0 at the left.
    pub column: usize,
    /// Which replicate of the request stands here; `None` is left free.
    pub replicate: Option<usize>,
    /// Whether it has no neighbour on at least one side.
    pub is_edge: bool,
}
