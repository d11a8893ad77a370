//! Many units with powers: the log likelihood of a node, and its slopes.

use std::collections::BTreeMap;

use super::axis::{Axis, Level, level_for};
use super::kernel::{Kernel, REACH};
use super::table::{Row, Table};
use super::{LogDensity, direct, narrow};

/// Log likelihood of a node with its first two derivatives in mu.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Slopes {
    pub(crate) value: f64,
    pub(crate) first: f64,
    pub(crate) second: f64,
}

/// Log marginal of one unit, and the first two moments of (t - mu)/s under the product.
#[derive(Clone, Copy, Debug)]
pub(super) struct Moments {
    pub(super) log_value: f64,
    pub(super) first: f64,
    pub(super) second: f64,
}

/// Units (growers, or trial pairs), each with a power on its marginal likelihood.
pub(crate) struct Units<D> {
    densities: Vec<D>,
    powers: Vec<f64>,
    sharpness: f64,
    tables: BTreeMap<Level, Table>,
    kernel: Kernel,
    asked: Asked,
}

/// Which mu were asked for: by that a new table is made wide enough at once.
#[derive(Clone, Copy, Debug)]
struct Asked {
    level: Level,
    /// At this level since it was last changed to.
    here: (f64, f64),
    /// At the level before.
    before: (f64, f64),
}

/// A range without points.
const NOWHERE: (f64, f64) = (f64::INFINITY, f64::NEG_INFINITY);

impl Asked {
    fn add(&mut self, level: Level, mu: f64) {
        if level != self.level {
            *self = Self { level, here: NOWHERE, before: self.here };
        }
        self.here = (self.here.0.min(mu), self.here.1.max(mu));
    }

    /// All mu to expect at a level that was just changed to.
    fn range(&self) -> (f64, f64) {
        (self.here.0.min(self.before.0), self.here.1.max(self.before.1))
    }
}

/// How the marginals of one node are computed.
enum Way {
    /// Gauss–Hermite points around mu.
    Narrow(Axis),
    /// The table of this level, with the kernel set.
    Table(Level),
}

/// Smallest dot product that a table is trusted with.
const FAINT: f64 = 1e-60;

impl<D: LogDensity> Units<D> {
    /// Units with their powers; both in a fixed order, so that sums are reproducible.
    pub(crate) fn new(densities: Vec<D>, powers: Vec<f64>) -> Self {
        let sharpness = densities.iter().map(LogDensity::sharpness).fold(0.0, f64::max);
        let asked = Asked { level: 0, here: NOWHERE, before: NOWHERE };
        Self { densities, powers, sharpness, tables: BTreeMap::new(), kernel: Kernel::default(), asked }
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
        match self.prepare(mu, s) {
            Way::Narrow(axis) => self.narrow_slopes(&axis, s).value,
            Way::Table(level) => self.table_likelihood(level, mu, s),
        }
    }

    fn table_likelihood(&self, level: Level, mu: f64, s: f64) -> f64 {
        let table = &self.tables[&level];
        let mut sum = LogSum::default();
        for ((row, density), power) in table.rows.iter().zip(&self.densities).zip(&self.powers) {
            match self.table_dot(table, row, mu, s) {
                Some(dot) => sum.add(*power, dot, row.log_scale),
                None => sum.add_log(*power, direct::integrate(density, mu, s).log_value),
            }
        }
        sum.total()
    }

    /// ln L(mu, s) of one unit, without its power.
    pub(crate) fn log_marginal(&mut self, index: usize, mu: f64, s: f64) -> f64 {
        match self.prepare(mu, s) {
            Way::Narrow(axis) => {
                narrow::integrate(&self.densities[index], &axis, &mut vec![0.0; axis.len()]).log_value
            }
            Way::Table(level) => {
                let table = &self.tables[&level];
                let row = &table.rows[index];
                match self.table_dot(table, row, mu, s) {
                    Some(dot) => dot.ln() + row.log_scale,
                    None => direct::integrate(&self.densities[index], mu, s).log_value,
                }
            }
        }
    }

    /// ln L(mu, s) of every unit, without powers; NaN where it takes the long way of `log_marginal`.
    pub(crate) fn quick_marginals(&mut self, mu: f64, s: f64, out: &mut [f64]) {
        match self.prepare(mu, s) {
            Way::Narrow(axis) => {
                let mut scratch = vec![0.0; axis.len()];
                for (value, density) in out.iter_mut().zip(&self.densities) {
                    *value = narrow::integrate(density, &axis, &mut scratch).log_value;
                }
            }
            Way::Table(level) => {
                let table = &self.tables[&level];
                for (value, row) in out.iter_mut().zip(&table.rows) {
                    *value =
                        self.table_dot(table, row, mu, s).map_or(f64::NAN, |dot| dot.ln() + row.log_scale);
                }
            }
        }
    }

    /// As `log_likelihood`, with derivatives in mu.
    pub(crate) fn slopes(&mut self, mu: f64, s: f64) -> Slopes {
        if self.densities.is_empty() {
            return Slopes::default();
        }
        match self.prepare(mu, s) {
            Way::Narrow(axis) => self.narrow_slopes(&axis, s),
            Way::Table(level) => self.table_slopes(level, mu, s),
        }
    }

