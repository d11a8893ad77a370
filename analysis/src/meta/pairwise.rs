//! Pooled contrasts of two arms without corrections: Mantel–Haenszel and Peto.

use super::effect::{Correction, PairMeasure, pair_effect};
use crate::Pair;
use crate::chi_squared::chi_squared_above;
use crate::normal;

/// A pooled contrast.
#[derive(Clone, Copy, Debug)]
pub struct PairSummary {
    /// Estimate: log for ratios.
    pub estimate: f64,
    /// Standard error.
    pub se: f64,
    /// 95 % interval.
    pub interval: (f64, f64),
    /// Heterogeneity of the single trials around the estimate.
    pub q: f64,
    /// Per cent.
    pub i2: f64,
}

/// Cells of one table as numbers: a of n1 against c of n2, N in all.
struct Cells {
    a: f64,
    b: f64,
    c: f64,
    d: f64,
    n1: f64,
    n2: f64,
    n: f64,
}

impl Cells {
    fn of(pair: &Pair) -> Self {
        let (a, n1) = (f64::from(pair.first.succeeded), f64::from(pair.first.started));
        let (c, n2) = (f64::from(pair.second.succeeded), f64::from(pair.second.started));
        Self { a, b: n1 - a, c, d: n2 - c, n1, n2, n: n1 + n2 }
    }

    fn expected(&self) -> f64 {
        self.n1 * (self.a + self.c) / self.n
    }

    /// Hypergeometric variance of a.
    fn variance(&self) -> f64 {
        let t = self.a + self.c;
        self.n1 * self.n2 * t * (self.n - t) / (self.n * self.n * (self.n - 1.0))
    }

    fn says_nothing(&self) -> bool {
        self.a + self.c == 0.0 || self.b + self.d == 0.0
    }
}

fn summary(estimate: f64, se: f64, singles: impl Iterator<Item = (f64, f64)>) -> PairSummary {
    let (mut q, mut k) = (0.0, 0.0);
    for (single, variance) in singles {
        q += (single - estimate).powi(2) / variance;
        k += 1.0;
    }
    let half = normal::quantile(0.975) * se;
    let i2 = if q > 0.0 { (100.0 * (q - (k - 1.0)) / q).max(0.0) } else { 0.0 };
    PairSummary { estimate, se, interval: (estimate - half, estimate + half), q, i2 }
}

/// Mantel–Haenszel estimate with the variance of Robins, Breslow & Greenland (1986, Biometrics 42:311) for odds
/// ratios, Greenland & Robins (1985, Biometrics 41:55) for rate ratios, Sato et al. (1989, Biometrics 45:1323) for
/// differences.
///
/// ```
/// use propagule_analysis::Count;
/// use propagule_analysis::Pair;
/// use propagule_analysis::meta::{PairMeasure, mantel_haenszel};
///
/// // One table: the odds ratio itself, 6 × 8 / (4 × 2) = 6.
/// let arm = |succeeded| Count { started: 10, succeeded };
/// let pooled = mantel_haenszel(&[Pair { first: arm(6), second: arm(2) }], PairMeasure::OddsRatio);
/// assert!((pooled.estimate - 6.0f64.ln()).abs() < 1e-12);
/// ```
pub fn mantel_haenszel(pairs: &[Pair], measure: PairMeasure) -> PairSummary {
    let cells: Vec<Cells> = pairs.iter().map(Cells::of).collect();
    let sum = |f: &dyn Fn(&Cells) -> f64| cells.iter().map(f).sum::<f64>();
    let (estimate, se) = match measure {
        PairMeasure::OddsRatio => odds_ratio(&sum),
        PairMeasure::RateRatio => rate_ratio(&sum),
        PairMeasure::RateDifference => rate_difference(&sum),
    };
    let kept = pairs.iter().zip(&cells).filter(|(_, cells)| !cells.says_nothing());
    let effects = kept.map(|(pair, _)| pair_effect(*pair, measure, Correction::WhereZero));
    summary(estimate, se, effects.map(|e| (e.estimate, e.variance)))
}

fn odds_ratio(sum: &impl Fn(&dyn Fn(&Cells) -> f64) -> f64) -> (f64, f64) {
    let (r, s) = (sum(&|t| t.a * t.d / t.n), sum(&|t| t.b * t.c / t.n));
    let pr = sum(&|t| (t.a + t.d) / t.n * (t.a * t.d / t.n));
    let ps = sum(&|t| (t.a + t.d) / t.n * (t.b * t.c / t.n));
    let qr = sum(&|t| (t.b + t.c) / t.n * (t.a * t.d / t.n));
    let qs = sum(&|t| (t.b + t.c) / t.n * (t.b * t.c / t.n));
    let variance = 0.5 * (pr / (r * r) + (ps + qr) / (r * s) + qs / (s * s));
    ((r / s).ln(), variance.sqrt())
}

