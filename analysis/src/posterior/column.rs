//! The posterior of mu at one spread.

use super::CentrePrior;
use crate::marginal::{LogDensity, Units};
use crate::sine_integral::sinc;

/// Log units below its peak where a density is cut off.
pub(crate) const CUT: f64 = 21.0;

/// Values on the lattice first + k × step: log densities while scanned, weights once normalised.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) spread: f64,
    pub(crate) first: f64,
    pub(crate) step: f64,
    pub(crate) weights: Vec<f64>,
    peak: f64,
    log_mass: f64,
}

/// What is foreseen of a column.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Foreseen {
    /// Where its middle is, about.
    pub(crate) centre: f64,
    /// Its width, about: what the lattice has to resolve.
    pub(crate) width: f64,
    /// Log density below which nothing matters beside what other columns hold.
    pub(crate) floor: f64,
}

/// Least log units below a column's own peak to which it is scanned, so that its moments stay right.
const LEAST_CUT: f64 = 9.0;

impl Column {
    /// Scans outwards from the foreseen centre until the density has vanished on both sides.
    pub(crate) fn scan<D: LogDensity>(
        units: &mut Units<D>,
        prior: CentrePrior,
        spread: f64,
        foreseen: Foreseen,
        fineness: f64,
    ) -> Self {
        let mut column = Self::scan_from(units, prior, spread, foreseen, fineness);
        let mut tried = foreseen.width;
        // A lattice that was far too coarse tells its width no better than to a quarter of a step.
        for _ in 0..20 {
            let width = column.width();
            if width >= 0.9 * tried {
                break;
            }
            tried = width;
            let known = Foreseen { centre: column.highest(), width, ..foreseen };
            column = Self::scan_from(units, prior, spread, known, fineness);
        }
        column
    }

    fn scan_from<D: LogDensity>(
        units: &mut Units<D>,
        prior: CentrePrior,
        spread: f64,
        foreseen: Foreseen,
        fineness: f64,
    ) -> Self {
        let Foreseen { centre, width, floor } = foreseen;
        let step = fineness * width;
        let mut at = |k: i32| {
            let mu = centre + f64::from(k) * step;
            units.log_likelihood(mu, spread) + prior.log_density(mu)
        };
        let top = at(0);
        let mut side = |direction: i32| {
            let (mut values, mut peak, mut k) = (Vec::with_capacity(24), top, direction);
            loop {
                let value = at(k);
                peak = peak.max(value);
                if value < peak - (peak - floor).clamp(LEAST_CUT, CUT) || k.abs() > 100_000 {
                    return values;
                }
                values.push(value);
                k += direction;
            }
        };
        let (left, right) = (side(-1), side(1));
        let first = centre - left.len() as f64 * step;
        let logs: Vec<f64> = left.into_iter().rev().chain([top]).chain(right).collect();
        let peak = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let weights: Vec<f64> = logs.iter().map(|v| (v - peak).exp()).collect();
        let log_mass = peak + (weights.iter().sum::<f64>() * step).ln();
        Self { spread, first, step, weights, peak, log_mass }
    }

    /// Highest log density on the lattice, before it is normalised.
    pub(crate) fn peak(&self) -> f64 {
        self.peak
    }

    /// Log of the integral over mu.
    pub(crate) fn log_mass(&self) -> f64 {
        self.log_mass
    }

    /// Sum of the weights.
    pub(crate) fn mass(&self) -> f64 {
        self.weights.iter().sum()
    }

    /// The same column with weights that sum to `mass`.
    pub(crate) fn normalised(mut self, mass: f64) -> Self {
        let factor = mass / self.mass();
        self.weights.iter_mut().for_each(|w| *w *= factor);
        self
    }

    /// Place of node `k`.
    pub(crate) fn mu(&self, k: usize) -> f64 {
        self.first + k as f64 * self.step
    }

    /// Nodes and weights.
    pub(crate) fn nodes(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.weights.iter().enumerate().map(|(k, w)| (self.mu(k), *w))
    }

    /// Density times the column's mass at `x`, by sinc interpolation.
    pub(crate) fn density(&self, x: f64) -> f64 {
        self.nodes().map(|(mu, w)| w * sinc((x - mu) / self.step)).sum::<f64>() / self.step
    }

    pub(crate) fn mean(&self) -> f64 {
        self.nodes().map(|(mu, w)| mu * w).sum::<f64>() / self.mass()
    }

    /// Node with the highest density.
    fn top(&self) -> usize {
        (0..self.weights.len()).max_by(|a, b| self.weights[*a].total_cmp(&self.weights[*b])).unwrap_or(0)
    }

    /// Place of the highest density.
    fn highest(&self) -> f64 {
        self.mu(self.top())
    }

    /// Standard deviation, or the width that the curvature at the peak implies where that is less; at least a quarter of a
    /// step.
    pub(crate) fn width(&self) -> f64 {
        let mean = self.mean();
        let sd = (self.nodes().map(|(mu, w)| (mu - mean).powi(2) * w).sum::<f64>() / self.mass()).sqrt();
        let k = self.top();
        let inside = k > 0 && k + 1 < self.weights.len();
        let bend = if inside {
            (self.weights[k] * self.weights[k] / (self.weights[k - 1] * self.weights[k + 1])).ln()
        } else {
            0.0
        };
        let width = if bend > 0.0 { sd.min(self.step / bend.sqrt()) } else { sd };
        width.max(0.25 * self.step)
    }
}
