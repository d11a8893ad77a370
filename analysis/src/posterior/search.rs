//! Where the posterior is: the mode of mu for a given s, and the place and width of the posterior of s.

use super::{CentrePrior, HalfNormal};
use crate::marginal::{LogDensity, Slopes, Units};

/// Mode of mu at one spread, and the width that the curvature there implies.
#[derive(Clone, Copy, Debug)]
pub(crate) struct CentreMode {
    pub(crate) mu: f64,
    pub(crate) log_value: f64,
    pub(crate) sd: f64,
}

/// Place and width of the posterior of s, by Laplace's method in mu.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SpreadShape {
    /// Mode of s; may be next to zero.
    pub(crate) mode: f64,
    /// Half of the distance over which the log density drops by 2, on the steeper side.
    pub(crate) width: f64,
    /// Mode of mu there.
    pub(crate) centre: f64,
}

fn posterior_slopes<D: LogDensity>(units: &mut Units<D>, prior: CentrePrior, mu: f64, s: f64) -> Slopes {
    let (a, b) = (units.slopes(mu, s), prior.slopes(mu));
    Slopes { value: a.value + b.value, first: a.first + b.first, second: a.second + b.second }
}

/// Newton's method on a log-concave function, halving steps that do not climb.
pub(crate) fn centre_mode<D: LogDensity>(
    units: &mut Units<D>,
    prior: CentrePrior,
    s: f64,
    start: f64,
) -> CentreMode {
    let (mut mu, mut at) = (start, posterior_slopes(units, prior, start, s));
    for _ in 0..100 {
        let sd = curvature_sd(at.second, prior);
        let mut step = (at.first * sd * sd).clamp(-8.0 * sd.max(0.5), 8.0 * sd.max(0.5));
        if step.abs() < 0.02 * sd {
            break;
        }
        let mut next = posterior_slopes(units, prior, mu + step, s);
        while next.value < at.value && step.abs() > 1e-9 * sd {
            step *= 0.4;
            next = posterior_slopes(units, prior, mu + step, s);
        }
        mu += step;
        at = next;
    }
    CentreMode { mu, log_value: at.value, sd: curvature_sd(at.second, prior) }
}

fn curvature_sd(second: f64, prior: CentrePrior) -> f64 {
    let floor = 0.01 / (prior.sd() * prior.sd());
    (-second).max(floor).sqrt().recip()
}

/// Finds the posterior of s: geometric ladder and golden section for the peak, then the points where it has dropped by 2.
pub(crate) fn spread_shape<D: LogDensity>(
    units: &mut Units<D>,
    prior: CentrePrior,
    spread: HalfNormal,
) -> SpreadShape {
    let mut centre = 0.0;
    let mut log_mass = |s: f64| {
        let mode = centre_mode(units, prior, s, centre);
        centre = mode.mu;
        mode.log_value + mode.sd.ln() + spread.log_density(s)
    };
    let (mode, top) = highest_spread(&mut log_mass, spread.0);
    let right = drop_distance(&mut log_mass, mode, top, spread.0);
    let left = left_drop_distance(&mut log_mass, mode, top);
    log_mass(mode);
    SpreadShape { mode, width: left.map_or(right, |left| left.min(right)) / 2.0, centre }
}

/// The golden ratio less one: each step of a search keeps this share of its stretch.
const RATIO: f64 = 0.618_033_988_749_894_9;

/// Climbs a geometric ladder from the prior's middle, then narrows by golden section on the log scale.
fn highest_spread(log_mass: &mut impl FnMut(f64) -> f64, scale: f64) -> (f64, f64) {
    const RUNG: f64 = 2.0;
    let mut best = (0.8 * scale, log_mass(0.8 * scale));
    for factor in [RUNG, 1.0 / RUNG] {
        let mut s = best.0 * factor;
        while s > 1e-4 * scale && s < 60.0 * scale {
            let value = log_mass(s);
            if value <= best.1 + 1e-6 {
                break;
            }
            best = (s, value);
            s *= factor;
        }
    }
    let (mut low, mut high) = ((best.0 / RUNG).ln(), (best.0 * RUNG).ln());
    let (mut c, mut d) = (high - RATIO * (high - low), low + RATIO * (high - low));
    let (mut at_c, mut at_d) = (log_mass(c.exp()), log_mass(d.exp()));
    for _ in 0..6 {
        if at_c >= at_d {
            (high, d, at_d) = (d, c, at_c);
            c = high - RATIO * (high - low);
            at_c = log_mass(c.exp());
        } else {
            (low, c, at_c) = (c, d, at_d);
            d = low + RATIO * (high - low);
            at_d = log_mass(d.exp());
        }
    }
    [best, (c.exp(), at_c), (d.exp(), at_d)].into_iter().fold(best, |a, b| if b.1 > a.1 { b } else { a })
}

/// How far above `mode` the log mass has dropped by 2.
fn drop_distance(log_mass: &mut impl FnMut(f64) -> f64, mode: f64, top: f64, scale: f64) -> f64 {
    let (mut low, mut high) = (0.0, 0.1 * mode.max(0.02 * scale));
    while log_mass(mode + high) > top - 2.0 && high < 100.0 * scale {
        low = high;
        high *= 2.0;
    }
    for _ in 0..4 {
        let mid = 0.5 * (low + high);
        if log_mass(mode + mid) > top - 2.0 { low = mid } else { high = mid }
    }
    0.5 * (low + high)
}

/// How far below `mode` the log mass has dropped by 2, if it does before zero.
fn left_drop_distance(log_mass: &mut impl FnMut(f64) -> f64, mode: f64, top: f64) -> Option<f64> {
    let (mut low, mut high) = (0.0, 0.05 * mode);
    while log_mass(mode - high) > top - 2.0 {
        low = high;
        high *= 2.0;
        if high > 0.95 * mode {
            return None;
        }
    }
    for _ in 0..4 {
        let mid = 0.5 * (low + high);
        if log_mass(mode - mid) > top - 2.0 { low = mid } else { high = mid }
    }
    Some(0.5 * (low + high))
}
