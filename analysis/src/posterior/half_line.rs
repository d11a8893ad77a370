//! The half line of spreads, stretched so that structure near zero and far out is equally smooth.
//!
//! s = c sinh(t): as a function of s a posterior has singularities about as far from the real axis as the narrowest
//! likelihood is wide; as a function of t, with c of that size, they lie pi/2 away, whatever c. Even functions of s
//! are even in t, so the half-integer lattice of t serves the trapezoid rule up to s = 0.

use crate::sine_integral::{sinc, sinc_cdf};

/// The map between a spread and its stretched coordinate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(crate) struct HalfLine {
    pub(crate) unit: f64,
    /// Lattice step in t.
    pub(crate) step: f64,
}

/// Masses at t = (`first` + j + 1/2) × step of a density that is even in t.
#[derive(Clone, Debug)]
pub(crate) struct HalfLineMasses {
    pub(crate) line: HalfLine,
    pub(crate) first: i64,
    pub(crate) masses: Vec<f64>,
}

impl HalfLine {
    /// Spread at t.
    pub(crate) fn spread(&self, t: f64) -> f64 {
        self.unit * t.sinh()
    }

    /// Coordinate of a spread.
    pub(crate) fn coordinate(&self, spread: f64) -> f64 {
        (spread / self.unit).asinh()
    }

    /// Log of ds/dt.
    pub(crate) fn log_jacobian(&self, t: f64) -> f64 {
        (self.unit * t.cosh()).ln()
    }

    /// ds/dt as a function of the spread.
    pub(crate) fn jacobian(&self, spread: f64) -> f64 {
        self.unit.hypot(spread)
    }

    /// Coordinate of lattice node j.
    pub(crate) fn node(&self, j: i64) -> f64 {
        (j as f64 + 0.5) * self.step
    }
}

impl HalfLineMasses {
    fn nodes(&self) -> impl Iterator<Item = (f64, f64)> + '_ {
        self.masses.iter().enumerate().map(|(j, mass)| (self.line.node(self.first + j as i64), *mass))
    }

    /// Mass with a spread below `x`.
    pub(crate) fn below(&self, x: f64) -> f64 {
        let t = self.line.coordinate(x);
        let step = self.line.step;
        // The parts of both kernels below zero sum to one.
        let part = |node: f64| sinc_cdf((t - node) / step) + sinc_cdf((t + node) / step) - 1.0;
        self.nodes().map(|(node, mass)| mass * part(node)).sum()
    }

    /// Mean and standard deviation of the lattice coordinate.
    pub(crate) fn stretched_moments(&self) -> (f64, f64) {
        let total: f64 = self.masses.iter().sum();
        let mean = self.nodes().map(|(t, mass)| t * mass).sum::<f64>() / total;
        let square = self.nodes().map(|(t, mass)| (t - mean).powi(2) * mass).sum::<f64>() / total;
        (mean, square.sqrt())
    }

    /// Density of the spread at `x` > 0.
    pub(crate) fn density(&self, x: f64) -> f64 {
        self.stretched_density(self.line.coordinate(x)) / self.line.jacobian(x)
    }

    /// Density in t.
    pub(crate) fn stretched_density(&self, t: f64) -> f64 {
        let step = self.line.step;
        self.nodes().map(|(node, mass)| mass * even_sinc(t, node, step)).sum::<f64>() / step
    }

    /// Integral of the spread over its density. The lattice sum would miss the kink at zero; Simpson's rule on a fine
    /// lattice integrates the interpolated density up to where it vanishes.
    pub(crate) fn mean(&self) -> f64 {
        const PARTS: usize = 8;
        if self.first > 12 {
            return self.nodes().map(|(t, mass)| mass * self.line.spread(t)).sum();
        }
        let width = self.line.step / PARTS as f64;
        let last = (self.first as usize + self.masses.len() + 1) * PARTS;
        let weight = |k: usize| match k {
            _ if k == 0 || k == last => 1.0,
            _ if k % 2 == 1 => 4.0,
            _ => 2.0,
        };
        let term = |k: usize| {
            let t = k as f64 * width;
            weight(k) * self.line.spread(t) * self.stretched_density(t)
        };
        (0..=last).map(term).sum::<f64>() * width / 3.0
    }
}

/// Sinc kernels at `node` and at -`node`, as seen from `x`.
pub(crate) fn even_sinc(x: f64, node: f64, step: f64) -> f64 {
    sinc((x - node) / step) + sinc((x + node) / step)
}
