//! Normal models whose estimates share errors or random effects: arms in trials in growers, networks of contrasts.

use super::MetaError;
use crate::matrix::Matrix;
use crate::normal::HALF_LN_TWO_PI;
use crate::optimise::minimise;

/// A normal model: estimates with a known error covariance, columns of fixed effects, and covariance patterns whose
/// variances are estimated. All matrices are given row by row.
#[derive(Clone, Debug)]
pub struct Multivariate {
    /// The estimates.
    pub estimates: Vec<f64>,
    /// Their sampling covariance.
    pub covariance: Vec<Vec<f64>>,
    /// Columns of fixed effects, one row an estimate.
    pub design: Vec<Vec<f64>>,
    /// Patterns of random effects, each multiplied by a variance.
    pub patterns: Vec<Vec<Vec<f64>>>,
}

/// A fitted multivariate normal model.
#[derive(Clone, Debug)]
pub struct MultivariateFit {
    /// Fixed effects.
    pub beta: Vec<f64>,
    /// Their covariance, row by row.
    pub covariance: Vec<Vec<f64>>,
    /// One variance a pattern.
    pub variances: Vec<f64>,
    /// Log likelihood, restricted if asked for.
    pub log_likelihood: f64,
    /// Residual heterogeneity at variances zero.
    pub q: f64,
}

/// Generalised least squares at given variances.
struct Solved {
    beta: Vec<f64>,
    covariance: Matrix,
    squares: f64,
    log_determinant: f64,
    log_information: f64,
}

impl Multivariate {
    /// Fits the model; `restricted` takes restricted maximum likelihood.
    ///
    /// # Errors
    /// [`MetaError::Singular`] when the design or the covariance has no inverse.
    pub fn fit(&self, restricted: bool) -> Result<MultivariateFit, MetaError> {
        let none = vec![0.0; self.patterns.len()];
        let q = self.solve(&none)?.squares;
        let deviance = |sds: &[f64]| {
            let variances: Vec<f64> = sds.iter().map(|s| s * s).collect();
            self.solve(&variances).map_or(f64::INFINITY, |at| -self.log_likelihood(&at, restricted))
        };
        let starts = [0.05, 0.4, 1.2].map(|sd| vec![sd; self.patterns.len()]);
        let fits = starts.map(|start| minimise(&mut |x: &[f64]| deviance(x), &start));
        let best = fits.into_iter().min_by(|a, b| a.value.total_cmp(&b.value)).expect("three starts");
        let mut variances: Vec<f64> = best.point.iter().map(|s| s * s).collect();
        for k in 0..variances.len() {
            let held = variances[k];
            variances[k] = 0.0;
            let at_zero = self.solve(&variances)?;
            if -self.log_likelihood(&at_zero, restricted) > best.value + 1e-9 {
                variances[k] = held;
            }
        }
        let solved = self.solve(&variances)?;
        Ok(MultivariateFit {
            log_likelihood: self.log_likelihood(&solved, restricted),
            beta: solved.beta,
            covariance: (0..solved.covariance.rows).map(|i| solved.covariance.row(i).to_vec()).collect(),
            variances,
            q,
        })
    }

    /// Trace of P M for a pattern M, where P projects residuals at variances zero: by how much Q grows with the variance
    /// of the pattern.
    ///
    /// # Errors
    /// [`MetaError::Singular`] when the design or the covariance has no inverse.
    pub(crate) fn projected_trace(&self, pattern: &[Vec<f64>]) -> Result<f64, MetaError> {
        let n = self.estimates.len();
        let factor =
            Matrix::from_fn(n, n, |i, j| self.covariance[i][j]).cholesky().ok_or(MetaError::Singular)?;
        let none = vec![0.0; self.patterns.len()];
        let information_inverse = self.solve(&none)?.covariance;
        let p = information_inverse.rows;
        let column = |j: usize| (0..n).map(|i| self.design[i][j]).collect::<Vec<f64>>();
        let weighted: Vec<Vec<f64>> = (0..p).map(|j| factor.solve_factored(&column(j))).collect();
        let inverse = factor.inverse_factored();
        let projected = |i: usize, j: usize| {
            let mut value = inverse[(i, j)];
            for a in 0..p {
                for b in 0..p {
                    value -= weighted[a][i] * information_inverse[(a, b)] * weighted[b][j];
                }
            }
            value
        };
        Ok((0..n).map(|i| (0..n).map(|j| projected(i, j) * pattern[j][i]).sum::<f64>()).sum())
    }

    fn solve(&self, variances: &[f64]) -> Result<Solved, MetaError> {
        let n = self.estimates.len();
        let p = self.design.first().map_or(0, Vec::len);
        let entry = |i: usize, j: usize| {
            let random = self.patterns.iter().zip(variances).map(|(m, v)| m[i][j] * v);
            self.covariance[i][j] + random.sum::<f64>()
        };
        let factor = Matrix::from_fn(n, n, entry).cholesky().ok_or(MetaError::Singular)?;
        let column = |j: usize| (0..n).map(|i| self.design[i][j]).collect::<Vec<f64>>();
        let weighted: Vec<Vec<f64>> = (0..p).map(|j| factor.solve_factored(&column(j))).collect();
        let dot = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x * y).sum::<f64>();
        let information = Matrix::from_fn(p, p, |i, j| dot(&weighted[i], &column(j)));
        let information = information.cholesky().ok_or(MetaError::Singular)?;
        let right: Vec<f64> = weighted.iter().map(|w| dot(w, &self.estimates)).collect();
        let beta = information.solve_factored(&right);
        let residuals: Vec<f64> =
            self.estimates.iter().zip(&self.design).map(|(y, row)| y - dot(row, &beta)).collect();
        Ok(Solved {
            squares: dot(&residuals, &factor.solve_factored(&residuals)),
            log_determinant: factor.log_determinant_factored(),
            log_information: information.log_determinant_factored(),
            covariance: information.inverse_factored(),
            beta,
        })
    }

    fn log_likelihood(&self, at: &Solved, restricted: bool) -> f64 {
        let (n, p) = (self.estimates.len() as f64, at.beta.len() as f64);
        if !restricted {
            return -n * HALF_LN_TWO_PI - 0.5 * (at.log_determinant + at.squares);
        }
        let columns = at.beta.len();
        let cross =
            Matrix::from_fn(columns, columns, |i, j| self.design.iter().map(|row| row[i] * row[j]).sum());
        let log_cross = cross.cholesky().map_or(0.0, |factor| factor.log_determinant_factored());
        -(n - p) * HALF_LN_TWO_PI - 0.5 * (at.log_determinant + at.log_information + at.squares - log_cross)
    }
}
