//! Small-study tests. Egger's test on rates is invalid (a logit and its standard error are tied: Hunter et al. 2014, J
//! Clin Epidemiol 67:897); what is here serves reference and contrasts.

use super::Effect;
use super::fit::{normal_p, t_two_sided};

/// A weighted straight line through estimates.
#[derive(Clone, Copy, Debug)]
pub struct Line {
    /// Value at zero.
    pub intercept: f64,
    /// Standard error of the intercept.
    pub intercept_se: f64,
    /// Slope.
    pub slope: f64,
    /// Standard error of the slope.
    pub slope_se: f64,
    /// slope / standard error.
    pub t: f64,
    /// Degrees of freedom.
    pub df: f64,
    /// Two-sided p value of the slope.
    pub p: f64,
}

/// Weighted least squares of `y` on `x`, lists of one length, with an estimated residual variance: as Egger's (1997, BMJ
/// 315:629) and Peters' (2006, JAMA 295:676) tests use it.
pub fn weighted_line(x: &[f64], y: &[f64], weights: &[f64]) -> Line {
    let rows = || x.iter().zip(y).zip(weights).map(|((x, y), w)| (*x, *y, *w));
    let total: f64 = weights.iter().sum();
    let mean_x = rows().map(|(x, _, w)| w * x).sum::<f64>() / total;
    let mean_y = rows().map(|(_, y, w)| w * y).sum::<f64>() / total;
    let spread: f64 = rows().map(|(x, _, w)| w * (x - mean_x).powi(2)).sum();
    let slope = rows().map(|(x, y, w)| w * (x - mean_x) * (y - mean_y)).sum::<f64>() / spread;
    let intercept = mean_y - slope * mean_x;
    let df = x.len() as f64 - 2.0;
    let variance = rows().map(|(x, y, w)| w * (y - intercept - slope * x).powi(2)).sum::<f64>() / df;
    let slope_se = (variance / spread).sqrt();
    let intercept_se = (variance * (1.0 / total + mean_x * mean_x / spread)).sqrt();
    let t = slope / slope_se;
    Line { intercept, intercept_se, slope, slope_se, t, df, p: t_two_sided(t, df) }
}

/// Rank correlation of standardised estimates with their variances.
#[derive(Clone, Copy, Debug)]
pub struct RankTest {
    /// Kendall's tau-b.
    pub tau: f64,
    /// Two-sided p value: exact without ties, else by the normal approximation.
    pub p: f64,
}

/// Begg & Mazumdar's rank correlation test (1994, Biometrics 50:1088) around the common-effect estimate.
pub fn rank_test(effects: &[Effect]) -> RankTest {
    let total: f64 = effects.iter().map(|e| 1.0 / e.variance).sum();
    let mean = effects.iter().map(|e| e.estimate / e.variance).sum::<f64>() / total;
    let standardised = |e: &Effect| (e.estimate - mean) / (e.variance - 1.0 / total).sqrt();
    let x: Vec<f64> = effects.iter().map(standardised).collect();
    let y: Vec<f64> = effects.iter().map(|e| e.variance).collect();
    kendall(&x, &y)
}

fn kendall(x: &[f64], y: &[f64]) -> RankTest {
    let n = x.len();
    let (mut score, mut pairs_x, mut pairs_y) = (0i64, 0i64, 0i64);
    for i in 0..n {
        for j in 0..i {
            let (a, b) = (order(x[i], x[j]), order(y[i], y[j]));
            score += a * b;
            pairs_x += a * a;
            pairs_y += b * b;
        }
    }
    let all = (n * n.saturating_sub(1) / 2) as i64;
    let tau = score as f64 / ((pairs_x as f64) * (pairs_y as f64)).sqrt();
    let p = if pairs_x == all && pairs_y == all { exact_p(n, score) } else { approximate_p(x, y, score) };
    RankTest { tau, p }
}

fn order(a: f64, b: f64) -> i64 {
    i64::from(a > b) - i64::from(a < b)
}

/// From the number of permutations with a given number of inversions (Kendall 1970).
fn exact_p(n: usize, score: i64) -> f64 {
    let mut counts = vec![1.0];
    for k in 1..n {
        let mut next = vec![0.0; counts.len() + k];
        for (index, count) in counts.iter().enumerate() {
            next[index..=index + k].iter_mut().for_each(|cell| *cell += count / (k as f64 + 1.0));
        }
        counts = next;
    }
    let most = counts.len() as i64 - 1;
    let extreme = (most - score.abs()) / 2;
    let tail: f64 = counts[..=extreme as usize].iter().sum();
    (2.0 * tail).min(1.0)
}

fn approximate_p(x: &[f64], y: &[f64], score: i64) -> f64 {
    let n = x.len() as f64;
    let (tx, ty) = (tie_sums(x), tie_sums(y));
    let v0 = n * (n - 1.0) * (2.0 * n + 5.0);
    let variance = (v0 - tx[2] - ty[2]) / 18.0
        + tx[0] * ty[0] / (2.0 * n * (n - 1.0))
        + tx[1] * ty[1] / (9.0 * n * (n - 1.0) * (n - 2.0));
    normal_p(score as f64 / variance.sqrt())
}

/// Sums of t(t-1), t(t-1)(t-2) and t(t-1)(2t+5) over groups of ties.
fn tie_sums(values: &[f64]) -> [f64; 3] {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let mut sums = [0.0; 3];
    for group in sorted.chunk_by(|a, b| a.total_cmp(b).is_eq()) {
        let t = group.len() as f64;
        sums[0] += t * (t - 1.0);
        sums[1] += t * (t - 1.0) * (t - 2.0);
        sums[2] += t * (t - 1.0) * (2.0 * t + 5.0);
    }
    sums
}
