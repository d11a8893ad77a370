//! Logistic regression without random effects.

use crate::logit::logistic;
use crate::matrix::Matrix;

/// A fitted logistic regression.
#[derive(Clone, Debug)]
pub(crate) struct Logistic {
    pub(crate) beta: Vec<f64>,
    pub(crate) covariance: Matrix,
}

/// Iteratively reweighted least squares on rows of (successes, pieces, columns). Separated data run off to large
/// coefficients; the iteration stops there.
pub(crate) fn logistic_regression(rows: &[(f64, f64, Vec<f64>)]) -> Option<Logistic> {
    let columns = rows.first()?.2.len();
    let mut beta = vec![0.0; columns];
    let mut last = None;
    for _ in 0..60 {
        let mut information = Matrix::zeros(columns, columns);
        let mut score = vec![0.0; columns];
        for (r, n, x) in rows {
            let p = logistic(x.iter().zip(&beta).map(|(a, b)| a * b).sum());
            for i in 0..columns {
                score[i] += (r - n * p) * x[i];
                for j in 0..columns {
                    information[(i, j)] += n * p * (1.0 - p) * x[i] * x[j];
                }
            }
        }
        let Some(factor) = information.cholesky() else { return last };
        let step = factor.solve_factored(&score);
        beta.iter_mut().zip(&step).for_each(|(b, s)| *b += s.clamp(-3.0, 3.0));
        last = Some(Logistic { beta: beta.clone(), covariance: factor.inverse_factored() });
        if step.iter().all(|s| s.abs() < 1e-10) || beta.iter().any(|b| b.abs() > 30.0) {
            break;
        }
    }
    last
}
