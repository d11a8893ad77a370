//! Likelihoods of all units on one lattice.

use super::{Axis, LogDensity};

/// Log units below its peak where a likelihood counts as zero.
pub(crate) const SUPPORT: f64 = 46.0;
/// Log units below its peak within which a node may lie for the table to be exact there.
const CORE: f64 = 24.0;

/// One unit's likelihood on the lattice, scaled to a peak of 1 and cut to its support.
#[derive(Clone, Debug)]
pub(crate) struct Row {
    /// Place in the flat store.
    offset: usize,
    /// Support as indices on the axis.
    pub(crate) start: usize,
    pub(crate) end: usize,
    /// Log of the factor taken out.
    pub(crate) log_scale: f64,
    /// Where the likelihood is within `CORE` of its peak on the axis.
    core: (f64, f64),
    /// Place of the peak on the axis.
    peak: f64,
}

impl Row {
    /// Whether the dot product with the weights of (`mu`, `s`) is exact: the product's peak lies inside the table.
    pub(crate) fn is_exact(&self, mu: f64, s: f64) -> bool {
        (self.core.0 <= mu && mu <= self.core.1) || (mu - self.peak).abs() <= 6.9 * s
    }
}

/// Rows of all units on one axis.
#[derive(Clone, Debug)]
pub(crate) struct Table {
    pub(crate) axis: Axis,
    pub(crate) rows: Vec<Row>,
    values: Vec<f64>,
}

impl Table {
    /// Tabulates `units` on `axis`.
    pub(crate) fn new<D: LogDensity>(axis: Axis, units: &[D]) -> Self {
        let mut scratch = vec![0.0; axis.len()];
        let mut table = Self { axis, rows: Vec::with_capacity(units.len()), values: Vec::new() };
        for unit in units {
            unit.fill(&table.axis, &mut scratch);
            table.push(&scratch);
        }
        table
    }

    fn push(&mut self, logs: &[f64]) {
        let (top, log_scale) = highest(logs);
        let start = first_above(logs[..top].iter().rev(), log_scale - SUPPORT);
        let start = top - start;
        let end = top + 1 + first_above(logs[top + 1..].iter(), log_scale - SUPPORT);
        let core_low = top - first_above(logs[..top].iter().rev(), log_scale - CORE);
        let core_high = top + first_above(logs[top + 1..].iter(), log_scale - CORE);
        let offset = self.values.len();
        self.values.extend(logs[start..end].iter().map(|v| (v - log_scale).exp()));
        let core = (self.axis.theta(core_low), self.axis.theta(core_high));
        self.rows.push(Row { offset, start, end, log_scale, core, peak: self.axis.theta(top) });
    }

    /// The tabulated values of `row` on axis indices `start..end`, which lie within its support.
    pub(crate) fn slice(&self, row: &Row, start: usize, end: usize) -> &[f64] {
        &self.values[row.offset + start - row.start..row.offset + end - row.start]
    }
}

fn highest(logs: &[f64]) -> (usize, f64) {
    let mut best = (0, f64::NEG_INFINITY);
    for (index, &value) in logs.iter().enumerate() {
        if value > best.1 {
            best = (index, value);
        }
    }
    best
}

/// How many values in a row, from the first, are at least `floor`.
fn first_above<'a>(logs: impl Iterator<Item = &'a f64>, floor: f64) -> usize {
    logs.take_while(|value| **value >= floor).count()
}
