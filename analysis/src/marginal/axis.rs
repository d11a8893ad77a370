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

/// As [`level_for`], of the levels whose steps are halves of each other.
pub(crate) fn halving_level_for(width: f64) -> Level {
    level_for(width).next_multiple_of(2)
}

/// Points k × step for k in `first..first + len`, or free ones, with the logarithms of the rate and of its complement.
#[derive(Clone, Debug)]
pub(crate) struct Axis {
    /// Zero when the points are free.
    step: f64,
    first: i64,
    thetas: Vec<f64>,
    log_p: Vec<f64>,
    log_q: Vec<f64>,
}

impl Axis {
    /// The part of the lattice of `level` that covers `low..=high`.
    pub(crate) fn covering(level: Level, low: f64, high: f64) -> Self {
        let step = WIDEST * 0.5f64.powf(f64::from(level) / 2.0);
        let first = (low / step).floor() as i64;
        let last = (high / step).ceil() as i64;
        Self::new(step, first, (first..=last).map(|k| k as f64 * step).collect())
    }

    /// An axis of single points.
    pub(crate) fn of_points(thetas: Vec<f64>) -> Self {
        Self::new(0.0, 0, thetas)
    }

    fn new(step: f64, first: i64, thetas: Vec<f64>) -> Self {
        let (log_p, log_q) = thetas.iter().map(|t| log_logistic_pair(*t)).unzip();
        Self { step, first, thetas, log_p, log_q }
    }

    /// Whether this is a lattice, and not a set of single points.
    pub(crate) fn is_lattice(&self) -> bool {
        self.step > 0.0
    }

    pub(crate) fn step(&self) -> f64 {
        self.step
    }

    pub(crate) fn first(&self) -> i64 {
        self.first
    }

    pub(crate) fn len(&self) -> usize {
        self.thetas.len()
    }

    pub(crate) fn theta(&self, index: usize) -> f64 {
        self.thetas[index]
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
