//! Posterior of a centre mu and a spread s, on lattices that fit it.
//!
//! For every spread the posterior of mu is log-concave, and as a function of s it is even, so both integrals are
//! trapezoid sums over smooth decaying functions: spectrally accurate once the step is below the width. The lattice
//! in s is the half-integer one, so that s and -s fall on each other.

mod column;
mod priors;
mod quantile;
mod search;
mod sweep;

pub(crate) use column::Column;
pub(crate) use priors::{CentrePrior, HalfNormal};
pub(crate) use quantile::{increasing_root, lattice_cdf, half_line_cdf};
pub(crate) use search::{SpreadShape, half_line_shape, spread_shape};
pub(crate) use sweep::half_line;

use crate::marginal::{LogDensity, Units};

/// How fine the lattices are, in posterior standard deviations a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fineness {
    pub(crate) centre: f64,
    pub(crate) spread: f64,
}

impl Fineness {
    /// The steps for a given amount of evidence: with many units the posterior is close to normal, and a normal
    /// density is integrated to 1e-7 by steps of a whole standard deviation.
    pub(crate) fn for_units(total_power: f64) -> Self {
        let share = (total_power / 100.0).clamp(0.0, 1.0);
        Self { centre: 0.6 + 0.3 * share, spread: 0.5 + 0.35 * share }
    }
}

/// Posterior of (mu, s) as columns of constant s.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    /// One column for every s = (j + 1/2) × `spread_step`; weights sum to one over all columns.
    pub(crate) columns: Vec<Column>,
    pub(crate) spread_step: f64,
    pub(crate) log_evidence: f64,
}

/// Integrates over mu and s.
pub(crate) fn integrate<D: LogDensity>(
    units: &mut Units<D>,
    centre: CentrePrior,
    spread: HalfNormal,
    fineness: Fineness,
) -> Grid {
    let shape = spread_shape(units, centre, spread);
    integrate_shaped(units, centre, spread, fineness, &shape)
}

/// As `integrate`, with the place and width of the posterior of s known.
pub(crate) fn integrate_shaped<D: LogDensity>(
    units: &mut Units<D>,
    centre: CentrePrior,
    spread: HalfNormal,
    fineness: Fineness,
    shape: &SpreadShape,
) -> Grid {
    let mut start = shape.centre;
    let swept = half_line(fineness.spread * shape.width, shape.mode, |s| {
        let column = Column::scan(units, centre, s, start, fineness.centre);
        start = column.mean();
        (column.log_mass() + spread.log_density(s), column)
    });
    let top = swept.items.iter().map(|item| item.log_mass).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = swept.items.iter().map(|item| (item.log_mass - top).exp()).sum();
    let columns = swept
        .items
        .into_iter()
        .map(|item| item.value.normalised((item.log_mass - top).exp() / total))
        .collect();
    Grid { columns, spread_step: swept.step, log_evidence: top + (total * swept.step).ln() }
}
