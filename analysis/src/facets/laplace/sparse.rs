//! Rows with few entries.

use crate::matrix::Matrix;

/// Places and values, each place at most once.
#[derive(Clone, Debug, Default)]
pub(super) struct Sparse {
    entries: Vec<(usize, f64)>,
}

impl Sparse {
    pub(super) fn add(&mut self, place: usize, value: f64) {
        match self.entries.iter_mut().find(|entry| entry.0 == place) {
            Some(entry) => entry.1 += value,
            None => self.entries.push((place, value)),
        }
    }

    pub(super) fn add_times(&mut self, factor: f64, other: &Self) {
        if factor != 0.0 {
            other.entries.iter().for_each(|(place, value)| self.add(*place, factor * value));
        }
    }

    pub(super) fn dot(&self, dense: &[f64]) -> f64 {
        self.entries.iter().map(|(place, value)| value * dense[*place]).sum()
    }

    /// Adds `factor` times this to a list.
    pub(super) fn add_into(&self, factor: f64, dense: &mut [f64]) {
        self.entries.iter().for_each(|(place, value)| dense[*place] += factor * value);
    }

    /// Adds `factor` times the product of this with itself.
    pub(super) fn add_outer(&self, factor: f64, matrix: &mut Matrix) {
        if factor == 0.0 {
            return;
        }
        for (a, x) in &self.entries {
            self.entries.iter().for_each(|(b, y)| matrix[(*a, *b)] += factor * x * y);
        }
    }

    /// A symmetric matrix times this.
    pub(super) fn times(&self, matrix: &Matrix) -> Vec<f64> {
        let mut out = vec![0.0; matrix.rows];
        for (place, value) in &self.entries {
            out.iter_mut().zip(matrix.row(*place)).for_each(|(sum, entry)| *sum += value * entry);
        }
        out
    }
}
