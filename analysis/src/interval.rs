//! Confidence intervals for one arm.
//!
//! A possible [`Count`] and a level in 0..1 (two-sided, or one-sided where the name says so) go in; limits come out as rates
//! 0..=1, (low, high). Nothing can fail; with nothing started the limits are 0 and 1.

use statrs::distribution::{Beta, ContinuousCDF};

use crate::Count;
use crate::binomial::binomial_at_least;
use crate::normal;

/// Clopper–Pearson: limits that hold their level whatever the rate (Clopper & Pearson 1934, Biometrika 26:404).
///
/// `level` is the two-sided level in 0..1, such as 0.95; the limits are rates. Nothing started gives (0, 1).
///
/// ```
/// use propagule_analysis::{Count, interval};
///
/// // At n of n the lower limit solves p^n = 0.025.
/// let (low, high) = interval::clopper_pearson(Count { started: 10, succeeded: 10 }, 0.95);
/// assert!((low - 0.025f64.powf(0.1)).abs() < 1e-9 && high == 1.0);
/// ```
pub fn clopper_pearson(count: Count, level: f64) -> (f64, f64) {
    let tail = (1.0 - level) / 2.0;
    (lower_limit(count, tail), upper_limit(count, tail))
}

/// One-sided upper limit at `level`; at 0 of n it is 1 - (1 - level)^(1/n) (Hanley & Lippman-Hand 1983, JAMA 249:1743).
///
/// ```
/// use propagule_analysis::{Count, interval};
///
/// // None of 60: at most 4.9 %.
/// let limit = interval::one_sided_upper(Count { started: 60, succeeded: 0 }, 0.95);
/// assert!((limit - (1.0 - 0.05f64.powf(1.0 / 60.0))).abs() < 1e-9);
/// ```
pub fn one_sided_upper(count: Count, level: f64) -> f64 {
    upper_limit(count, 1.0 - level)
}

/// One-sided lower limit at `level` (Clopper & Pearson 1934); at n of n it is (1 - level)^(1/n).
pub fn one_sided_lower(count: Count, level: f64) -> f64 {
    lower_limit(count, 1.0 - level)
}

/// Wilson's score interval without continuity correction (Wilson 1927, JASA 22:209).
pub fn wilson(count: Count, level: f64) -> (f64, f64) {
    let (r, n) = parts(count);
    if n == 0.0 {
        return (0.0, 1.0);
    }
    let z = normal::quantile(0.5 + level / 2.0);
    let square = z * z;
    let centre = (r + square / 2.0) / (n + square);
    let half = z / (n + square) * (r * (n - r) / n + square / 4.0).sqrt();
    let low = if r == 0.0 { 0.0 } else { centre - half };
    let high = if count.succeeded == count.started { 1.0 } else { centre + half };
    (low, high)
}

/// Agresti–Coull: Wald about Wilson's centre, not clipped to 0..=1 (Agresti & Coull 1998, Am Stat 52:119).
pub fn agresti_coull(count: Count, level: f64) -> (f64, f64) {
    let (r, n) = parts(count);
    let z = normal::quantile(0.5 + level / 2.0);
    let total = n + z * z;
    let centre = (r + z * z / 2.0) / total;
    let half = z * (centre * (1.0 - centre) / total).sqrt();
    (centre - half, centre + half)
}

/// Jeffreys' interval, with the limit 0 at 0 of n and 1 at n of n (Brown, Cai & `DasGupta` 2001, Stat Sci 16:101).
pub fn jeffreys(count: Count, level: f64) -> (f64, f64) {
    let (low, high) = jeffreys_plain(count, level);
    (if count.succeeded == 0 { 0.0 } else { low }, if count.failed() == 0 { 1.0 } else { high })
}

/// Jeffreys' interval without that change: quantiles of Beta(r + 1/2, n - r + 1/2)
/// (Brown, Cai & `DasGupta` 2001).
pub fn jeffreys_plain(count: Count, level: f64) -> (f64, f64) {
    beta_interval(count, 0.5, level)
}

/// Credible interval under a uniform prior (Bayes 1763): quantiles of Beta(r + 1, n - r + 1).
pub fn uniform_bayes(count: Count, level: f64) -> (f64, f64) {
    beta_interval(count, 1.0, level)
}

/// Mid-P interval: the tail counts half of the observed outcome (Lancaster 1961, JASA 56:223).
pub fn mid_p(count: Count, level: f64) -> (f64, f64) {
    let tail = (1.0 - level) / 2.0;
    let (y, n) = (count.succeeded, count.started);
    let upper_tail = |p: f64| 0.5 * (binomial_at_least(y, n, p) + binomial_at_least(y + 1, n, p));
    let low = if y == 0 { 0.0 } else { increasing_solution(|p| upper_tail(p) - tail) };
    let high = if y == n { 1.0 } else { increasing_solution(|p| upper_tail(p) - (1.0 - tail)) };
    (low, high)
}

fn parts(count: Count) -> (f64, f64) {
    (f64::from(count.succeeded), f64::from(count.started))
}

fn lower_limit(count: Count, tail: f64) -> f64 {
    let (r, n) = parts(count);
    if r == 0.0 { 0.0 } else { beta_quantile(r, n - r + 1.0, tail) }
}

fn upper_limit(count: Count, tail: f64) -> f64 {
    let (r, n) = parts(count);
    if count.succeeded == count.started {
        1.0
    } else if r == 0.0 {
        -(tail.ln() / n).exp_m1()
    } else {
        beta_quantile(r + 1.0, n - r, 1.0 - tail)
    }
}

fn beta_interval(count: Count, add: f64, level: f64) -> (f64, f64) {
    let (r, n) = parts(count);
    let (a, b) = (r + add, n - r + add);
    (beta_quantile(a, b, (1.0 - level) / 2.0), beta_quantile(a, b, 0.5 + level / 2.0))
}

/// Quantile of Beta(a, b): the library's inverse, polished by bisection-guarded Newton steps.
fn beta_quantile(a: f64, b: f64, p: f64) -> f64 {
    let beta = Beta::new(a, b).expect("counts plus a positive constant are positive shapes");
    let guess = beta.inverse_cdf(p);
    let step = 1e-4 * guess.min(1.0 - guess);
    let (mut low, mut high) = ((guess - step).max(0.0), (guess + step).min(1.0));
    if beta.cdf(low) > p || beta.cdf(high) < p {
        (low, high) = (0.0, 1.0);
    }
    bisect(low, high, |x| beta.cdf(x) - p)
}

fn increasing_solution(f: impl Fn(f64) -> f64) -> f64 {
    bisect(0.0, 1.0, f)
}

/// Root of a rising function between `low` and `high`, to the last bit.
fn bisect(mut low: f64, mut high: f64, f: impl Fn(f64) -> f64) -> f64 {
    for _ in 0..1100 {
        let middle = low.midpoint(high);
        if middle <= low || middle >= high {
            break;
        }
        if f(middle) < 0.0 { low = middle } else { high = middle }
    }
    low.midpoint(high)
}
