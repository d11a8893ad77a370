//! Weighted least squares at working values, random effects eliminated group by group.

use super::{Group, fixed_part};
use crate::logit::logistic;
use crate::matrix::Matrix;

/// A group's weighted least squares problem.
pub(super) struct Part {
    /// Random columns times their standard deviations.
    scaled: Vec<Vec<f64>>,
    weights: Vec<f64>,
    /// Working values less offsets.
    working: Vec<f64>,
    /// Factor of identity plus Z'WZ.
    factor: Matrix,
}

fn inner(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

impl Part {
    pub(super) fn new(group: &Group, eta: &[f64], sds: &[f64]) -> Self {
        let scale: Vec<f64> = group.spreads.iter().map(|k| sds[*k]).collect();
        let columns = |random: &[f64]| random.iter().zip(&scale).map(|(z, s)| z * s).collect::<Vec<f64>>();
        let scaled: Vec<Vec<f64>> = group.observations.iter().map(|o| columns(&o.random)).collect();
        let (mut weights, mut working) = (Vec::new(), Vec::new());
        for (o, eta) in group.observations.iter().zip(eta) {
            let p = logistic(*eta);
            let w = (o.started * p * (1.0 - p)).max(1e-12);
            weights.push(w);
            working.push(eta - o.offset + (o.succeeded - o.started * p) / w);
        }
        let entry = |i: usize, j: usize| {
            let cross: f64 = scaled.iter().zip(&weights).map(|(z, w)| w * z[i] * z[j]).sum();
            f64::from(u8::from(i == j)) + cross
        };
        let factor = Matrix::from_fn(scale.len(), scale.len(), entry);
        let factor = factor.cholesky().expect("identity plus a Gram matrix is positive definite");
        Self { scaled, weights, working, factor }
    }

    pub(super) fn log_determinant(&self) -> f64 {
        self.factor.log_determinant_factored()
    }

    /// Z' W v.
    fn project(&self, v: &[f64]) -> Vec<f64> {
        let rows = || self.scaled.iter().zip(&self.weights).zip(v);
        (0..self.factor.rows).map(|i| rows().map(|((z, w), v)| w * z[i] * v).sum()).collect()
    }

    /// Standardised random effects at given fixed ones.
    pub(super) fn random(&self, group: &Group, beta: &[f64]) -> Vec<f64> {
        let cells = group.observations.iter().zip(&self.working);
        let rest: Vec<f64> = cells.map(|(o, z)| z - inner(&o.fixed, beta)).collect();
        self.factor.solve_factored(&self.project(&rest))
    }

    /// Log odds of all observations.
    pub(super) fn log_odds(&self, group: &Group, beta: &[f64], u: &[f64]) -> Vec<f64> {
        let cells = group.observations.iter().zip(&self.scaled);
        cells.map(|(o, z)| fixed_part(o, beta) + inner(z, u)).collect()
    }
}

/// Fixed effects with the random ones eliminated.
pub(super) fn fixed_effects(parts: &[Part], groups: &[Group], columns: usize) -> Vec<f64> {
    let mut information = Matrix::from_fn(columns, columns, |i, j| if i == j { 1e-12 } else { 0.0 });
    let mut right = vec![0.0; columns];
    for (part, group) in parts.iter().zip(groups) {
        let column = |j: usize| group.observations.iter().map(|o| o.fixed[j]).collect::<Vec<f64>>();
        let weighted = |a: &[f64], b: &[f64]| {
            a.iter().zip(b).zip(&part.weights).map(|((x, y), w)| w * x * y).sum::<f64>()
        };
        let projected: Vec<Vec<f64>> = (0..columns).map(|j| part.project(&column(j))).collect();
        let working = part.factor.solve_factored(&part.project(&part.working));
        for i in 0..columns {
            right[i] += weighted(&column(i), &part.working) - inner(&projected[i], &working);
            let solved = part.factor.solve_factored(&projected[i]);
            for j in 0..columns {
                information[(i, j)] += weighted(&column(i), &column(j)) - inner(&projected[j], &solved);
            }
        }
    }
    information.cholesky().map_or(vec![0.0; columns], |factor| factor.solve_factored(&right))
}
