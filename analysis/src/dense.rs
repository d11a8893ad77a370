//! Laplace's method written a second time, for tests: all parameters in one dense matrix, nothing eliminated.

use crate::logit::logistic;
use crate::matrix::Matrix;

/// Binomial arms whose log odds are rows × (fixed parameters, deviations).
pub(crate) struct Dense {
    /// Fixed parameters, of which the first has a standard logistic prior and the others N(0, sd²).
    pub(crate) fixed: usize,
    pub(crate) sd: f64,
    /// Covariance of the deviations around zero.
    pub(crate) covariance: Matrix,
    pub(crate) rows: Vec<Vec<f64>>,
    /// Successes and pieces of every row.
    pub(crate) counts: Vec<(u32, u32)>,
}

/// The fixed parameters' mean, moved by the likelihood's skewness, their covariance, and the log evidence.
pub(crate) struct Approximation {
    pub(crate) mean: Vec<f64>,
    pub(crate) covariance: Matrix,
    pub(crate) log_evidence: f64,
}

/// Value, gradient and negative second derivatives at a point.
struct Local {
    value: f64,
    slope: Vec<f64>,
    bend: Matrix,
}

fn ln_factorial(n: u32) -> f64 {
    (2..=n).map(|k| f64::from(k).ln()).sum()
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

impl Dense {
    fn local(&self, at: &[f64]) -> Local {
        let ln_two_pi = std::f64::consts::TAU.ln();
        let p = logistic(at[0]);
        let mut out = Local {
            value: (p * (1.0 - p)).ln(),
            slope: vec![0.0; at.len()],
            bend: Matrix::zeros(at.len(), at.len()),
        };
        out.slope[0] = 1.0 - 2.0 * p;
        out.bend[(0, 0)] = 2.0 * p * (1.0 - p);
        let precision = 1.0 / (self.sd * self.sd);
        for (k, value) in at.iter().enumerate().take(self.fixed).skip(1) {
            out.value -= 0.5 * (value * value * precision - precision.ln() + ln_two_pi);
            out.slope[k] -= precision * value;
            out.bend[(k, k)] += precision;
        }
        let factor = self.covariance.cholesky().expect("a covariance");
        let (inverse, deviations) = (factor.inverse_factored(), &at[self.fixed..]);
        let pulled = inverse.times_vector(deviations);
        out.value -= 0.5 * (dot(deviations, &pulled) + factor.log_determinant_factored());
        out.value -= 0.5 * deviations.len() as f64 * ln_two_pi;
        for i in 0..deviations.len() {
            out.slope[self.fixed + i] -= pulled[i];
            for j in 0..deviations.len() {
                out.bend[(self.fixed + i, self.fixed + j)] += inverse[(i, j)];
            }
        }
        self.add_likelihood(at, &mut out);
        out
    }

    fn add_likelihood(&self, at: &[f64], out: &mut Local) {
        for (row, &(r, n)) in self.rows.iter().zip(&self.counts) {
            let p = logistic(dot(row, at));
            let (succeeded, started) = (f64::from(r), f64::from(n));
            out.value += ln_factorial(n) - ln_factorial(r) - ln_factorial(n - r);
            out.value += succeeded * p.ln() + (started - succeeded) * (1.0 - p).ln();
            for i in 0..at.len() {
                out.slope[i] += row[i] * (succeeded - started * p);
                for j in 0..at.len() {
                    out.bend[(i, j)] += row[i] * row[j] * started * p * (1.0 - p);
                }
            }
        }
    }

    /// Newton's method with halved steps, then the Gaussian at the mode.
    pub(crate) fn laplace(&self) -> Approximation {
        let mut at = vec![0.0; self.fixed + self.covariance.rows];
        let mut here = self.local(&at);
        for _ in 0..200 {
            let step = here.bend.inverse().expect("log-concave").times_vector(&here.slope);
            let along = |share: f64| at.iter().zip(&step).map(|(x, d)| x + share * d).collect::<Vec<f64>>();
            let shares = (0..40).map(|k| 0.5f64.powi(k));
            let better =
                shares.map(along).map(|x| (self.local(&x), x)).find(|(local, _)| local.value >= here.value);
            let Some((local, x)) = better else { break };
            (here, at) = (local, x);
            if dot(&step, &step) < 1e-24 {
                break;
            }
        }
        let all = here.bend.inverse().expect("log-concave");
        let factor = here.bend.cholesky().expect("log-concave");
        let log_evidence = here.value + 0.5 * at.len() as f64 * std::f64::consts::TAU.ln()
            - 0.5 * factor.log_determinant_factored();
        let mean = self.mean(&at, &all);
        let covariance = Matrix::from_fn(self.fixed, self.fixed, |i, j| all[(i, j)]);
        Approximation { mean, covariance, log_evidence }
    }

    /// The mode moved to first order by the third derivatives.
    fn mean(&self, at: &[f64], covariance: &Matrix) -> Vec<f64> {
        let mut mean = at[..self.fixed].to_vec();
        for (row, &(_, n)) in self.rows.iter().zip(&self.counts) {
            let p = logistic(dot(row, at));
            let third = -f64::from(n) * p * (1.0 - p) * (1.0 - 2.0 * p);
            let shared = covariance.times_vector(row);
            let variance = dot(row, &shared);
            mean.iter_mut().zip(&shared).for_each(|(m, s)| *m += 0.5 * third * variance * s);
        }
        mean
    }
}

impl Approximation {
    /// Panics unless a mean, covariance and log evidence found otherwise are the same to 1e-6.
    pub(crate) fn assert_same(&self, mean: &[f64], covariance: &Matrix, log_evidence: f64) {
        let close = |a: f64, b: f64| (a - b).abs() < 1e-6 * (1.0 + b.abs());
        assert!(close(log_evidence, self.log_evidence), "evidence {log_evidence} and {}", self.log_evidence);
        assert!(
            mean.iter().zip(&self.mean).all(|(a, b)| close(*a, *b)),
            "means {mean:?} and {:?}",
            self.mean
        );
        for i in 0..mean.len() {
            for j in 0..mean.len() {
                let (a, b) = (covariance[(i, j)], self.covariance[(i, j)]);
                assert!(close(a, b), "covariance of {i} and {j}: {a} and {b}");
            }
        }
    }
}