    fn narrow_slopes(&self, axis: &Axis, s: f64) -> Slopes {
        let mut scratch = vec![0.0; axis.len()];
        let mut total = Slopes::default();
        for (density, power) in self.densities.iter().zip(&self.powers) {
            total.add(*power, narrow::integrate(density, axis, &mut scratch), s);
        }
        total
    }

    fn table_slopes(&self, level: Level, mu: f64, s: f64) -> Slopes {
        let table = &self.tables[&level];
        let place = |k: usize| (table.axis.theta(self.kernel.start + k) - mu) / s;
        let times_place = |(k, w): (usize, &f64)| w * place(k);
        let first: Vec<f64> = self.kernel.weights.iter().enumerate().map(times_place).collect();
        let second: Vec<f64> = first.iter().enumerate().map(times_place).collect();
        let mut total = Slopes::default();
        for ((row, density), power) in table.rows.iter().zip(&self.densities).zip(&self.powers) {
            let exact =
                row.is_exact(mu, s).then(|| self.table_moments(table, row, &first, &second)).flatten();
            total.add(*power, exact.unwrap_or_else(|| direct::integrate(density, mu, s)), s);
        }
        total
    }

    /// Chooses the way, makes the table for this node and sets the kernel on it.
    fn prepare(&mut self, mu: f64, s: f64) -> Way {
        if s * self.sharpness.sqrt() < narrow::NARROW {
            return Way::Narrow(narrow::axis(mu, s));
        }
        let level = level_for((1.0 / (s * s) + self.sharpness).sqrt().recip());
        self.asked.add(level, mu);
        let (low, high) = (mu - REACH * s, mu + REACH * s);
        let old = self.tables.get(&level).map(|table| &table.axis);
        if !old.is_some_and(|axis| axis.covers(low, high)) {
            // Growing in proportion keeps rebuilds few however far a scan goes.
            let (from, to) = old.map_or_else(
                || {
                    let (first, last) = self.asked.range();
                    let margin = 0.1 * (last - first) + 2.0 * s;
                    (first - REACH * s - margin, last + REACH * s + margin)
                },
                |a| {
                    let (from, to) = (low.min(a.theta(0)), high.max(a.theta(a.len() - 1)));
                    (from - 0.3 * (to - from), to + 0.3 * (to - from))
                },
            );
            self.tables.insert(level, Table::new(Axis::covering(level, from, to), &self.densities));
        }
        self.kernel.set(&self.tables[&level].axis, mu, s);
        Way::Table(level)
    }

    /// Part of the axis where both the row and the kernel live, if any.
    fn overlap(&self, row: &Row) -> Option<(usize, usize)> {
        let start = row.start.max(self.kernel.start);
        let end = row.end.min(self.kernel.start + self.kernel.weights.len());
        (start < end).then_some((start, end))
    }

    /// The dot product of a row with the kernel, where it is the marginal.
    fn table_dot(&self, table: &Table, row: &Row, mu: f64, s: f64) -> Option<f64> {
        if !row.is_exact(mu, s) {
            return None;
        }
        let (start, end) = self.overlap(row)?;
        let weights = &self.kernel.weights[start - self.kernel.start..end - self.kernel.start];
        Some(dot(table.slice(row, start, end), weights)).filter(|dot| *dot > FAINT)
    }

    /// Moments from the kernel's weights times the powers of the place that `first` and `second` hold.
    fn table_moments(&self, table: &Table, row: &Row, first: &[f64], second: &[f64]) -> Option<Moments> {
        let (start, end) = self.overlap(row)?;
        let span = start - self.kernel.start..end - self.kernel.start;
        let values = table.slice(row, start, end);
        let sum = dot(values, &self.kernel.weights[span.clone()]);
        (sum > FAINT).then(|| Moments {
            log_value: sum.ln() + row.log_scale,
            first: dot(values, &first[span.clone()]) / sum,
            second: dot(values, &second[span]) / sum,
        })
    }
}

impl Slopes {
    fn add(&mut self, power: f64, moments: Moments, s: f64) {
        let Moments { log_value, first, second } = moments;
        self.value += power * log_value;
        self.first += power * first / s;
        self.second += power * (second - 1.0 - first * first) / (s * s);
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
        // One to three whole growers share a logarithm; the shortcut may miss a power that is nearly whole.
        let whole = [1.0, 2.0, 3.0].into_iter().position(|times| (power - times).abs() < f64::EPSILON);
        if let Some(more) = whole {
            self.product *= [value, value * value, value * value * value][more];
            if self.product < 1e-100 {
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

/// Dot product in eight lanes, in a fixed order.
pub(crate) fn dot(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 8];
    let (a8, b8) = (a.chunks_exact(8), b.chunks_exact(8));
    let rest: f64 = a8.remainder().iter().zip(b8.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in a8.zip(b8) {
        for lane in 0..8 {
            lanes[lane] += x[lane] * y[lane];
        }
    }
    let [a, b, c, d, e, f, g, h] = lanes;
    ((a + e) + (c + g)) + ((b + f) + (d + h)) + rest
}
