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

    /// Integral of the spread between growers over its density; the trapezoid sum would miss the kink at zero.
    fn first_moment(&self) -> f64 {
        first_moment(&self.values, self.first, self.step)
    }

    /// Mass with a spread between growers below `x`.
    fn below(&self, x: f64) -> f64 {
        half_line_cdf(&self.values, self.first, self.step, x)
    }
}

pub(super) fn figures(posterior: &Posterior, levels: [f64; 3]) -> SpreadFigures {
    let masses: Vec<Masses> = posterior.slices.iter().map(Masses::of).collect();
    let grower_mean: f64 = masses.iter().map(Masses::first_moment).sum();
    let (mut mean, mut square) = (0.0, 0.0);
    for slice in &posterior.slices {
        for column in &slice.columns {
            let (total, mass) = (slice.total_spread(column), column.mass());
            mean += mass * total;
            square += mass * total * total;
        }
    }
    let trial_mean = match posterior.model {
        super::Model::TwoLevel => 0.0,
        super::Model::ThreeLevel => trial_mean(&masses, posterior.trial_step),
    };
    if posterior.model == super::Model::TwoLevel {
        mean = grower_mean;
    }
    let sd = (square - mean * mean).max(1e-12).sqrt();
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

fn trial_mean(slices: &[Masses], step: f64) -> f64 {
    let totals: Vec<f64> = slices.iter().map(|slice| slice.values.iter().sum()).collect();
    let first = slices.first().map_or(0, |slice| (slice.trial_spread / step - 0.5).round() as i64);
    first_moment(&totals, first, step)
}

/// Integral of x times the even density given by masses at (`first` + j + 1/2) × `step`, over x > 0.
///
/// The density is a sum of sinc functions; Simpson's rule on a fine lattice integrates it up to where it vanishes.
fn first_moment(masses: &[f64], first: i64, step: f64) -> f64 {
    const PARTS: usize = 16;
    let cells = first as usize + masses.len() + 1;
    let width = step / PARTS as f64;
    let density = |x: f64| -> f64 {
        let node = |j: usize| ((first + j as i64) as f64 + 0.5) * step;
        masses.iter().enumerate().map(|(j, mass)| mass / step * even_sinc(x, node(j), step)).sum()
    };
    let last = cells * PARTS;
    let weight = |k: usize| match k {
        _ if k == 0 || k == last => 1.0,
        _ if k % 2 == 1 => 4.0,
        _ => 2.0,
    };
    let terms = (0..=last).map(|k| weight(k) * k as f64 * width * density(k as f64 * width));
    terms.sum::<f64>() * width / 3.0
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