fn rate_ratio(sum: &impl Fn(&dyn Fn(&Cells) -> f64) -> f64) -> (f64, f64) {
    let (r, s) = (sum(&|t| t.a * t.n2 / t.n), sum(&|t| t.c * t.n1 / t.n));
    let top = sum(&|t| t.n1 * t.n2 / (t.n * t.n) * (t.a + t.c) - t.a * t.c / t.n);
    ((r / s).ln(), (top / (r * s)).sqrt())
}

fn rate_difference(sum: &impl Fn(&dyn Fn(&Cells) -> f64) -> f64) -> (f64, f64) {
    let weight = sum(&|t| t.n1 * t.n2 / t.n);
    let estimate = sum(&|t| (t.a * t.n2 - t.c * t.n1) / t.n) / weight;
    let p =
        sum(&|t| (t.c * t.n1 * t.n1 - t.a * t.n2 * t.n2 + 0.5 * t.n1 * t.n2 * (t.n2 - t.n1)) / (t.n * t.n));
    let q = sum(&|t| (t.a * (t.n2 - t.c) + t.c * (t.n1 - t.a)) / (2.0 * t.n));
    (estimate, (estimate * p + q).sqrt() / weight)
}

/// Peto's one-step log odds ratio (Yusuf et al. 1985, Prog Cardiovasc Dis 27:335); for balanced arms and small effects.
pub fn peto(pairs: &[Pair]) -> PairSummary {
    let cells: Vec<Cells> = pairs.iter().map(Cells::of).filter(|t| !t.says_nothing()).collect();
    let total: f64 = cells.iter().map(Cells::variance).sum();
    let estimate = cells.iter().map(|t| t.a - t.expected()).sum::<f64>() / total;
    let singles = cells.iter().map(|t| ((t.a - t.expected()) / t.variance(), t.variance().recip()));
    summary(estimate, total.sqrt().recip(), singles)
}

/// Tests that go with the Mantel–Haenszel odds ratio.
#[derive(Clone, Copy, Debug)]
pub struct Homogeneity {
    /// Cochran–Mantel–Haenszel chi² with continuity correction.
    pub cmh_corrected: f64,
    /// Its p value.
    pub cmh_p: f64,
    /// The same without correction.
    pub cmh_uncorrected: f64,
    /// Breslow & Day's statistic for equal odds ratios.
    pub breslow_day: f64,
    /// With Tarone's correction (1985, Biometrika 72:91).
    pub tarone: f64,
    /// p value of `tarone`.
    pub tarone_p: f64,
}

/// Whether there is any difference (Cochran–Mantel–Haenszel), and whether all trials show the same odds ratio (Breslow & Day
/// 1980, Statistical Methods in Cancer Research 1, section 4.4; Tarone 1985).
pub fn breslow_day(pairs: &[Pair]) -> Homogeneity {
    let cells: Vec<Cells> = pairs.iter().map(Cells::of).collect();
    let gap: f64 = cells.iter().map(|t| t.a - t.expected()).sum();
    let variance: f64 = cells.iter().map(Cells::variance).sum();
    let cmh_corrected = (gap.abs() - 0.5).max(0.0).powi(2) / variance;
    let odds_ratio = mantel_haenszel(pairs, PairMeasure::OddsRatio).estimate.exp();
    let (mut statistic, mut gaps, mut variances, mut k) = (0.0, 0.0, 0.0, 0.0);
    for table in cells.iter().filter(|t| !t.says_nothing()) {
        let fitted = expected_at(table, odds_ratio);
        let t = table.a + table.c;
        let corners = [fitted, table.n1 - fitted, t - fitted, table.n2 - t + fitted];
        let variance = corners.iter().map(|x| 1.0 / x).sum::<f64>().recip();
        statistic += (table.a - fitted).powi(2) / variance;
        gaps += table.a - fitted;
        variances += variance;
        k += 1.0;
    }
    let tarone = statistic - gaps * gaps / variances;
    Homogeneity {
        cmh_corrected,
        cmh_p: chi_squared_above(cmh_corrected, 1.0),
        cmh_uncorrected: gap * gap / variance,
        breslow_day: statistic,
        tarone,
        tarone_p: chi_squared_above(tarone, k - 1.0),
    }
}

/// The first cell, given the margins, at which the table has this odds ratio; found by bisection.
fn expected_at(table: &Cells, odds_ratio: f64) -> f64 {
    let t = table.a + table.c;
    let (mut low, mut high) = ((t - table.n2).max(0.0), t.min(table.n1));
    for _ in 0..200 {
        let x = 0.5 * (low + high);
        let ratio = x * (table.n2 - t + x) - odds_ratio * (table.n1 - x) * (t - x);
        if ratio < 0.0 { low = x } else { high = x }
    }
    0.5 * (low + high)
}
