//! Unconditional exact tests: the worst case over the common rate.
//!
//! All tables with these arms are gone through, at some hundred rates: meant for arms of up to some hundred pieces.

use super::Margins;
use crate::Count;
use crate::binomial::ln_choose;
use crate::logit::log_logistic_pair;

/// Statistic that Barnard's test orders tables by.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum BarnardVariance {
    /// Variance from both arms together.
    Pooled,
    /// Variance from each arm alone.
    Unpooled,
}

/// Barnard's test (1945, Nature 156:177), two-sided: the largest probability, over the common rate, of a difference at
/// least as extreme. Uniformly stronger than Fisher's test for most tables; `None` when both arms are all-zero or all
/// full.
///
/// Tables within a relative `slack` (1e-12 is enough) of the statistic seen count as equally extreme. Without slack rounding
/// decides whether the mirror image of the table seen is counted.
pub fn barnard(a: Count, b: Count, variance: BarnardVariance, slack: f64) -> Option<f64> {
    let statistic = |x: u32, y: u32| difference_statistic(x, a.started, y, b.started, variance).abs();
    let seen = statistic(a.succeeded, b.succeeded);
    differs(a, b).then(|| worst_case(a.started, b.started, |x, y| statistic(x, y) >= seen * (1.0 - slack)))
}

/// Boschloo's test (1970, Stat Neerl 24:1), two-sided as twice the smaller one-sided value: Fisher's p value as the
/// statistic, so never weaker than Fisher's test. `None` when both arms are all-zero or all full.
///
/// ```
/// use propagule_analysis::{Count, exact};
///
/// let (a, b) = (Count { started: 10, succeeded: 7 }, Count { started: 10, succeeded: 2 });
/// let p = exact::boschloo(a, b).expect("the arms differ");
/// assert!(p < exact::fisher_two_sided(a, b));
/// assert_eq!(exact::boschloo(Count { started: 5, succeeded: 0 }, Count { started: 8, succeeded: 0 }), None);
/// ```
pub fn boschloo(a: Count, b: Count) -> Option<f64> {
    let side = |at_least: bool| {
        let tails = Tails::new(a.started, b.started, at_least);
        let seen = tails.value(a.succeeded, b.succeeded);
        worst_case(a.started, b.started, |x, y| tails.value(x, y) <= seen * (1.0 + 1e-10))
    };
    differs(a, b).then(|| (2.0 * side(true).min(side(false))).min(1.0))
}

fn differs(a: Count, b: Count) -> bool {
    let succeeded = a.succeeded + b.succeeded;
    succeeded > 0 && succeeded < a.started + b.started
}

fn difference_statistic(x: u32, n1: u32, y: u32, n2: u32, variance: BarnardVariance) -> f64 {
    let (x, n1, y, n2) = (f64::from(x), f64::from(n1), f64::from(y), f64::from(n2));
    let (p, q) = (x / n1, y / n2);
    let square = match variance {
        BarnardVariance::Pooled => {
            let pooled = (x + y) / (n1 + n2);
            pooled * (1.0 - pooled) * (1.0 / n1 + 1.0 / n2)
        }
        BarnardVariance::Unpooled => p * (1.0 - p) / n1 + q * (1.0 - q) / n2,
    };
    let gap = p - q;
    if gap == 0.0 { 0.0 } else { gap / square.sqrt() }
}

/// One-sided Fisher tails of all tables with these arms.
struct Tails {
    first: u32,
    /// By total successes: tail probability of every number in the first arm, from the least possible.
    by_total: Vec<(u32, Vec<f64>)>,
}

impl Tails {
    fn new(first: u32, second: u32, at_least: bool) -> Self {
        let of_total = |total: u32| {
            let margins = Margins { first, second, total };
            let logs: Vec<f64> = margins.support().map(|x| margins.log_weight(x)).collect();
            let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            let mut tail: Vec<f64> = logs.iter().map(|l| (l - top).exp()).collect();
            let all: f64 = tail.iter().sum();
            let mut sum = 0.0;
            let mut cumulate = |value: &mut f64| {
                sum += *value;
                *value = sum / all;
            };
            if at_least {
                tail.iter_mut().rev().for_each(&mut cumulate);
            } else {
                tail.iter_mut().for_each(cumulate);
            }
            (*margins.support().start(), tail)
        };
        Self { first, by_total: (0..=first + second).map(of_total).collect() }
    }

    fn value(&self, x: u32, y: u32) -> f64 {
        let (least, tail) = &self.by_total[(x + y) as usize];
        debug_assert!(x <= self.first, "no more successes than pieces");
        tail[(x - least) as usize]
    }
}

/// Largest probability, over the common rate, of the tables that `extreme` holds for.
fn worst_case(n1: u32, n2: u32, extreme: impl Fn(u32, u32) -> bool) -> f64 {
    let region: Vec<Vec<bool>> = (0..=n1).map(|x| (0..=n2).map(|y| extreme(x, y)).collect()).collect();
    let (first, second) = (coefficients(n1), coefficients(n2));
    let probability = |theta: f64| {
        let (p, q) = (probabilities(&first, theta), probabilities(&second, theta));
        let rows = region.iter().zip(&p);
        rows.map(|(row, p)| p * row.iter().zip(&q).filter(|(r, _)| **r).map(|(_, q)| q).sum::<f64>())
            .sum::<f64>()
    };
    // The probability wiggles in the rate: a scan on the logit scale, then golden section around the best points.
    let reach = f64::from(n1.max(n2)).ln() + 5.0;
    let points: Vec<(f64, f64)> = (0..=400)
        .map(|k| (f64::from(k) / 200.0 - 1.0) * reach)
        .map(|theta| (theta, probability(theta)))
        .collect();
    let step = reach / 200.0;
    let peaks = points.windows(3).filter(|w| w[1].1 >= w[0].1 && w[1].1 >= w[2].1);
    let refined = peaks.map(|w| golden_section(&probability, w[1].0 - step, w[1].0 + step));
    let ends = points.iter().map(|p| p.1);
    refined.chain(ends).fold(0.0, f64::max).min(1.0)
}

fn coefficients(n: u32) -> Vec<f64> {
    (0..=n).map(|y| ln_choose(f64::from(n), f64::from(y))).collect()
}

fn probabilities(coefficients: &[f64], theta: f64) -> Vec<f64> {
    let (p, q) = log_logistic_pair(theta);
    let n = coefficients.len() as f64 - 1.0;
    coefficients.iter().enumerate().map(|(y, c)| (c + y as f64 * p + (n - y as f64) * q).exp()).collect()
}

fn golden_section(f: &impl Fn(f64) -> f64, mut a: f64, mut b: f64) -> f64 {
    const RATIO: f64 = 0.618_033_988_749_894_9;
    let (mut c, mut d) = (b - RATIO * (b - a), a + RATIO * (b - a));
    let (mut fc, mut fd) = (f(c), f(d));
    for _ in 0..30 {
        if fc >= fd {
            (b, d, fd) = (d, c, fc);
            c = b - RATIO * (b - a);
            fc = f(c);
        } else {
            (a, c, fc) = (c, d, fd);
            d = a + RATIO * (b - a);
            fd = f(d);
        }
    }
    fc.max(fd)
}
