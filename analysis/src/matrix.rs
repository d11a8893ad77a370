//! Small dense matrices: as much linear algebra as regressions with a handful of columns need.

/// A dense matrix, row by row.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct Matrix {
    pub(crate) rows: usize,
    pub(crate) columns: usize,
    values: Vec<f64>,
}

impl Matrix {
    pub(crate) fn zeros(rows: usize, columns: usize) -> Self {
        Self { rows, columns, values: vec![0.0; rows * columns] }
    }

    /// The matrix whose entries are `entry(row, column)`.
    pub(crate) fn from_fn(rows: usize, columns: usize, entry: impl Fn(usize, usize) -> f64) -> Self {
        let values = (0..rows * columns).map(|k| entry(k / columns, k % columns)).collect();
        Self { rows, columns, values }
    }

    /// A symmetric matrix whose entries are `entry(row, column)` for columns up to the row.
    pub(crate) fn symmetric(size: usize, entry: impl Fn(usize, usize) -> f64) -> Self {
        let mut out = Self::zeros(size, size);
        for i in 0..size {
            for j in 0..=i {
                let value = entry(i, j);
                out[(i, j)] = value;
                out[(j, i)] = value;
            }
        }
        out
    }

    pub(crate) fn row(&self, row: usize) -> &[f64] {
        &self.values[row * self.columns..(row + 1) * self.columns]
    }

    pub(crate) fn times(&self, other: &Self) -> Self {
        let mut out = Self::zeros(self.rows, other.columns);
        for i in 0..self.rows {
            let row = &mut out.values[i * other.columns..(i + 1) * other.columns];
            for (k, value) in self.row(i).iter().enumerate() {
                row.iter_mut().zip(other.row(k)).for_each(|(sum, factor)| *sum += value * factor);
            }
        }
        out
    }

    pub(crate) fn times_vector(&self, vector: &[f64]) -> Vec<f64> {
        (0..self.rows).map(|i| in_lanes(self.row(i), vector)).collect()
    }

    pub(crate) fn trace(&self) -> f64 {
        (0..self.rows).map(|i| self[(i, i)]).sum()
    }

    /// Lower Cholesky factor of a symmetric matrix; `None` when it is not positive definite.
    pub(crate) fn cholesky(&self) -> Option<Self> {
        let n = self.rows;
        // Rows of the upper factor: what is taken off the rows below lies side by side there.
        let mut upper = self.values.clone();
        for k in 0..n {
            let (done, below) = upper.split_at_mut((k + 1) * n);
            let row = &mut done[k * n + k..];
            if row[0].is_nan() || row[0] <= 1e-13 * self[(k, k)].abs() {
                return None;
            }
            let root = row[0].sqrt();
            row[0] = root;
            row[1..].iter_mut().for_each(|value| *value /= root);
            for (i, other) in below.chunks_exact_mut(n).enumerate() {
                let from = &row[i + 1..];
                let share = from[0];
                other[k + 1 + i..].iter_mut().zip(from).for_each(|(value, by)| *value -= share * by);
            }
        }
        Some(Self::from_fn(n, n, |i, j| if j <= i { upper[j * n + i] } else { 0.0 }))
    }

    /// Solves L L' x = b, where this is the lower factor L.
    pub(crate) fn solve_factored(&self, b: &[f64]) -> Vec<f64> {
        let n = self.rows;
        let mut x = b.to_vec();
        for i in 0..n {
            x[i] = (x[i] - in_lanes(&self.row(i)[..i], &x[..i])) / self[(i, i)];
        }
        for i in (0..n).rev() {
            x[i] /= self[(i, i)];
            let (above, known) = x.split_at_mut(i);
            above.iter_mut().zip(self.row(i)).for_each(|(x, value)| *x -= value * known[0]);
        }
        x
    }

    /// Inverse of the matrix of which this is the lower factor.
    pub(crate) fn inverse_factored(&self) -> Self {
        let n = self.rows;
        let mut inverse = Self::zeros(n, n);
        for j in 0..n {
            let mut unit = vec![0.0; n];
            unit[j] = 1.0;
            for (i, value) in self.solve_factored(&unit).into_iter().enumerate() {
                inverse[(i, j)] = value;
            }
        }
        inverse
    }

    /// Log determinant of the matrix of which this is the lower factor.
    pub(crate) fn log_determinant_factored(&self) -> f64 {
        2.0 * (0..self.rows).map(|i| self[(i, i)].ln()).sum::<f64>()
    }

    /// Inverse of a symmetric positive definite matrix.
    pub(crate) fn inverse(&self) -> Option<Self> {
        self.cholesky().map(|factor| factor.inverse_factored())
    }
}

/// A scalar product in eight sums side by side.
#[inline]
pub(crate) fn in_lanes(a: &[f64], b: &[f64]) -> f64 {
    let mut lanes = [0.0; 8];
    let (whole, rest) = (a.chunks_exact(8), b.chunks_exact(8));
    let tail: f64 = whole.remainder().iter().zip(rest.remainder()).map(|(x, y)| x * y).sum();
    for (x, y) in whole.zip(rest) {
        lanes.iter_mut().zip(x.iter().zip(y)).for_each(|(sum, (x, y))| *sum += x * y);
    }
    lanes.iter().sum::<f64>() + tail
}

impl std::ops::Index<(usize, usize)> for Matrix {
    type Output = f64;
    fn index(&self, (row, column): (usize, usize)) -> &f64 {
        &self.values[row * self.columns + column]
    }
}

impl std::ops::IndexMut<(usize, usize)> for Matrix {
    fn index_mut(&mut self, (row, column): (usize, usize)) -> &mut f64 {
        &mut self.values[row * self.columns + column]
    }
}
