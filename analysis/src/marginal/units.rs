//! Many units with powers: the log likelihood of a node, and its slopes.

use std::collections::BTreeMap;

use super::axis::{Axis, Level, level_for};
use super::direct::{self, Direct};
use super::kernel::{Kernel, REACH};
use super::table::Table;
use super::LogDensity;

/// Log likelihood of a node with its first two derivatives in mu.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Slopes {
    pub(crate) value: f64,
    pub(crate) first: f64,
    pub(crate) second: f64,
}

/// Units (growers, or trial pairs), each with a power on its marginal likelihood.
pub(crate) struct Units<D> {
    densities: Vec<D>,
    powers: Vec<f64>,
    sharpness: f64,
    tables: BTreeMap<Level, Table>,
    kernel: Kernel,
}

impl<D: LogDensity> Units<D> {
    /// Units with their powers; both in a fixed order, so that sums are reproducible.
    pub(crate) fn new(densities: Vec<D>, powers: Vec<f64>) -> Self {
        let sharpness = densities.iter().map(LogDensity::sharpness).fold(0.0, f64::max);
        Self { densities, powers, sharpness, tables: BTreeMap::new(), kernel: Kernel::default() }
    }

    /// Sum of the powers: how many units' worth of likelihood there is.
    pub(crate) fn total_power(&self) -> f64 {
        self.powers.iter().sum()
    }

    /// Width of the narrowest likelihood; infinite without units.
    pub(crate) fn narrowest(&self) -> f64 {
        self.sharpness.sqrt().recip()
    }

    pub(crate) fn densities(&self) -> &[D] {
        &self.densities
    }

    /// Sum of power × ln L(mu, s).
    pub(crate) fn log_likelihood(&mut self, mu: f64, s: f64) -> f64 {
        if self.densities.is_empty() {
            return 0.0;
        }
        let level = self.prepare(mu, s);
        let table = &self.tables[&level];
        let mut sum = LogSum::default();
        for (index, row) in table.rows.iter().enumerate() {
            let power = self.powers[index];
            let dot = if row.is_exact(mu, s) { overlap_dot(table, row, &self.kernel) } else { 0.0 };
            if dot > 1e-60 {
                sum.add(power, dot, row.log_scale);
            } else {
                sum.add_log(power, direct::integrate(&self.densities[index], mu, s).log_value);
            }
        }
        sum.total()
    }

    /// ln L(mu, s) of every unit, without powers.
    pub(crate) fn log_marginals(&mut self, mu: f64, s: f64) -> Vec<f64> {
        let level = self.prepare(mu, s);
        (0..self.densities.len()).map(|index| self.prepared_marginal(level, index, mu, s)).collect()
    }

    /// ln L(mu, s) of one unit, without its power.
    pub(crate) fn log_marginal(&mut self, index: usize, mu: f64, s: f64) -> f64 {
        let level = self.prepare(mu, s);
        self.prepared_marginal(level, index, mu, s)
    }

    fn prepared_marginal(&self, level: Level, index: usize, mu: f64, s: f64) -> f64 {
        let table = &self.tables[&level];
        let row = &table.rows[index];
        let dot = if row.is_exact(mu, s) { overlap_dot(table, row, &self.kernel) } else { 0.0 };
        if dot > 1e-60 {
            dot.ln() + row.log_scale
        } else {
            direct::integrate(&self.densities[index], mu, s).log_value
        }
    }

    /// As `log_likelihood`, with derivatives in mu.
    pub(crate) fn slopes(&mut self, mu: f64, s: f64) -> Slopes {
        let mut total = Slopes::default();
        if self.densities.is_empty() {
            return total;
        }
        let level = self.prepare(mu, s);
        let table = &self.tables[&level];
        let z: Vec<f64> = (0..self.kernel.weights.len())
            .map(|k| (table.axis.theta(self.kernel.start + k) - mu) / s)
            .collect();
        for (index, row) in table.rows.iter().enumerate() {
            let moments = row.is_exact(mu, s).then(|| overlap_moments(table, row, &self.kernel, &z)).flatten();
            let m = moments.unwrap_or_else(|| direct::integrate(&self.densities[index], mu, s));
            let power = self.powers[index];
            total.value += power * m.log_value;
            total.first += power * m.first / s;
            total.second += power * (m.second - 1.0 - m.first * m.first) / (s * s);
        }
        total
    }

    /// Makes the table for this node and sets the kernel on it.
    fn prepare(&mut self, mu: f64, s: f64) -> Level {
        let level = level_for((1.0 / (s * s) + self.sharpness).sqrt().recip());
        let (low, high) = (mu - REACH * s, mu + REACH * s);
        let old = self.tables.get(&level).map(|table| &table.axis);
        if !old.is_some_and(|axis| axis.covers(low, high)) {
            let margin = 2.0 * s + 0.5;
            let (from, to) = old.map_or((low, high), |a| (low.min(a.theta(0)), high.max(a.theta(a.len() - 1))));
            let axis = Axis::covering(level, from - margin, to + margin);
            self.tables.insert(level, Table::new(axis, &self.densities));
        }
        self.kernel.set(&self.tables[&level].axis, mu, s);
        level
    }
}

/// Sum of logarithms that takes one logarithm for many factors.
struct LogSum {
    product: f64,
    log: f64,
}

impl Default for LogSum {
    fn default() -> Self {
        Self { product: 1.0, log: 0.0 }
    }
}

impl LogSum {
    fn add(&mut self, power: f64, value: f64, log_scale: f64) {
        self.log += power * log_scale;
        if power == 1.0 {
            self.product *= value;
            if self.product < 1e-200 {
                self.log += self.product.ln();
                self.product = 1.0;
            }
        } else {
            self.log += power * value.ln();
        }
    }

    fn add_log(&mut self, power: f64, log_value: f64) {
        self.log += power * log_value;
    }

    fn total(&self) -> f64 {
        self.log + self.product.ln()
    }
}

fn overlap(row: &super::table::Row, kernel: &Kernel) -> (usize, usize) {
    let start = row.start.max(kernel.start);
    (start, row.end.min(kernel.start + kernel.weights.len()).max(start))
}

fn overlap_dot(table: &Table, row: &super::table::Row, kernel: &Kernel) -> f64 {
    let (start, end) = overlap(row, kernel);
    if start >= end {
        return 0.0;
    }
    dot(table.slice(row, start, end), &kernel.weights[start - kernel.start..end - kernel.start])
}

fn overlap_moments(table: &Table, row: &super::table::Row, kernel: &Kernel, z: &[f64]) -> Option<Direct> {
    let (start, end) = overlap(row, kernel);
    if start >= end {
        return None;
    }
    let span = start - kernel.start..end - kernel.start;
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for ((f, w), z) in table.slice(row, start, end).iter().zip(&kernel.weights[span.clone()]).zip(&z[span]) {
        let value = f * w;
        sum += value;
        first += value * z;
        second += value * z * z;
    }
    (sum > 1e-60).then(|| Direct {
        log_value: sum.ln() + row.log_scale,
        first: first / sum,
        second: second / sum,
    })
}

/// Dot product in four lanes, in a fixed order.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 4];
    let (a4, b4) = (a.chunks_exact(4), b.chunks_exact(4));
    let rest: f64 = a4.remainder().iter().zip(b4.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a4.zip(b4) {
        for lane in 0..4 {
            lanes[lane] += x[lane] * y[lane];
        }
    }
    (lanes[0] + lanes[2]) + (lanes[1] + lanes[3]) + rest
}
