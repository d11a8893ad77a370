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

    pub(crate) fn row(&self, row: usize) -> &[f64] {
        &self.values[row * self.columns..(row + 1) * self.columns]
    }

    pub(crate) fn times(&self, other: &Self) -> Self {
        Self::from_fn(self.rows, other.columns, |i, j| {
            self.row(i).iter().enumerate().map(|(k, value)| value * other[(k, j)]).sum()
        })
    }

    pub(crate) fn times_vector(&self, vector: &[f64]) -> Vec<f64> {
        (0..self.rows).map(|i| self.row(i).iter().zip(vector).map(|(a, b)| a * b).sum()).collect()
    }

    pub(crate) fn trace(&self) -> f64 {
        (0..self.rows).map(|i| self[(i, i)]).sum()
    }

    /// Lower Cholesky factor of a symmetric matrix; `None` when it is not positive definite.
    pub(crate) fn cholesky(&self) -> Option<Self> {
        let n = self.rows;
        let mut factor = Self::zeros(n, n);
        for i in 0..n {
            for j in 0..=i {
                let sum: f64 = (0..j).map(|k| factor[(i, k)] * factor[(j, k)]).sum();
                let rest = self[(i, j)] - sum;
                if i == j {
                    if rest.is_nan() || rest <= 1e-13 * self[(i, i)].abs() {
                        return None;
                    }
                    factor[(i, i)] = rest.sqrt();
                } else {
                    factor[(i, j)] = rest / factor[(j, j)];
                }
            }
        }
        Some(factor)
    }

    /// Solves L L' x = b, where this is the lower factor L.
    pub(crate) fn solve_factored(&self, b: &[f64]) -> Vec<f64> {
        let n = self.rows;
        let mut x = b.to_vec();
        for i in 0..n {
            let sum: f64 = (0..i).map(|k| self[(i, k)] * x[k]).sum();
            x[i] = (x[i] - sum) / self[(i, i)];
        }
        for i in (0..n).rev() {
            let sum: f64 = (i + 1..n).map(|k| self[(k, i)] * x[k]).sum();
            x[i] = (x[i] - sum) / self[(i, i)];
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
