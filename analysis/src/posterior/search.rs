//! Where the posterior is: the mode of mu for a given s, and the place and width of the posterior of s.

use super::{CentrePrior, HalfLine, HalfNormal};
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
    /// Standard deviation, about; of the steeper side where they differ.
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
        let mut step = newton_step(at, sd);
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

/// A step no longer than likelihoods reach: where all are flat, or all steep, slopes tell little of far away.
fn newton_step(at: Slopes, sd: f64) -> f64 {
    let longest = 8.0 * sd.clamp(0.5, 1.5);
    (at.first * sd * sd).clamp(-longest, longest)
}

fn curvature_sd(second: f64, prior: CentrePrior) -> f64 {
    let floor = 0.01 / (prior.sd() * prior.sd());
    (-second).max(floor).sqrt().recip()
}

/// Laplace's method in mu at one spread: the log of the integral over mu, with the mode. A step that ends near enough is
/// foretold from the slopes where it begins.
fn laplace<D: LogDensity>(units: &mut Units<D>, prior: CentrePrior, s: f64, start: f64) -> (f64, f64) {
    let (mut mu, mut at) = (start, posterior_slopes(units, prior, start, s));
    for _ in 0..2 {
        let sd = curvature_sd(at.second, prior);
        let step = newton_step(at, sd);
        if step.abs() < 0.4 * sd {
            return (at.value + 0.5 * at.first * step + sd.ln(), mu + step);
        }
        let next = posterior_slopes(units, prior, mu + step, s);
        if next.value < at.value {
            break;
        }
        (mu, at) = (mu + step, next);
    }
    let mode = centre_mode(units, prior, s, mu);
    (mode.log_value + mode.sd.ln(), mode.mu)
}

/// Finds the posterior of s on the stretched half line: uphill in strides, which shrink to the width of the peak.
pub(crate) fn spread_shape<D: LogDensity>(
    units: &mut Units<D>,
    prior: CentrePrior,
    spread: HalfNormal,
) -> SpreadShape {
    let line = HalfLine { unit: units.narrowest().min(0.5 * spread.0), step: STRIDE };
    let mut centre = 0.0;
    let peak = climb(line.coordinate(0.8 * spread.0), |t| {
        // Even in t; at zero itself the slopes in mu are not computed by the spread.
        let t = t.abs().max(1e-3);
        let s = line.spread(t);
        let (log_mass, mode) = laplace(units, prior, s, centre);
        centre = mode;
        log_mass + spread.log_density(s) + line.log_jacobian(t)
    });
    let mode = line.spread(peak.place.abs());
    SpreadShape { mode, width: peak.sd * line.jacobian(mode), centre }
}

/// First stride on the stretched half line.
const STRIDE: f64 = 0.5;
/// Drop over a stride, in log units, up to which three points tell a peak's width.
const TELLING: f64 = 2.5;

/// Place and width of a peak.
struct Peak {
    place: f64,
    sd: f64,
}

/// Climbs a function with one peak, until three neighbouring points tell where it is and how wide.
fn climb(start: f64, mut f: impl FnMut(f64) -> f64) -> Peak {
    let (mut t, mut stride) = (start, STRIDE);
    let (mut left, mut middle, mut right) = (f(t - stride), f(t), f(t + stride));
    for _ in 0..200 {
        if left > middle && left >= right {
            (t, right, middle) = (t - stride, middle, left);
            left = f(t - stride);
            continue;
        }
        if right > middle {
            (t, left, middle) = (t + stride, middle, right);
            right = f(t + stride);
            continue;
        }
        let bend = (2.0 * middle - left - right).max(1e-9);
        let shift = 0.5 * (right - left) / bend;
        let steeper = (middle - left).max(middle - right);
        // The steeper side decides: a lattice must resolve it.
        let sd = stride * bend.max(steeper).sqrt().recip();
        if steeper < TELLING {
            return Peak { place: t + shift * stride, sd };
        }
        t += shift * stride;
        stride = (0.25 * stride).max(1.2 * sd).min(0.7 * stride);
        (left, middle, right) = (f(t - stride), f(t), f(t + stride));
    }
    Peak { place: t, sd: stride }
}
