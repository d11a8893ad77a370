//! The lattice of the logit axis.

use crate::logit::log_logistic_pair;

/// Widest lattice step; rates themselves need no finer one.
const WIDEST: f64 = 0.5;

/// Lattice level: the step is `WIDEST` / sqrt(2)^level.
pub(crate) type Level = u32;

/// The coarsest level whose step does not exceed `width`.
pub(crate) fn level_for(width: f64) -> Level {
    let ratio = (WIDEST / width).log2() * 2.0;
    if ratio <= 0.0 { 0 } else { ratio.ceil().min(60.0) as Level }
}

/// Points k × step for k in `first..first + len`, with the logarithms of the rate and of its complement.
#[derive(Clone, Debug)]
pub(crate) struct Axis {
    step: f64,
    first: i64,
    log_p: Vec<f64>,
    log_q: Vec<f64>,
}

impl Axis {
    /// The part of the lattice of `level` that covers `low..=high`.
    pub(crate) fn covering(level: Level, low: f64, high: f64) -> Self {
        let step = WIDEST * 0.5f64.powf(f64::from(level) / 2.0);
        let first = (low / step).floor() as i64;
        let last = (high / step).ceil() as i64;
        let (log_p, log_q) = (first..=last).map(|k| log_logistic_pair(k as f64 * step)).unzip();
        Self { step, first, log_p, log_q }
    }

    pub(crate) fn step(&self) -> f64 {
        self.step
    }

    pub(crate) fn first(&self) -> i64 {
        self.first
    }

    pub(crate) fn len(&self) -> usize {
        self.log_p.len()
    }

    pub(crate) fn theta(&self, index: usize) -> f64 {
        (self.first + index as i64) as f64 * self.step
    }

    pub(crate) fn log_p(&self) -> &[f64] {
        &self.log_p
    }

    pub(crate) fn log_q(&self) -> &[f64] {
        &self.log_q
    }

    pub(crate) fn covers(&self, low: f64, high: f64) -> bool {
        self.theta(0) <= low && high <= self.theta(self.len() - 1)
    }
}
