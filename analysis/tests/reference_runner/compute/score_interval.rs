//! The score interval for a difference of rates as statsmodels 0.15.0 computes it.
//!
//! Its linear coefficient of Miettinen & Nurminen's cubic holds the successes of the second arm where the formula has
//! its pieces, and it gives up (null) when its Wald start does not bracket the limits. The crate's own interval agrees
//! with published tables instead (see `exact::odds`); the check asks for the program's.

use propagule_analysis::{Count, meta};

use super::likelihood::Z;
use super::root::brentq;

/// Both limits, or nothing where the program fails.
pub(crate) fn program_interval(a: Count, b: Count) -> Option<(f64, f64)> {
    let part = |c: Count| (f64::from(c.succeeded), f64::from(c.started));
    let ((x, m), (y, n)) = (part(a), part(b));
    let gap = x / m - y / n;
    let half = Z * (x / m * (1.0 - x / m) / m + y / n * (1.0 - y / n) / n).sqrt();
    let (low, high) = (gap - half, gap + half);
    let excess = |delta: f64| statistic(x, m, y, n, delta).map(|z| meta::normal_p(z) - 0.05);
    let upper = brentq(excess, gap, (high + high.abs() * 0.5).min(0.999_99))?;
    let lower = brentq(excess, low - low.abs() * 0.25, gap)?;
    Some((lower, upper))
}

fn statistic(x: f64, m: f64, y: f64, n: f64, delta: f64) -> Option<f64> {
    let total = m + n;
    let (p, q) = if delta == 0.0 {
        let pooled = (x + y) / total;
        (pooled, pooled)
    } else {
        let l2 = (m + 2.0 * n) * delta - total - x - y;
        let l1 = (y * delta - total - 2.0 * y) * delta + x + y;
        let l0 = y * delta * (1.0 - delta);
        let third = l2 / (3.0 * total);
        let q = third.powi(3) - l1 * l2 / (6.0 * total * total) + l0 / (2.0 * total);
        let p = q.signum() * (third * third - l1 / (3.0 * total)).sqrt();
        let angle = (std::f64::consts::PI + (q / p.powi(3)).acos()) / 3.0;
        let second = 2.0 * p * angle.cos() - third;
        (second + delta, second)
    };
    let variance = (p * (1.0 - p) / m + q * (1.0 - q) / n) * total / (total - 1.0);
    let z = (x / m - y / n - delta) / variance.sqrt();
    (!z.is_nan()).then_some(z)
}
