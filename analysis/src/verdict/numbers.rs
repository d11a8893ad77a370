//! Differences of rates with limits that never disagree with the test.

use super::{CLEAR, Design};
use crate::Pair;
use crate::{exact, normal, student};

/// Difference and limits: Newcombe's where there is one stratum of pots, with every count divided by `phi`; else
/// Mantel and Haenszel's with the variance of Sato, Greenland & Robins times `phi`. The quantile is that of t with `df`
/// degrees of freedom, normal without.
pub(super) fn difference(design: Design, strata: &[Pair], phi: f64, df: Option<f64>) -> [f64; 3] {
    let z = df.map_or_else(|| -normal::quantile(CLEAR / 2.0), |df| student::critical(CLEAR, df));
    if let (Design::Single | Design::Pots, [pair]) = (design, strata) {
        return newcombe(*pair, z, phi);
    }
    let sums = exact::mantel_haenszel(strata);
    let half = z * (phi * sums.difference_variance).sqrt();
    let d = sums.difference;
    [d, (d - half).max(-1.0), (d + half).min(1.0)]
}

/// Newcombe's hybrid score interval (1998, Stat Med 17:873, method 10) of counts divided by `phi`.
fn newcombe(pair: Pair, z: f64, phi: f64) -> [f64; 3] {
    let limits = |r: u32, n: u32| wilson(f64::from(r) / phi, f64::from(n) / phi, z);
    let rate = |r: u32, n: u32| f64::from(r) / f64::from(n);
    let (p, q) =
        (rate(pair.first.succeeded, pair.first.started), rate(pair.second.succeeded, pair.second.started));
    let (l1, u1) = limits(pair.first.succeeded, pair.first.started);
    let (l2, u2) = limits(pair.second.succeeded, pair.second.started);
    [p - q, p - q - (p - l1).hypot(u2 - q), p - q + (u1 - p).hypot(q - l2)]
}

/// Wilson's limits of `r` of `n` that need not be whole, at the normal or t quantile `z`.
fn wilson(r: f64, n: f64, z: f64) -> (f64, f64) {
    let square = z * z;
    let centre = (r + square / 2.0) / (n + square);
    let half = z / (n + square) * (r * (n - r) / n + square / 4.0).max(0.0).sqrt();
    (centre - half, centre + half)
}

/// Moves the limit nearer to zero out to where the p value has it: at d·(1 - 1.96 / `z_p`), so that the limits leave zero
/// out only where p is below 5 %.
pub(super) fn widened([d, low, high]: [f64; 3], p: f64) -> [f64; 3] {
    if p >= 1.0 {
        return [d, low.min(-high.abs()).max(-1.0), high.max(low.abs()).min(1.0)];
    }
    if d == 0.0 || p <= 0.0 {
        return [d, low, high];
    }
    let reach = d.abs() * normal::quantile(CLEAR / 2.0) / normal::quantile(p / 2.0);
    let (near_low, near_high) = if d > 0.0 { (d - reach, high) } else { (low, d + reach) };
    [d, low.min(near_low).max(-1.0), high.max(near_high).min(1.0)]
}
