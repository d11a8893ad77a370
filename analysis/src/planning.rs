//! How many pieces to start.

use statrs::function::beta::ln_beta;

pub use crate::binomial::binomial_at_least;
use crate::binomial::ln_choose;
use crate::exact::fisher_power;
use crate::logit::logistic;

/// Largest number of pieces that is still called a sensible plan.
pub const MOST_PIECES: u32 = 2_000;

/// Smallest n from `want` to [`MOST_PIECES`] whose chance of at least `want` successes reaches `sure`.
///
/// `chance_of_enough` must not fall as n grows; found by bisection.
///
/// ```
/// use propagule_analysis::planning::{binomial_at_least, smallest_number};
///
/// // One head of fair coins, nearly surely.
/// assert_eq!(smallest_number(1, 0.99, |n| binomial_at_least(1, n, 0.5)), Some(7));
/// ```
pub fn smallest_number(want: u32, sure: f64, chance_of_enough: impl Fn(u32) -> f64) -> Option<u32> {
    if want == 0 {
        return Some(0);
    }
    if want > MOST_PIECES || !enough(chance_of_enough(MOST_PIECES), sure) {
        return None;
    }
    let (mut low, mut high) = (want - 1, MOST_PIECES);
    while high - low > 1 {
        let middle = low.midpoint(high);
        if enough(chance_of_enough(middle), sure) { high = middle } else { low = middle }
    }
    Some(high)
}

/// Whether `chance` reaches `sure`, with slack for rounding: chances are often round numbers themselves.
fn enough(chance: f64, sure: f64) -> bool {
    chance >= sure - 1e-10
}

/// Sizes of two equal arms for a wanted power of Fisher's two-sided test.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ArmSize {
    /// First n that reaches the power.
    pub first: u32,
    /// Power there.
    pub power_at_first: f64,
    /// Smallest n from which the power stays (it is saw-toothed).
    pub stable: u32,
    /// Power there.
    pub power_at_stable: f64,
}

/// Pieces per arm, from 2 to `most`, for a power of `target` at rates `p_a` and `p_b`; `None` when `most` is not enough.
///
/// ```
/// let size = propagule_analysis::planning::arm_size(0.2, 0.7, 0.05, 0.8, 60).expect("60 are enough");
/// assert!(size.first <= size.stable && size.power_at_first >= 0.8 && size.power_at_stable >= 0.8);
/// ```
pub fn arm_size(p_a: f64, p_b: f64, alpha: f64, target: f64, most: u32) -> Option<ArmSize> {
    let power: Vec<f64> = (2..=most).map(|n| fisher_power(n, n, p_a, p_b, alpha)).collect();
    let first = power.iter().position(|p| *p >= target)?;
    let stable = power.iter().rposition(|p| *p < target).map_or(0, |k| k + 1);
    let power_at_stable = *power.get(stable)?;
    Some(ArmSize {
        first: first as u32 + 2,
        power_at_first: power[first],
        stable: stable as u32 + 2,
        power_at_stable,
    })
}

/// P(0), …, P(n) of a beta-binomial number of successes: rate ~ Beta(a, b).
///
/// ```
/// let law = propagule_analysis::planning::beta_binomial_law(3, 1.0, 1.0);
/// assert!(law.iter().all(|p| (p - 0.25).abs() < 1e-12));
/// ```
pub fn beta_binomial_law(n: u32, a: f64, b: f64) -> Vec<f64> {
    let total = f64::from(n);
    let probability = |k: u32| {
        let k = f64::from(k);
        (ln_choose(total, k) + ln_beta(k + a, total - k + b) - ln_beta(a, b)).exp()
    };
    (0..=n).map(probability).collect()
}

/// Smallest n by which at least one of a rate `p` is seen with probability `sure`; `None` at a rate of 0.
///
/// ```
/// // At a rate of 5 %: 0.95^59 is just below 0.05.
/// assert_eq!(propagule_analysis::planning::pieces_to_see_one(0.05, 0.95), Some(59));
/// ```
pub fn pieces_to_see_one(p: f64, sure: f64) -> Option<u32> {
    if p >= 1.0 {
        return Some(1);
    }
    let n = ((1.0 - sure).ln() / (-p).ln_1p()).ceil();
    (p > 0.0 && n.is_finite() && n < f64::from(u32::MAX)).then_some(n.max(1.0) as u32)
}

/// P(Y >= y) for a beta-binomial Y of `n` with rate ~ Beta(a, b), by summing the shorter tail.
pub fn beta_binomial_at_least(y: u32, n: u32, a: f64, b: f64) -> f64 {
    if y > n {
        return 0.0;
    }
    1.0 - beta_binomial_law(n, a, b)[..y as usize].iter().sum::<f64>()
}

/// P(Y >= y) of `n` when the log odds of the rate are N(mu, sd²), by the trapezoid rule.
pub fn logit_normal_at_least(y: u32, n: u32, mu: f64, sd: f64) -> f64 {
    let nodes = (-450..=450).map(|k| f64::from(k) * 0.02);
    let (mut sum, mut total) = (0.0, 0.0);
    for z in nodes {
        let weight = (-0.5 * z * z).exp();
        total += weight;
        sum += weight * binomial_at_least(y, n, logistic(mu + sd * z));
    }
    sum / total
}
