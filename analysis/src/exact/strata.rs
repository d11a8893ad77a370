//! Two arms side by side in several strata: blocks, operators, levels of another factor.

use super::odds::{OddsRatio, odds_ratio_of};
use super::{Margins, TIE};
use crate::Pair;

/// Successes of the first arm over all strata, given every stratum's margins: a convolution of hypergeometric laws.
#[derive(Clone, Debug)]
pub(crate) struct Conditional {
    /// Successes seen, above the least possible.
    pub(crate) place: usize,
    /// Log weight of every possible number, at odds ratio 1, from the least possible on.
    pub(crate) log_weights: Vec<f64>,
}

impl Conditional {
    /// The law of these strata; those that lack an arm say nothing.
    pub(crate) fn new(strata: &[Pair]) -> Self {
        let mut law = Self { place: 0, log_weights: vec![0.0] };
        for pair in strata.iter().filter(|pair| pair.first.started > 0 && pair.second.started > 0) {
            let margins = Margins::of(pair.first, pair.second);
            let support = margins.support();
            law.place += (pair.first.succeeded - support.start()) as usize;
            let logs: Vec<f64> = support.map(|x| margins.log_weight(x)).collect();
            law.log_weights = convolved(&law.log_weights, &logs);
        }
        law
    }

    /// Whether nothing, or everything, succeeded in every stratum.
    pub(crate) fn says_nothing(&self) -> bool {
        self.log_weights.len() == 1
    }

    /// Probability of all outcomes no likelier than the one seen.
    fn two_sided(&self) -> f64 {
        let seen = self.log_weights[self.place];
        let top = self.log_weights.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weight = |log: &f64| (log - top).exp();
        let all: f64 = self.log_weights.iter().map(weight).sum();
        let taken: f64 = self.log_weights.iter().filter(|log| **log <= seen + TIE).map(weight).sum();
        (taken / all).min(1.0)
    }
}

/// Logs of the convolution of two sequences given by their logs; in logs, so that the ends keep their digits.
fn convolved(a: &[f64], b: &[f64]) -> Vec<f64> {
    if a.len() == 1 {
        return b.iter().map(|log| log + a[0]).collect();
    }
    let sum_at = |k: usize| {
        let places = k.saturating_sub(b.len() - 1)..=k.min(a.len() - 1);
        let terms = || places.clone().map(|i| a[i] + b[k - i]);
        let top = terms().fold(f64::NEG_INFINITY, f64::max);
        top + terms().map(|log| (log - top).exp()).sum::<f64>().ln()
    };
    (0..a.len() + b.len() - 1).map(sum_at).collect()
}

/// The exact test within strata, two-sided: the probability, given the margins of every stratum, of all sums of successes
/// no likelier than the one seen (Mehta, Patel & Gray 1985, JASA 80:969). One stratum is Fisher's test, strata of one piece
/// an arm are `McNemar`'s exact one; 1 where no stratum says anything.
///
/// ```
/// use propagule_analysis::{Count, Pair, exact};
///
/// // Ten pairs of single pieces, nine of them for the first arm: 2 × P(at least 9 of 10 tosses) = 22 / 1024.
/// let piece = |succeeded| Count { started: 1, succeeded };
/// let mut pairs = vec![Pair { first: piece(1), second: piece(0) }; 9];
/// pairs.push(Pair { first: piece(0), second: piece(1) });
/// assert!((exact::stratified_two_sided(&pairs) - 22.0 / 1024.0).abs() < 1e-12);
/// ```
pub fn stratified_two_sided(strata: &[Pair]) -> f64 {
    Conditional::new(strata).two_sided()
}

/// Conditional maximum-likelihood odds ratio common to all strata with exact two-sided limits; `None` where no stratum says
/// anything.
pub(crate) fn stratified_odds_ratio(strata: &[Pair], level: f64) -> Option<OddsRatio> {
    let law = Conditional::new(strata);
    (!law.says_nothing()).then(|| odds_ratio_of(&law.log_weights, law.place, level))
}

/// What the Mantel–Haenszel test is made of (Mantel & Haenszel 1959, J Natl Cancer Inst 22:719).
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(crate) struct MantelHaenszel {
    /// Sum of the first arm's successes less what both arms together would give it.
    pub(crate) excess: f64,
    /// Variance of that sum, given all margins.
    pub(crate) variance: f64,
    /// Weighted difference of rates, first less second.
    pub(crate) difference: f64,
    /// Its variance by Sato, Greenland & Robins (1989, Biometrics 45:1323).
    pub(crate) difference_variance: f64,
}

/// Sums over strata that hold both arms; all zero without any.
pub(crate) fn mantel_haenszel(strata: &[Pair]) -> MantelHaenszel {
    let (mut out, mut weight, mut gaps, mut p, mut q) = (MantelHaenszel::default(), 0.0, 0.0, 0.0, 0.0);
    for pair in strata.iter().filter(|pair| pair.first.started > 0 && pair.second.started > 0) {
        let (x, m) = (f64::from(pair.first.succeeded), f64::from(pair.first.started));
        let (y, n) = (f64::from(pair.second.succeeded), f64::from(pair.second.started));
        let (all, s) = (m + n, x + y);
        out.excess += x - m * s / all;
        out.variance += m * n * s * (all - s) / (all * all * (all - 1.0));
        weight += m * n / all;
        gaps += (x * n - y * m) / all;
        p += (m * m * y - n * n * x + m * n * (n - m) / 2.0) / (all * all);
        q += (x * (n - y) + y * (m - x)) / (2.0 * all);
    }
    if weight > 0.0 {
        out.difference = gaps / weight;
        out.difference_variance = (out.difference * p + q) / (weight * weight);
    }
    out
}
