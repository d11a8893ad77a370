//! Posterior of a centre mu and a spread s, on lattices that fit it.
//!
//! For every spread the posterior of mu is log-concave, and as a function of s it is even, so both integrals are
//! trapezoid sums over smooth decaying functions: spectrally accurate once the step is below the width. The lattice
//! in s is the half-integer one, so that s and -s fall on each other.

mod column;
mod half_line;
mod moments;
mod path;
mod priors;
mod quantile;
mod search;
mod sweep;

pub(crate) use column::{CUT, Column};
pub(crate) use half_line::{HalfLine, HalfLineMasses, even_sinc};
pub(crate) use moments::{centre_moments, centre_quantile};
pub(crate) use priors::{CentrePrior, HalfNormal};
pub(crate) use quantile::{cdf_inverse, lattice_cdf};
pub(crate) use search::{SpreadShape, spread_shape};
pub(crate) use sweep::{refined_sweep, sweep};

use crate::marginal::{LogDensity, Units};
use path::Path;
use search::centre_mode;

/// How fine the lattices are, in posterior standard deviations a step.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Fineness {
    pub(crate) centre: f64,
    pub(crate) spread: f64,
    /// Largest step of the stretched spread.
    pub(crate) stretched: f64,
}

impl Fineness {
    /// The steps for a given amount of evidence: with many units the posterior is close to normal, and a normal
    /// density is integrated to 1e-7 by steps of a whole standard deviation.
    pub(crate) fn for_units(total_power: f64) -> Self {
        let share = (total_power / 100.0).clamp(0.0, 1.0);
        Self { centre: 0.4 + 0.5 * share, spread: 0.45 + 0.4 * share, stretched: 0.22 }
    }

    /// The stretched half line for a posterior of s of this shape.
    pub(crate) fn half_line(&self, unit: f64, mode: f64, width: f64) -> HalfLine {
        let unit = unit.max(1e-3 * width);
        HalfLine { unit, step: (self.spread * width / unit.hypot(mode)).min(self.stretched) }
    }
}

/// Posterior of (mu, s) as columns of constant s.
#[derive(Clone, Debug)]
pub(crate) struct Grid {
    /// One column for every node of the half line from `first` on; weights sum to one over all columns.
    pub(crate) columns: Vec<Column>,
    pub(crate) line: HalfLine,
    pub(crate) first: i64,
    pub(crate) log_evidence: f64,
    /// Highest log density in mu and t.
    pub(crate) peak: f64,
}

impl Grid {
    /// Masses of the columns.
    pub(crate) fn spread_masses(&self) -> HalfLineMasses {
        let masses = self.columns.iter().map(Column::mass).collect();
        HalfLineMasses { line: self.line, first: self.first, masses }
    }
}

impl Grid {
    /// Whether the lattice of s is too wide for the density found on it.
    pub(crate) fn is_coarse(&self, fineness: Fineness) -> bool {
        let (_, sd) = self.spread_masses().stretched_moments();
        self.line.step > 1.3 * fineness.spread * sd && self.line.step > 0.02 * fineness.stretched
    }

    /// Place and width of the posterior of s, for a neighbouring problem.
    pub(crate) fn shape(&self) -> SpreadShape {
        let (mean, sd) = self.spread_masses().stretched_moments();
        let mode = self.line.spread(mean);
        let heaviest = self.columns.iter().max_by(|a, b| a.mass().total_cmp(&b.mass()));
        SpreadShape { mode, width: sd * self.line.jacobian(mode), centre: heaviest.map_or(0.0, Column::mean) }
    }
}

/// Integrates over mu and s.
pub(crate) fn integrate<D: LogDensity>(
    units: &mut Units<D>,
    centre: CentrePrior,
    spread: HalfNormal,
    fineness: Fineness,
) -> Grid {
    let shape = spread_shape(units, centre, spread);
    let grid = integrate_shaped(units, centre, spread, fineness, &shape, f64::NEG_INFINITY);
    if grid.is_coarse(fineness) {
        return integrate_shaped(units, centre, spread, fineness, &grid.shape(), f64::NEG_INFINITY);
    }
    grid
}

/// As `integrate`, with the place and width of the posterior of s known, and a log density in mu and t below which
/// nothing matters beside what was found elsewhere.
pub(crate) fn integrate_shaped<D: LogDensity>(
    units: &mut Units<D>,
    centre: CentrePrior,
    spread: HalfNormal,
    fineness: Fineness,
    shape: &SpreadShape,
    floor: f64,
) -> Grid {
    let unit = units.narrowest().min(0.5 * spread.0);
    let line = fineness.half_line(unit, shape.mode, shape.width);
    let mut path = Path::new(floor);
    let swept = sweep(line, shape.mode, |s| {
        let t = line.coordinate(s);
        let of_spread = spread.log_density(s) + line.log_jacobian(t);
        let middle = path.middle(t).unwrap_or_else(|| {
            let mode = centre_mode(units, centre, s, shape.centre);
            (mode.mu, mode.sd)
        });
        let column = Column::scan(units, centre, s, path.foreseen(middle, of_spread), fineness.centre);
        path.add(t, &column, of_spread);
        (column.log_mass() + spread.log_density(s), column)
    });
    let (log_evidence, shares) = swept.shares(line);
    let items = swept.items.into_iter().zip(shares);
    let columns = items.map(|(item, share)| item.value.normalised(share)).collect();
    Grid { columns, line, first: swept.first, log_evidence, peak: path.top() }
}
