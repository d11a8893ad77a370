//! A density known by its values on a lattice as coarse as its own smoothness allows.

use std::f64::consts::PI;

use crate::marginal::{Axis, Level};
use crate::posterior::Column;
use crate::sine_integral::{sinc, sinc_cdf};

/// Lattice nodes added on each side to hold what smoothing moves outwards.
const MARGIN: usize = 10;

/// Weights at first + k × step; between the nodes the density follows by sinc interpolation.
#[derive(Clone, Debug)]
pub(super) struct Grain {
    first: f64,
    step: f64,
    weights: Vec<f64>,
}

/// The sinc function convolved with N(0, sigma²), at whole numbers 0..count.
fn smoothed_sinc(sigma: f64, count: usize) -> Vec<f64> {
    const STEP: f64 = 0.5;
    let nodes: Vec<(f64, f64)> = (-15..=15)
        .map(|k| f64::from(k) * STEP)
        .map(|z| (z * sigma, STEP * crate::normal::density(z)))
        .collect();
    (0..count).map(|m| nodes.iter().map(|(t, w)| w * sinc(m as f64 - t)).sum()).collect()
}

impl Grain {
    /// The column's density of mu convolved with N(0, s²).
    pub(super) fn new(column: &Column, s: f64) -> Self {
        let old = &column.weights;
        let count = old.len() + 2 * MARGIN;
        let kernel = smoothed_sinc(s / column.step, count);
        let weights = (0..count)
            .map(|m| old.iter().enumerate().map(|(k, w)| w * kernel[m.abs_diff(k + MARGIN)]).sum())
            .collect();
        Self { first: column.first - MARGIN as f64 * column.step, step: column.step, weights }
    }

    /// The same density times a share.
    pub(super) fn weighted(&self, share: f64) -> Self {
        Self { weights: self.weights.iter().map(|weight| share * weight).collect(), ..*self }
    }

    pub(super) fn nodes(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.weights.iter().enumerate().map(|(k, w)| (self.first + k as f64 * self.step, *w))
    }

    pub(super) fn cdf(&self, x: f64) -> f64 {
        self.nodes().map(|(mu, w)| w * sinc_cdf((x - mu) / self.step)).sum()
    }

    /// Density times axis step on an axis fine enough for a function of `sharpness`.
    pub(super) fn layer(&self, level: fn(f64) -> Level, sharpness: f64) -> (Axis, Vec<f64>) {
        let width = (1.0 / (self.step * self.step) + sharpness).sqrt().recip();
        let last = self.first + (self.weights.len() - 1) as f64 * self.step;
        let axis = Axis::covering(level(width), self.first, last);
        let weights = (0..axis.len()).map(|m| axis.step() * self.density(axis.theta(m))).collect();
        (axis, weights)
    }

    fn density(&self, x: f64) -> f64 {
        let place = (x - self.first) / self.step;
        let near = place.round();
        let fraction = place - near;
        if fraction.abs() < 1e-9 {
            let index = usize::try_from(near as i64).ok();
            return index.and_then(|k| self.weights.get(k)).copied().unwrap_or(0.0) / self.step;
        }
        // sin(pi (place - k)) is the same for all k but for its sign.
        let sine = (PI * fraction).sin() / PI;
        let sign = |k: usize| if (near as i64 - k as i64) % 2 == 0 { 1.0 } else { -1.0 };
        let sum: f64 = self.weights.iter().enumerate().map(|(k, w)| sign(k) * w / (place - k as f64)).sum();
        sine * sum / self.step
    }
}
