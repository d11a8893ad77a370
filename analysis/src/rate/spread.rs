//! Means and quantiles of the spreads.

use std::f64::consts::FRAC_PI_2;

use super::Posterior;
use crate::posterior::{HalfLine, HalfLineMasses, cdf_inverse, even_sinc};

/// What is reported of the spreads.
pub(super) struct SpreadFigures {
    /// Mean total spread.
    pub(super) mean: f64,
    /// Quantiles of the total spread.
    pub(super) quantiles: [f64; 3],
    pub(super) grower_mean: f64,
    pub(super) trial_mean: f64,
}

pub(super) fn figures(posterior: &Posterior, levels: [f64; 3]) -> SpreadFigures {
    let growers: Vec<HalfLineMasses> =
        posterior.slices.iter().map(|slice| slice.grid.spread_masses()).collect();
    let grower_mean: f64 = growers.iter().map(HalfLineMasses::mean).sum();
    let (lattice_mean, square) = lattice_moments(posterior);
    let trials = posterior.trial_line.map(|(line, first)| {
        let masses = growers.iter().map(|slice| slice.masses.iter().sum()).collect();
        HalfLineMasses { line, first, masses }
    });
    let mean = if trials.is_some() { lattice_mean } else { grower_mean };
    let sd = (square - mean * mean).max(1e-12).sqrt();
    let cdf = |x: f64| match &trials {
        _ if x <= 0.0 => x,
        None => growers[0].below(x),
        Some(trials) => disc_mass(posterior, &growers, trials.line, x),
    };
    let quantiles = levels.map(|p| {
        let guess = (mean + sd * crate::normal::quantile(p)).max(0.1 * mean);
        cdf_inverse(cdf, p, guess, sd)
    });
    SpreadFigures { mean, quantiles, grower_mean, trial_mean: trials.map_or(0.0, |trials| trials.mean()) }
}

/// Mean and mean square of the total spread as lattice sums.
fn lattice_moments(posterior: &Posterior) -> (f64, f64) {
    let columns = posterior.columns().map(|(column, total)| (column.mass(), total));
    columns.fold((0.0, 0.0), |(mean, square), (mass, total)| {
        (mean + mass * total, square + mass * total * total)
    })
}

/// Mass with sg² + st² <= x²: slices are interpolated by sinc functions and integrated over st = x sin(angle), which
/// takes the square-root ends away.
fn disc_mass(posterior: &Posterior, growers: &[HalfLineMasses], line: HalfLine, x: f64) -> f64 {
    const ANGLES: usize = 24;
    // Midpoint rule: the integrand is even and periodic in the angle.
    let width = FRAC_PI_2 / ANGLES as f64;
    let trial_coordinates = posterior.slices.iter().map(|slice| line.coordinate(slice.trial_spread));
    let slices: Vec<(f64, &HalfLineMasses)> = trial_coordinates.zip(growers).collect();
    (0..ANGLES)
        .map(|k| {
            let (sin, cos) = ((k as f64 + 0.5) * width).sin_cos();
            let t = line.coordinate(x * sin);
            let density: f64 = slices
                .iter()
                .map(|(node, masses)| even_sinc(t, *node, line.step) * masses.below(x * cos))
                .sum();
            density / line.step / line.jacobian(x * sin) * x * cos * width
        })
        .sum()
}
