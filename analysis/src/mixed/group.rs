//! The integral over the random effects of one group.

use super::Group;
use crate::binomial::ln_choose;
use crate::logit::{log_logistic_pair, logistic};
use crate::matrix::Matrix;

/// What is kept of a group between evaluations.
pub(super) struct Workspace {
    /// Standardised random effects at the last mode, as a start for the next.
    mode: Vec<f64>,
    log_coefficient: f64,
}

impl Workspace {
    pub(super) fn new(group: &Group) -> Self {
        let coefficients = group.observations.iter().map(|o| ln_choose(o.started, o.succeeded));
        Self { mode: vec![0.0; group.spreads.len()], log_coefficient: coefficients.sum() }
    }
}

/// A group at given parameters.
struct Conditional<'a> {
    group: &'a Group,
    /// Log odds without random effects.
    base: Vec<f64>,
    /// Standard deviation of every random effect.
    scale: Vec<f64>,
}

impl Conditional<'_> {
    fn eta(&self, k: usize, u: &[f64]) -> f64 {
        let random = self.group.observations[k].random.iter().zip(u).zip(&self.scale);
        self.base[k] + random.map(|((z, u), s)| z * u * s).sum::<f64>()
    }

    /// Log likelihood and log density of the standardised effects, without their constant.
    fn value(&self, u: &[f64]) -> f64 {
        let counts = self.group.observations.iter().enumerate().map(|(k, o)| {
            let (p, q) = log_logistic_pair(self.eta(k, u));
            o.succeeded * p + (o.started - o.succeeded) * q
        });
        counts.sum::<f64>() - 0.5 * u.iter().map(|v| v * v).sum::<f64>()
    }

    /// Slope, and negative second derivatives.
    fn derivatives(&self, u: &[f64]) -> (Vec<f64>, Matrix) {
        let q = u.len();
        let mut slope: Vec<f64> = u.iter().map(|v| -v).collect();
        let mut bend = Matrix::from_fn(q, q, |i, j| f64::from(u8::from(i == j)));
        for (k, o) in self.group.observations.iter().enumerate() {
            let p = logistic(self.eta(k, u));
            let (residual, weight) = (o.succeeded - o.started * p, o.started * p * (1.0 - p));
            for i in 0..q {
                let zi = o.random[i] * self.scale[i];
                slope[i] += residual * zi;
                for j in 0..q {
                    bend[(i, j)] += weight * zi * o.random[j] * self.scale[j];
                }
            }
        }
        (slope, bend)
    }

    /// Newton's method on a concave function, halving steps that do not climb.
    fn climb(&self, u: &mut Vec<f64>) -> Matrix {
        let mut value = self.value(u);
        for _ in 0..100 {
            let (slope, bend) = self.derivatives(u);
            let factor = bend.cholesky().expect("identity plus a Gram matrix is positive definite");
            let step = factor.solve_factored(&slope);
            let size = step.iter().fold(0.0f64, |m, s| m.max(s.abs()));
            let mut length = 1.0;
            let moved = |length: f64, u: &[f64]| -> Vec<f64> {
                u.iter().zip(&step).map(|(a, s)| a + length * s).collect()
            };
            let mut next = moved(length, u);
            while self.value(&next) < value && length > 1e-6 {
                length *= 0.5;
                next = moved(length, u);
            }
            value = self.value(&next);
            *u = next;
            if size < 1e-9 {
                break;
            }
        }
        self.derivatives(u).1.cholesky().expect("identity plus a Gram matrix is positive definite")
    }
}

/// Log of the group's marginal likelihood.
pub(super) fn log_integral(
    group: &Group,
    space: &mut Workspace,
    sds: &[f64],
    beta: &[f64],
    rule: &[(f64, f64)],
) -> f64 {
    let base = group
        .observations
        .iter()
        .map(|o| o.offset + o.fixed.iter().zip(beta).map(|(x, b)| x * b).sum::<f64>());
    let scale = group.spreads.iter().map(|k| sds[*k].abs()).collect();
    let conditional = Conditional { group, base: base.collect(), scale };
    let factor = conditional.climb(&mut space.mode);
    let top = conditional.value(&space.mode);
    let integral = if rule.len() > 1 && space.mode.len() == 1 {
        let width = factor[(0, 0)].recip();
        let term = |(x, w): &(f64, f64)| {
            w * (conditional.value(&[space.mode[0] + width * x]) - top + 0.5 * x * x).exp()
        };
        rule.iter().map(term).sum::<f64>().ln()
    } else {
        0.0
    };
    space.log_coefficient + top + integral - 0.5 * factor.log_determinant_factored()
}
