//! Tests and intervals for two arms, and for several arms of one trial.
//!
//! Possible counts go in; p values 0..=1 and limits on the scale that each function names come out. Levels are two-sided,
//! in 0..1. What cannot be computed is `None`, and the function says when. Nothing is added to a count but where it says so.

mod odds;
mod several;
mod strata;
mod unconditional;

pub use odds::{OddsRatio, conditional_odds_ratio, miettinen_nurminen, newcombe};
pub use several::{ChiSquaredTest, benjamini_hochberg, bonferroni, holm, hommel, k_arm_chi_squared};
pub use strata::stratified_two_sided;
pub(crate) use strata::{Conditional, mantel_haenszel, stratified_odds_ratio};
pub use unconditional::{BarnardVariance, barnard, boschloo};

use crate::Count;
use crate::binomial::ln_choose;

/// Relative slack by which tables count as equally likely, as is usual for Fisher's test.
const TIE: f64 = 1e-7;

/// Fisher's exact test (1934, Statistical Methods for Research Workers, 5th ed.), two-sided: the probability, given both margins, of all tables no likelier than the one seen.
///
/// Two arms of which nothing (or everything) succeeded give 1.
///
/// ```
/// use propagule_analysis::{Count, exact};
///
/// // Fisher's tea taster: three of four against one of four, 34 of 70 tables (The Design of Experiments, 1935).
/// let cups = |succeeded| Count { started: 4, succeeded };
/// assert!((exact::fisher_two_sided(cups(3), cups(1)) - 34.0 / 70.0).abs() < 1e-12);
/// ```
pub fn fisher_two_sided(a: Count, b: Count) -> f64 {
    let margins = Margins::of(a, b);
    let seen = margins.log_weight(a.succeeded);
    margins.share_where(|_, log_weight| log_weight <= seen + TIE)
}

/// Fisher's exact test, one-sided: P(at least as many successes in the first arm), given both margins; a p value 0..=1.
pub fn fisher_first_greater(a: Count, b: Count) -> f64 {
    Margins::of(a, b).share_where(|successes, _| successes >= a.succeeded)
}

/// Chance that Fisher's two-sided test gives p <= `alpha` with rates `p_a`, `p_b` and arms of `n_a`, `n_b` pieces.
///
/// ```
/// // Four pieces an arm: only 4 of 4 against none of 4 has p <= 0.05 (2 in 70 tables with these margins).
/// let power = propagule_analysis::exact::fisher_power(4, 4, 0.9, 0.1, 0.05);
/// assert!((power - (0.9f64.powi(8) + 0.1f64.powi(8))).abs() < 1e-12);
/// ```
pub fn fisher_power(n_a: u32, n_b: u32, p_a: f64, p_b: f64, alpha: f64) -> f64 {
    let (first, second) = (probabilities(n_a, p_a), probabilities(n_b, p_b));
    let mut power = 0.0;
    for total in 0..=n_a + n_b {
        let margins = Margins { first: n_a, second: n_b, total };
        for (x, p) in margins.p_values() {
            if p <= alpha {
                power += first[x as usize] * second[(total - x) as usize];
            }
        }
    }
    power
}

fn probabilities(n: u32, p: f64) -> Vec<f64> {
    let total = f64::from(n);
    (0..=n)
        .map(|y| {
            let y = f64::from(y);
            (ln_choose(total, y) + log_power(p, y) + log_power(1.0 - p, total - y)).exp()
        })
        .collect()
}

/// ln(p^k), with 0^0 = 1.
fn log_power(p: f64, k: f64) -> f64 {
    if k == 0.0 { 0.0 } else { k * p.ln() }
}

/// Margins of a two-by-two table: pieces of both arms, and successes in all.
#[derive(Clone, Copy, Debug)]
struct Margins {
    first: u32,
    second: u32,
    total: u32,
}

impl Margins {
    fn of(a: Count, b: Count) -> Self {
        Self { first: a.started, second: b.started, total: a.succeeded + b.succeeded }
    }

    /// Possible numbers of successes in the first arm.
    fn support(self) -> std::ops::RangeInclusive<u32> {
        self.total.saturating_sub(self.second)..=self.total.min(self.first)
    }

    /// Log of the hypergeometric weight of `x` successes in the first arm.
    fn log_weight(self, x: u32) -> f64 {
        ln_choose(f64::from(self.first), f64::from(x))
            + ln_choose(f64::from(self.second), f64::from(self.total - x))
    }

    /// Share of the weight of all tables for which `take` holds.
    fn share_where(self, take: impl Fn(u32, f64) -> bool) -> f64 {
        let weights: Vec<(u32, f64)> = self.support().map(|x| (x, self.log_weight(x))).collect();
        let top = weights.iter().map(|w| w.1).fold(f64::NEG_INFINITY, f64::max);
        let (mut taken, mut all) = (0.0, 0.0);
        for (x, log_weight) in weights {
            let weight = (log_weight - top).exp();
            all += weight;
            if take(x, log_weight) {
                taken += weight;
            }
        }
        (taken / all).min(1.0)
    }

    /// Two-sided p value of every table with these margins.
    fn p_values(self) -> Vec<(u32, f64)> {
        let mut tables: Vec<(u32, f64)> = self.support().map(|x| (x, self.log_weight(x))).collect();
        let top = tables.iter().map(|t| t.1).fold(f64::NEG_INFINITY, f64::max);
        tables.sort_by(|a, b| a.1.total_cmp(&b.1).then(a.0.cmp(&b.0)));
        let all: f64 = tables.iter().map(|t| (t.1 - top).exp()).sum();
        let (mut sum, mut end) = (0.0, 0);
        let mut out = Vec::with_capacity(tables.len());
        for &(x, log_weight) in &tables {
            while end < tables.len() && tables[end].1 <= log_weight + TIE {
                sum += (tables[end].1 - top).exp();
                end += 1;
            }
            out.push((x, (sum / all).min(1.0)));
        }
        out
    }
}
