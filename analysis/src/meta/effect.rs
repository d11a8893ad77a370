//! Estimates with variances from counts.

use crate::Count;
use crate::Pair;

/// An estimate and its sampling variance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Effect {
    /// The estimate, on the measure's own scale.
    pub estimate: f64,
    /// Its sampling variance.
    pub variance: f64,
}

/// When 0.5 is added to the cells of an arm or table.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Correction {
    /// Only where a cell is zero.
    WhereZero,
    /// Everywhere.
    Everywhere,
    /// Nowhere; estimates may then be infinite.
    Nowhere,
}

impl Correction {
    fn amount(self, any_zero: bool) -> f64 {
        match self {
            Self::Everywhere => 0.5,
            Self::WhereZero if any_zero => 0.5,
            Self::WhereZero | Self::Nowhere => 0.0,
        }
    }
}

/// Log odds of a rate (natural logarithm), with variance 1/r + 1/(n - r); infinite at 0 of n and n of n unless corrected.
pub fn logit_rate(count: Count, correction: Correction) -> Effect {
    let (r, f) = (f64::from(count.succeeded), f64::from(count.failed()));
    let add = correction.amount(r == 0.0 || f == 0.0);
    let (r, f) = (r + add, f + add);
    Effect { estimate: (r / f).ln(), variance: 1.0 / r + 1.0 / f }
}

/// Double arcsine of Freeman & Tukey (1950, Ann Math Stat 21:607), with variance 1/(4 n + 2).
pub fn freeman_tukey(count: Count) -> Effect {
    let (r, n) = (f64::from(count.succeeded), f64::from(count.started));
    Effect { estimate: double_arcsine(r, n), variance: 1.0 / (4.0 * n + 2.0) }
}

fn double_arcsine(r: f64, n: f64) -> f64 {
    0.5 * ((r / (n + 1.0)).sqrt().asin() + ((r + 1.0) / (n + 1.0)).sqrt().asin())
}

/// Miller's inverse of the double arcsine for one typical `n` (Miller 1978, Am Stat 32:138). It can leave the range of
/// the data (Schwarzer et al. 2019, Res Synth Methods 10:476): for reference only.
pub fn freeman_tukey_rate(value: f64, n: f64) -> f64 {
    if value <= double_arcsine(0.0, n) {
        return 0.0;
    }
    if value >= double_arcsine(n, n) {
        return 1.0;
    }
    let (sin, cos) = (2.0 * value).sin_cos();
    let inner = sin + (sin - 1.0 / sin) / n;
    0.5 * (1.0 - cos.signum() * (1.0 - inner * inner).max(0.0).sqrt())
}

/// Harmonic mean of the pieces started: the n that Miller put into [`freeman_tukey_rate`].
pub fn harmonic_mean_started(counts: &[Count]) -> f64 {
    counts.len() as f64 / counts.iter().map(|c| 1.0 / f64::from(c.started)).sum::<f64>()
}

/// How two arms are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PairMeasure {
    /// Log odds ratio.
    OddsRatio,
    /// Log ratio of rates.
    RateRatio,
    /// Difference of rates.
    RateDifference,
}

/// Contrast of the first arm against the second, with the usual large-sample variance.
pub fn pair_effect(pair: Pair, measure: PairMeasure, correction: Correction) -> Effect {
    let cells = [pair.first.succeeded, pair.first.failed(), pair.second.succeeded, pair.second.failed()];
    let add = correction.amount(cells.contains(&0));
    let [a, b, c, d] = cells.map(|cell| f64::from(cell) + add);
    let (n1, n2) = (a + b, c + d);
    match measure {
        PairMeasure::OddsRatio => {
            Effect { estimate: (a * d / (b * c)).ln(), variance: 1.0 / a + 1.0 / b + 1.0 / c + 1.0 / d }
        }
        PairMeasure::RateRatio => Effect {
            estimate: (a / n1).ln() - (c / n2).ln(),
            variance: 1.0 / a - 1.0 / n1 + 1.0 / c - 1.0 / n2,
        },
        PairMeasure::RateDifference => {
            Effect { estimate: a / n1 - c / n2, variance: a * b / n1.powi(3) + c * d / n2.powi(3) }
        }
    }
}
