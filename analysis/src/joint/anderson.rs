//! A fixed point in fewer steps: each step from a combination of the last ones (Anderson 1965, J ACM 12:547).

use super::spreads::KINDS;
use crate::matrix::Matrix;

/// Steps that are remembered.
const DEPTH: usize = 4;
/// A weak pull towards plain steps, as a part of the largest square.
const RIDGE: f64 = 1e-6;

/// The last points, and how far each step led from them.
#[derive(Clone, Debug, Default)]
pub(super) struct Accelerated {
    points: Vec<[f64; KINDS]>,
    steps: Vec<[f64; KINDS]>,
}

impl Accelerated {
    /// Where to go on from `at`, of which a plain step leads to `reached`.
    pub(super) fn next(&mut self, at: [f64; KINDS], reached: [f64; KINDS]) -> [f64; KINDS] {
        let step: [f64; KINDS] = std::array::from_fn(|k| reached[k] - at[k]);
        let size = |step: &[f64; KINDS]| step.iter().map(|x| x * x).sum::<f64>();
        // A combination that led away is not built on.
        if self.steps.last().is_some_and(|last| size(&step) > 4.0 * size(last)) {
            self.points.clear();
            self.steps.clear();
        }
        self.points.push(at);
        self.steps.push(step);
        if self.points.len() > DEPTH + 1 {
            self.points.remove(0);
            self.steps.remove(0);
        }
        self.combined().unwrap_or(reached)
    }

    /// The point at which the steps seen would cancel; `None` with one step.
    fn combined(&self) -> Option<[f64; KINDS]> {
        let (last, older) = self.steps.split_last()?;
        let (at, points) = self.points.split_last()?;
        let count = older.len();
        let difference = |i: usize, k: usize| last[k] - older[i][k];
        let product =
            |i: usize, j: usize| (0..KINDS).map(|k| difference(i, k) * difference(j, k)).sum::<f64>();
        let most = (0..count).map(|i| product(i, i)).fold(0.0, f64::max);
        if count == 0 || most == 0.0 {
            return None;
        }
        let normal =
            Matrix::from_fn(count, count, |i, j| product(i, j) + if i == j { RIDGE * most } else { 0.0 });
        let right: Vec<f64> =
            (0..count).map(|i| (0..KINDS).map(|k| difference(i, k) * last[k]).sum()).collect();
        let shares = normal.cholesky()?.solve_factored(&right);
        Some(std::array::from_fn(|k| {
            let moved = |i: usize| shares[i] * ((at[k] - points[i][k]) + difference(i, k));
            at[k] + last[k] - (0..count).map(moved).sum::<f64>()
        }))
    }
}
