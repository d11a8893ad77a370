//! The posterior of mu at one spread.

use super::CentrePrior;
use super::search::centre_mode;
use crate::marginal::{LogDensity, Units};
use crate::sine_integral::sinc;

/// Log units below its peak where a density is cut off.
pub(crate) const CUT: f64 = 24.0;

/// Values on the lattice first + k × step: log densities while scanned, weights once normalised.
#[derive(Clone, Debug)]
pub(crate) struct Column {
    pub(crate) spread: f64,
    pub(crate) first: f64,
    pub(crate) step: f64,
    pub(crate) weights: Vec<f64>,
    log_mass: f64,
}

impl Column {
    /// Scans outwards from the mode until the density has vanished on both sides.
    pub(crate) fn scan<D: LogDensity>(
        units: &mut Units<D>,
        prior: CentrePrior,
        spread: f64,
        start: f64,
        fineness: f64,
    ) -> Self {
        let mode = centre_mode(units, prior, spread, start);
        let column = Self::scan_from(units, prior, spread, mode.mu, fineness * mode.sd);
        // A flat top makes the curvature overstate the width.
        let sd = column.sd();
        if sd < 0.75 * mode.sd {
            return Self::scan_from(units, prior, spread, mode.mu, fineness * sd);
        }
        column
    }

    fn scan_from<D: LogDensity>(
        units: &mut Units<D>,
        prior: CentrePrior,
        spread: f64,
        centre: f64,
        step: f64,
    ) -> Self {
        let mut at = |k: i32| {
            let mu = centre + f64::from(k) * step;
            units.log_likelihood(mu, spread) + prior.log_density(mu)
        };
        let top = at(0);
        let mut side = |direction: i32| {
            let (mut values, mut peak, mut k) = (Vec::new(), top, direction);
            loop {
                let value = at(k);
                peak = peak.max(value);
                if value < peak - CUT || k.abs() > 100_000 {
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
        Self { spread, first, step, weights, log_mass }
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

    fn sd(&self) -> f64 {
        let mean = self.mean();
        (self.nodes().map(|(mu, w)| (mu - mean).powi(2) * w).sum::<f64>() / self.mass()).sqrt()
    }
}
