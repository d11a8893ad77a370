//! How many pieces to start.

use statrs::function::beta::{beta_reg, ln_beta};

use crate::binomial::ln_choose;
use crate::exact::{fisher_power, fisher_power_under};
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

/// Assurance: power averaged over what is believed of both rates (O'Hagan, Stevens & Campbell 2005, Pharm Stat 4:187).
///
/// `first` and `second` are the laws P(0), …, P(n) of the number of successes in either arm, rates unknown:
/// [`RateFit::predictive`](crate::rate::RateFit::predictive), [`beta_binomial_law`], or any other; beliefs of the two rates
/// are independent. What is returned is the chance that Fisher's two-sided test will give p <= `alpha`, exactly: averaging
/// the binomial law over a belief is the predictive law. Unlike power it does not approach 1 as arms grow, but the chance
/// that the rates differ enough. An empty law means an arm without pieces.
///
/// ```
/// use propagule_analysis::planning::{assurance, beta_binomial_law};
///
/// // Nothing known: both rates uniform, so that all 25 outcomes of two arms of four are equally likely. Two of them
/// // have p <= 0.05.
/// let unknown = beta_binomial_law(4, 1.0, 1.0);
/// assert!((assurance(&unknown, &unknown, 0.05) - 2.0 / 25.0).abs() < 1e-12);
/// ```
pub fn assurance(first: &[f64], second: &[f64], alpha: f64) -> f64 {
    if first.is_empty() || second.is_empty() {
        return 0.0;
    }
    fisher_power_under(first, second, alpha)
}

/// Smallest n from 2 to `most` from which the assurance of two arms of n pieces stays at `target` or above up to `most`;
/// `None` when `most` is not enough. The laws are functions of n, as for [`assurance`].
pub fn arm_size_assured(
    first: impl Fn(u32) -> Vec<f64>,
    second: impl Fn(u32) -> Vec<f64>,
    alpha: f64,
    target: f64,
    most: u32,
) -> Option<u32> {
    // From above, so that the first shortfall ends the search: assurance is saw-toothed as power is.
    let enough = |n: &u32| assurance(&first(*n), &second(*n), alpha) >= target;
    (2..=most).rev().take_while(enough).last()
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

/// P(Y >= y) for Y ~ Binomial(n, p): the regularised incomplete beta function `I_p(y, n - y + 1)`.
pub fn binomial_at_least(y: u32, n: u32, p: f64) -> f64 {
    if y == 0 {
        1.0
    } else if y > n || p <= 0.0 {
        0.0
    } else if p >= 1.0 {
        1.0
    } else {
        beta_reg(f64::from(y), f64::from(n - y) + 1.0, p)
    }
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

#[cfg(test)]
mod tests {
    use super::*;

    /// Averages power over two beta densities by the midpoint rule in both rates.
    fn averaged_power(n: u32, (a, b): (f64, f64), (c, d): (f64, f64), alpha: f64) -> f64 {
        const CELLS: u32 = 150;
        let nodes = |a: f64, b: f64| -> Vec<(f64, f64)> {
            let rate = |k: u32| (f64::from(k) + 0.5) / f64::from(CELLS);
            let weight = |p: f64| p.powf(a - 1.0) * (1.0 - p).powf(b - 1.0);
            let total: f64 = (0..CELLS).map(|k| weight(rate(k))).sum();
            (0..CELLS).map(|k| (rate(k), weight(rate(k)) / total)).collect()
        };
        let second = nodes(c, d);
        let mut sum = 0.0;
        for (p, w) in nodes(a, b) {
            sum += w * second.iter().map(|(q, v)| v * fisher_power(n, n, p, *q, alpha)).sum::<f64>();
        }
        sum
    }

    #[test]
    fn assurance_is_power_averaged_over_both_rates() {
        let (first, second) = ((5.0, 4.0), (4.0, 9.0));
        let got = assurance(
            &beta_binomial_law(9, first.0, first.1),
            &beta_binomial_law(9, second.0, second.1),
            0.05,
        );
        let want = averaged_power(9, first, second, 0.05);
        assert!((got - want).abs() < 1e-5, "{got} against {want}");
    }

    #[test]
    fn certain_rates_give_power() {
        // A beta law of huge parameters is a fixed rate.
        let law = |p: f64| beta_binomial_law(12, 1e7 * p, 1e7 * (1.0 - p));
        let got = assurance(&law(0.7), &law(0.2), 0.05);
        assert!((got - fisher_power(12, 12, 0.7, 0.2, 0.05)).abs() < 1e-5);
        assert!(assurance(&[], &law(0.2), 0.05) == 0.0);
    }

    #[test]
    fn the_assured_size_is_the_first_that_stays() {
        let first = |n: u32| beta_binomial_law(n, 8.0, 2.0);
        let second = |n: u32| beta_binomial_law(n, 2.0, 8.0);
        let n = arm_size_assured(first, second, 0.05, 0.6, 40).expect("forty are enough");
        let at = |n: u32| assurance(&first(n), &second(n), 0.05);
        assert!(at(n - 1) < 0.6 && (n..=40).all(|n| at(n) >= 0.6), "{n}");
        // Rates that may well be equal are never told apart for sure.
        assert_eq!(arm_size_assured(second, second, 0.05, 0.8, 30), None);
    }
}
