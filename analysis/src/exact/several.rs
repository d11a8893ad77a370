//! Several arms: one test of all, and p values corrected for their number.

use crate::Count;
use crate::chi_squared::chi_squared_above;

/// Pearson's chi² of k arms.
#[derive(Clone, Copy, Debug)]
pub struct ChiSquaredTest {
    /// The statistic.
    pub chi2: f64,
    /// Arms less one.
    pub df: f64,
    /// P(chi² at least as large).
    pub p: f64,
}

/// Pearson's chi² test (1900, Philos Mag 50:157) that all arms share one rate, on arms less one degrees of freedom; `None` when nothing or everything succeeded.
pub fn k_arm_chi_squared(arms: &[Count]) -> Option<ChiSquaredTest> {
    let (n, r) =
        arms.iter().fold((0.0, 0.0), |(n, r), c| (n + f64::from(c.started), r + f64::from(c.succeeded)));
    let p = r / n;
    if !(p > 0.0 && p < 1.0) {
        return None;
    }
    let part = |c: &Count| (f64::from(c.succeeded) - f64::from(c.started) * p).powi(2) / f64::from(c.started);
    let chi2 = arms.iter().map(part).sum::<f64>() / (p * (1.0 - p));
    let df = arms.len() as f64 - 1.0;
    Some(ChiSquaredTest { chi2, df, p: chi_squared_above(chi2, df) })
}

/// Places of the p values in rising order.
fn rising(p: &[f64]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..p.len()).collect();
    order.sort_by(|a, b| p[*a].total_cmp(&p[*b]).then(a.cmp(b)));
    order
}

/// Holm's step-down correction (1979, Scand J Stat 6:65): the default.
///
/// ```
/// let adjusted = propagule_analysis::exact::holm(&[0.01, 0.04, 0.03]);
/// let want = [0.03, 0.06, 0.06];
/// assert!(adjusted.iter().zip(want).all(|(a, b)| (a - b).abs() < 1e-12));
/// ```
pub fn holm(p: &[f64]) -> Vec<f64> {
    let (mut out, mut largest) = (vec![0.0; p.len()], 0.0f64);
    for (rank, place) in rising(p).into_iter().enumerate() {
        largest = largest.max((p.len() - rank) as f64 * p[place]);
        out[place] = largest.min(1.0);
    }
    out
}

/// Bonferroni's correction: p values times their number, at most 1, in the order given (Dunn 1961, JASA 56:52).
pub fn bonferroni(p: &[f64]) -> Vec<f64> {
    p.iter().map(|v| (v * p.len() as f64).min(1.0)).collect()
}

/// Adjusted p values, in the order given, that hold the false discovery rate, by Benjamini & Hochberg (1995, JRSS B 57:289).
pub fn benjamini_hochberg(p: &[f64]) -> Vec<f64> {
    let (mut out, mut smallest) = (vec![0.0; p.len()], 1.0f64);
    for (rank, place) in rising(p).into_iter().enumerate().rev() {
        smallest = smallest.min(p[place] * p.len() as f64 / (rank + 1) as f64);
        out[place] = smallest;
    }
    out
}

/// Hommel's correction, in the order given (1988, Biometrika 75:383), by Wright's algorithm (1992, Biometrics 48:1005).
pub fn hommel(p: &[f64]) -> Vec<f64> {
    let (n, order) = (p.len(), rising(p));
    let sorted: Vec<f64> = order.iter().map(|k| p[*k]).collect();
    let least = (0..n).map(|i| n as f64 * sorted[i] / (i + 1) as f64).fold(f64::INFINITY, f64::min);
    let mut adjusted = vec![least; n];
    for m in (2..n).rev() {
        let split = n - m + 1;
        let bound =
            (2..=m).map(|k| m as f64 * sorted[split + k - 2] / k as f64).fold(f64::INFINITY, f64::min);
        let step: Vec<f64> =
            (0..n).map(|i| if i < split { (m as f64 * sorted[i]).min(bound) } else { f64::NAN }).collect();
        let last = step[split - 1];
        for (i, value) in adjusted.iter_mut().enumerate() {
            *value = value.max(if i < split { step[i] } else { last });
        }
    }
    let mut out = vec![0.0; n];
    for (i, place) in order.into_iter().enumerate() {
        out[place] = adjusted[i].max(sorted[i]).min(1.0);
    }
    out
}
