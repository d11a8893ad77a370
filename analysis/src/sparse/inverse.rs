//! The inverse where the factor has entries (Takahashi, Fagan & Chin 1973): from the last column to the first.

use super::{Factor, Pattern, dot, is_run};

/// Entries of the inverse, in the order of elimination.
#[derive(Clone, Debug)]
pub(crate) struct Inverse {
    diagonal: Vec<f64>,
    entries: Vec<f64>,
}

impl Pattern {
    /// The inverse where the factor has entries.
    pub(crate) fn inverse(&self, factor: &Factor) -> Inverse {
        let n = self.variables();
        let mut diagonal: Vec<f64> = factor.diagonal.iter().map(|d| d.recip()).collect();
        let mut entries = vec![0.0; self.factor_rows.len()];
        // L of the column, and what it is multiplied to, by rows.
        let (mut by, mut sums) = (vec![0.0; n], vec![0.0; n]);
        for column in (0..n).rev() {
            let span = self.factor_starts[column]..self.factor_starts[column + 1];
            let rows = &self.factor_rows[span.clone()];
            let own = &factor.entries[span.clone()];
            for (row, value) in rows.iter().zip(own) {
                (by[*row as usize], sums[*row as usize]) = (*value, 0.0);
            }
            for (row, value) in rows.iter().zip(own) {
                let row = *row as usize;
                let below = self.factor_starts[row]..self.factor_starts[row + 1];
                let (others, inverse) = (&self.factor_rows[below.clone()], &entries[below]);
                // Rows outside of the column have L = 0, and sums that nobody reads before they are made anew.
                sums[row] += diagonal[row] * value + dot(&by, others, inverse);
                add(&mut sums, others, inverse, *value);
            }
            let mut squares = 0.0;
            for (slot, row) in span.zip(rows) {
                let row = *row as usize;
                entries[slot] = -sums[row];
                squares += by[row] * sums[row];
            }
            diagonal[column] += squares;
            for row in rows {
                by[*row as usize] = 0.0;
            }
        }
        Inverse { diagonal, entries }
    }

    /// The entry of the inverse of two variables between which the factor has an entry, as those of one clique have.
    pub(crate) fn covariance(&self, inverse: &Inverse, a: usize, b: usize) -> f64 {
        let (a, b) = (self.place[a], self.place[b]);
        if a == b {
            return inverse.diagonal[a as usize];
        }
        let (column, row) = (a.min(b) as usize, a.max(b));
        let span = self.factor_starts[column]..self.factor_starts[column + 1];
        let place = self.factor_rows[span.clone()].binary_search(&row).expect("both are of one clique");
        inverse.entries[span.start + place]
    }
}

/// sums[row] += by × value.
fn add(sums: &mut [f64], rows: &[u32], values: &[f64], by: f64) {
    if is_run(rows) {
        let start = rows[0] as usize;
        for (to, value) in sums[start..start + rows.len()].iter_mut().zip(values) {
            *to += by * value;
        }
        return;
    }
    for (row, value) in rows.iter().zip(values) {
        sums[*row as usize] += by * value;
    }
}
