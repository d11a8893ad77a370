//! Where the replicates of a trial stand on the bench.

use propagule_bench::layout::{Cell, Imbalance, Layout};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Where the pots of a trial stand.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LaidOut {
    /// Its code.
    pub trial: String,
    /// The same seed gives the same bench.
    pub seed: u64,
    /// Places side by side.
    pub columns: usize,
    /// Rows of places.
    pub rows: usize,
    /// Codes of the pots in the order in which one walks along the bench.
    pub bench_order: Vec<String>,
    /// Codes in the order of the printed sheet.
    pub sheet_order: Vec<String>,
    /// All places, row by row.
    pub cells: Vec<Cell>,
    /// Codes of the pots, by their number in the cells.
    pub labels: Vec<String>,
    /// What the layout leaves uneven, one for each cause that can matter.
    pub evenness: Vec<Imbalance>,
}

impl LaidOut {
    /// The layout alone.
    pub fn layout(&self) -> Layout {
        let Self { seed, columns, rows, .. } = *self;
        Layout { seed, columns, rows, cells: self.cells.clone() }
    }
}
