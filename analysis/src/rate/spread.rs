//! Means and quantiles of the spreads.

use std::f64::consts::{FRAC_PI_2, PI};

use super::{Posterior, Slice};
use crate::posterior::{half_line_cdf, increasing_root};

/// What is reported of the spreads.
pub(super) struct SpreadFigures {
    /// Mean total spread.
    pub(super) mean: f64,
    /// Quantiles of the total spread.
    pub(super) quantiles: [f64; 3],
    pub(super) grower_mean: f64,
    pub(super) trial_mean: f64,
}

/// Masses of a slice's columns on their half-integer lattice.
struct Masses {
    trial_spread: f64,
    values: Vec<f64>,
    first: i64,
    step: f64,
}

impl Masses {
    fn of(slice: &Slice) -> Self {
        let values = slice.columns.iter().map(super::Column::mass).collect();
        let first = slice.columns.first().map_or(0, |c| (c.spread / slice.grower_step - 0.5).round() as i64);
        Self { trial_spread: slice.trial_spread, values, first, step: slice.grower_step }
    }

    /// Mass with a spread between growers below `x`.
    fn below(&self, x: f64) -> f64 {
        half_line_cdf(&self.values, self.first, self.step, x)
    }
}

pub(super) fn figures(posterior: &Posterior, levels: [f64; 3]) -> SpreadFigures {
    let (mut mean, mut square, mut grower_mean, mut trial_mean) = (0.0, 0.0, 0.0, 0.0);
    for slice in &posterior.slices {
        for column in &slice.columns {
            let (total, mass) = (slice.total_spread(column), column.mass());
            mean += mass * total;
            square += mass * total * total;
            grower_mean += mass * column.spread;
            trial_mean += mass * slice.trial_spread;
        }
    }
    let sd = (square - mean * mean).max(1e-12).sqrt();
    let masses: Vec<Masses> = posterior.slices.iter().map(Masses::of).collect();
    let cdf = |x: f64| match masses.as_slice() {
        _ if x <= 0.0 => x,
        [only] if only.trial_spread == 0.0 => only.below(x),
        several => disc_mass(several, posterior.trial_step, x),
    };
    let quantiles = levels.map(|p| {
        let guess = (mean + sd * crate::normal::quantile(p)).max(0.1 * mean);
        increasing_root(cdf, p, guess, 0.2 * sd)
    });
    SpreadFigures { mean, quantiles, grower_mean, trial_mean }
}

/// Mass with sg² + st² <= x²: slices are interpolated by sinc functions and integrated over st = x sin(angle), which
/// takes the square-root ends away.
fn disc_mass(slices: &[Masses], step: f64, x: f64) -> f64 {
    const ANGLES: usize = 24;
    // Midpoint rule: the integrand is even and periodic in the angle.
    let width = FRAC_PI_2 / ANGLES as f64;
    (0..ANGLES)
        .map(|k| {
            let (sin, cos) = ((k as f64 + 0.5) * width).sin_cos();
            let density: f64 = slices
                .iter()
                .map(|slice| even_sinc(x * sin, slice.trial_spread, step) * slice.below(x * cos))
                .sum();
            density / step * x * cos * width
        })
        .sum()
}

/// Sinc kernels at `node` and at -`node`, as seen from `x`.
fn even_sinc(x: f64, node: f64, step: f64) -> f64 {
    let sinc = |t: f64| if t.abs() < 1e-9 { 1.0 } else { (PI * t).sin() / (PI * t) };
    sinc((x - node) / step) + sinc((x + node) / step)
}
