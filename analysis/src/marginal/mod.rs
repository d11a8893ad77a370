//! Marginal likelihoods: a log-concave likelihood averaged over a normal spread between units.
//!
//! L(mu, s) = integral of f(t) N(t; mu, s²) dt for many f at once. All f are tabulated once on a lattice of t, so a
//! marginal is a dot product with the normal weights of the node (mu, s). The trapezoid rule is spectrally accurate
//! as long as the lattice step does not exceed the width of the narrowest product f × N (Trefethen & Weideman 2014,
//! SIAM Review 56:385).

mod axis;
mod direct;
mod kernel;
mod narrow;
mod table;
mod units;

pub(crate) use axis::{Axis, Level, halving_level_for, level_for};
pub(crate) use kernel::{Kernel, REACH};
pub(crate) use table::SUPPORT;
pub(crate) use units::{Slopes, Units, dot};

/// A log-concave likelihood of one unit as a function of a real parameter.
pub(crate) trait LogDensity {
    /// Log value at every point of `axis`; more than `SUPPORT` below the highest of a lattice it may be given as -infinity.
    fn fill(&self, axis: &Axis, out: &mut [f64]);
    /// Log value at one point.
    fn at(&self, theta: f64) -> f64;
    /// First two derivatives of the log value at one point.
    fn derivatives(&self, theta: f64) -> (f64, f64);
    /// Curvature of the log likelihood where it is narrowest, about: 1 / width².
    fn sharpness(&self) -> f64;
}
