//! Differences and ratios of two arms with their intervals.

use super::Margins;
use crate::Count;
use crate::interval;
use crate::normal;

/// Conditional odds ratio of the first arm against the second with limits.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OddsRatio {
    /// Conditional maximum-likelihood estimate; may be 0 or infinite, which is a valid answer.
    pub estimate: f64,
    /// Lower limit.
    pub low: f64,
    /// Upper limit.
    pub high: f64,
}

/// Conditional maximum-likelihood odds ratio with exact two-sided limits (Cornfield 1956; Fisher's noncentral
/// hypergeometric law). `None` when both arms are all-zero or all full.
///
/// ```
/// use propagule_analysis::{Count, exact};
///
/// let arm = |succeeded| Count { started: 12, succeeded };
/// let odds = exact::conditional_odds_ratio(arm(5), arm(0), 0.95).expect("some succeeded, some did not");
/// assert!(odds.estimate.is_infinite() && odds.low > 0.0);
/// ```
pub fn conditional_odds_ratio(a: Count, b: Count, level: f64) -> Option<OddsRatio> {
    let margins = Margins::of(a, b);
    let support = margins.support();
    let (least, most) = (*support.start(), *support.end());
    if least == most {
        return None;
    }
    let logs: Vec<f64> = support.map(|x| margins.log_weight(x)).collect();
    Some(odds_ratio_of(&logs, (a.succeeded - least) as usize, level))
}

/// The same of any law of successes by its log weights at odds ratio 1, of which the one at `seen` was seen.
pub(super) fn odds_ratio_of(logs: &[f64], seen: usize, level: f64) -> OddsRatio {
    let (tail, most) = ((1.0 - level) / 2.0, logs.len() - 1);
    let at_least = |psi: f64| share(logs, psi, |k| k >= seen);
    let at_most = |psi: f64| share(logs, psi, |k| k <= seen);
    let estimate = match seen {
        0 => 0.0,
        k if k == most => f64::INFINITY,
        _ => rising_root(|psi| mean(logs, psi) - seen as f64).exp(),
    };
    let low = if seen == 0 { 0.0 } else { rising_root(|psi| at_least(psi) - tail).exp() };
    let high = if seen == most { f64::INFINITY } else { rising_root(|psi| tail - at_most(psi)).exp() };
    OddsRatio { estimate, low, high }
}

fn tilted(logs: &[f64], psi: f64) -> impl Iterator<Item = (usize, f64)> + '_ {
    let top = logs.iter().enumerate().map(|(k, l)| l + k as f64 * psi).fold(f64::NEG_INFINITY, f64::max);
    logs.iter().enumerate().map(move |(k, l)| (k, (l + k as f64 * psi - top).exp()))
}

fn share(logs: &[f64], psi: f64, take: impl Fn(usize) -> bool) -> f64 {
    let (taken, all) = tilted(logs, psi)
        .fold((0.0, 0.0), |(taken, all), (k, w)| (if take(k) { taken + w } else { taken }, all + w));
    taken / all
}

fn mean(logs: &[f64], psi: f64) -> f64 {
    let (first, all) =
        tilted(logs, psi).fold((0.0, 0.0), |(first, all), (k, w)| (first + k as f64 * w, all + w));
    first / all
}

fn rising_root(f: impl Fn(f64) -> f64) -> f64 {
    let (mut low, mut high) = (-60.0, 60.0);
    for _ in 0..120 {
        let middle = 0.5 * (low + high);
        if f(middle) < 0.0 { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Newcombe's hybrid score interval for the difference of rates, first less second, in
/// -1..=1 (1998, Stat Med 17:873, method 10).
pub fn newcombe(a: Count, b: Count, level: f64) -> (f64, f64) {
    let rate = |c: Count| f64::from(c.succeeded) / f64::from(c.started);
    let (p, q) = (rate(a), rate(b));
    let ((l1, u1), (l2, u2)) = (interval::wilson(a, level), interval::wilson(b, level));
    (p - q - (p - l1).hypot(u2 - q), p - q + (u1 - p).hypot(q - l2))
}

/// Miettinen & Nurminen's score interval for the difference of rates, first less second, in -1..=1 (1985, Stat
/// Med 4:213). `None` when both arms are all-zero or all full: the score has no variance at the difference seen.
pub fn miettinen_nurminen(a: Count, b: Count, level: f64) -> Option<(f64, f64)> {
    let succeeded = a.succeeded + b.succeeded;
    (succeeded > 0 && succeeded < a.started + b.started).then(|| score_interval(a, b, level))
}

fn score_interval(a: Count, b: Count, level: f64) -> (f64, f64) {
    let (x, m, y, n) =
        (f64::from(a.succeeded), f64::from(a.started), f64::from(b.succeeded), f64::from(b.started));
    let gap = x / m - y / n;
    let bound = normal::quantile(0.5 + level / 2.0).powi(2);
    let excess = |delta: f64| {
        let (p, q) = restricted(x, m, y, n, delta);
        let variance = (p * (1.0 - p) / m + q * (1.0 - q) / n) * (m + n) / (m + n - 1.0);
        (gap - delta).powi(2) - bound * variance
    };
    let side = |end: f64| {
        let (mut inside, mut outside) = (gap, end);
        for _ in 0..100 {
            let middle = 0.5 * (inside + outside);
            if excess(middle) > 0.0 { outside = middle } else { inside = middle }
        }
        0.5 * (inside + outside)
    };
    (side(-1.0), side(1.0))
}

/// Maximum-likelihood rates whose difference is `delta`, by bisection of the score in the second rate.
fn restricted(x: f64, m: f64, y: f64, n: f64, delta: f64) -> (f64, f64) {
    let (mut low, mut high) = ((-delta).max(0.0), (1.0 - delta).min(1.0));
    let part = |k: f64, rate: f64| if k == 0.0 { 0.0 } else { k / rate };
    for _ in 0..80 {
        let q = 0.5 * (low + high);
        let p = q + delta;
        let score = part(x, p) - part(m - x, 1.0 - p) + part(y, q) - part(n - y, 1.0 - q);
        if score > 0.0 { low = q } else { high = q }
    }
    let q = 0.5 * (low + high);
    ((q + delta).clamp(0.0, 1.0), q)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn score_interval_of_a_published_table() {
        // Newcombe 1998, Stat Med 17:873, table II: 56/70 against 48/80; method 5 gives 0.0528 to 0.3382.
        let count = |n, r| Count::new(n, r).expect("valid");
        let (low, high) = miettinen_nurminen(count(70, 56), count(80, 48), 0.95).expect("the arms differ");
        assert!((low - 0.0528).abs() < 5e-5 && (high - 0.3382).abs() < 5e-5, "{low} {high}");
        // Method 10 of the same table: 0.0524 to 0.3339.
        let (low, high) = newcombe(count(70, 56), count(80, 48), 0.95);
        assert!((low - 0.0524).abs() < 5e-5 && (high - 0.3339).abs() < 5e-5, "{low} {high}");
    }
}
