//! Gauss–Hermite nodes and weights.

use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, PoisonError};

/// Nodes with their weights.
type Rule = Arc<[(f64, f64)]>;

/// Rules that were worked out: few sizes are asked for, each of them often.
static KEPT: Mutex<BTreeMap<usize, Rule>> = Mutex::new(BTreeMap::new());

/// Nodes and weights for the standard normal density.
pub(crate) fn gauss_hermite(count: usize) -> Rule {
    let mut kept = KEPT.lock().unwrap_or_else(PoisonError::into_inner);
    Arc::clone(kept.entry(count).or_insert_with(|| rule(count).into()))
}

/// The roots of the Hermite polynomial, by halving from a scan.
fn rule(count: usize) -> Vec<(f64, f64)> {
    if count <= 1 {
        return vec![(0.0, 1.0)];
    }
    let reach = 2.0 * (count as f64).sqrt() + 1.0;
    let cells = 400 * count;
    let place = |k: usize| -reach + 2.0 * reach * (k as f64 + 0.3) / cells as f64;
    let mut nodes = Vec::with_capacity(count);
    for k in 0..cells {
        let (a, b) = (place(k), place(k + 1));
        if orthonormal(count, a).0 * orthonormal(count, b).0 < 0.0 {
            let x = root(count, a, b);
            // Christoffel numbers of the orthonormal polynomials.
            let below = orthonormal(count, x).1;
            nodes.push((x, 1.0 / (count as f64 * below * below)));
        }
    }
    nodes
}

/// Orthonormal Hermite polynomials of degree n and n - 1.
fn orthonormal(n: usize, x: f64) -> (f64, f64) {
    let (mut before, mut value) = (0.0, 1.0);
    for k in 0..n {
        let k = k as f64;
        let next = (x * value - k.sqrt() * before) / (k + 1.0).sqrt();
        (before, value) = (value, next);
    }
    (value, before)
}

fn root(n: usize, mut a: f64, mut b: f64) -> f64 {
    let rising = orthonormal(n, a).0 < 0.0;
    for _ in 0..100 {
        let middle = 0.5 * (a + b);
        if (orthonormal(n, middle).0 < 0.0) == rising { a = middle } else { b = middle }
    }
    0.5 * (a + b)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rules_have_the_normal_moments() {
        for count in [2, 7, 25, 40] {
            let rule = gauss_hermite(count);
            assert_eq!(rule.len(), count);
            let moment = |k: i32| rule.iter().map(|(x, w)| w * x.powi(k)).sum::<f64>();
            assert!((moment(0) - 1.0).abs() < 1e-12 && (moment(2) - 1.0).abs() < 1e-11, "{count}");
        }
    }
}
