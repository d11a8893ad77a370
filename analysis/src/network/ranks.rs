//! Who is best, and how sure that is.

use crate::matrix::Matrix;
use crate::normal;

/// P-scores: mean probability of beating another method when estimates are normal (Rücker & Schwarzer 2015, BMC Med Res
/// Methodol 15:58). A share of certainty, not a rate. `log_or` and `covariance` leave the reference out; the result has
/// it first.
pub fn p_scores(log_or: &[f64], covariance: &[Vec<f64>]) -> Vec<f64> {
    let methods = log_or.len() + 1;
    let value = |i: usize| if i == 0 { 0.0 } else { log_or[i - 1] };
    let cov = |i: usize, j: usize| if i == 0 || j == 0 { 0.0 } else { covariance[i - 1][j - 1] };
    let beats = |i: usize, j: usize| {
        let variance = cov(i, i) + cov(j, j) - 2.0 * cov(i, j);
        normal::cdf((value(i) - value(j)) / variance.sqrt())
    };
    let score = |i: usize| (0..methods).filter(|j| *j != i).map(|j| beats(i, j)).sum::<f64>();
    (0..methods).map(|i| score(i) / (methods as f64 - 1.0)).collect()
}

/// Probability of every rank of every method.
#[derive(Clone, Debug)]
pub struct RankTable {
    /// Row = method (the reference first), column = rank, 1 being best.
    pub probability: Vec<Vec<f64>>,
    /// Surface under the cumulative ranking curve.
    pub sucra: Vec<f64>,
}

/// Rank probabilities of normal estimates, by a lattice rule of 65,521 points (deterministic; error about 1e-3).
///
/// `log_or` and `covariance` leave the reference out; the table has it first. `None` when the covariance is not positive
/// definite.
pub fn rank_probabilities(log_or: &[f64], covariance: &[Vec<f64>]) -> Option<RankTable> {
    rank_table(log_or, covariance, 65_521)
}

/// As [`rank_probabilities`], with a chosen number of points.
pub(super) fn rank_table(log_or: &[f64], covariance: &[Vec<f64>], points: u64) -> Option<RankTable> {
    let k = log_or.len();
    let factor = Matrix::from_fn(k, k, |i, j| covariance[i][j]).cholesky()?;
    let generator: Vec<f64> = (0..k).map(|j| irrational(j).fract()).collect();
    let mut probability = vec![vec![0.0; k + 1]; k + 1];
    for point in 0..points {
        let uniform = |j: usize| ((point as f64 + 0.5) * generator[j]).fract().clamp(1e-12, 1.0 - 1e-12);
        let z: Vec<f64> = (0..k).map(|j| normal::quantile(uniform(j))).collect();
        let mut values = vec![0.0];
        values.extend((0..k).map(|i| log_or[i] + (0..=i).map(|j| factor[(i, j)] * z[j]).sum::<f64>()));
        for (method, row) in probability.iter_mut().enumerate() {
            let better = values.iter().filter(|v| **v > values[method]).count();
            row[better] += 1.0 / points as f64;
        }
    }
    Some(RankTable { sucra: probability.iter().map(|row| surface(row)).collect(), probability })
}

/// Square roots of primes: a generating vector without small integer relations (Richtmyer 1951).
fn irrational(j: usize) -> f64 {
    let primes = (2u32..).filter(|n| (2..*n).take_while(|d| d * d <= *n).all(|d| n % d != 0));
    primes.skip(j).map(|p| f64::from(p).sqrt()).next().expect("there is always another prime")
}

fn surface(row: &[f64]) -> f64 {
    let mean: f64 = row.iter().enumerate().map(|(rank, p)| (rank as f64 + 1.0) * p).sum();
    1.0 - (mean - 1.0) / (row.len() as f64 - 1.0)
}
