//! A log-concave function known on a lattice of its core, and extrapolated beyond.

use crate::marginal::CORE;

/// Most lattice points to either side.
const MOST_POINTS: usize = 400;

/// Log values at first + k × step; quadratic beyond both ends.
#[derive(Clone, Debug)]
pub(super) struct Profile {
    first: f64,
    step: f64,
    logs: Vec<f64>,
}

impl Profile {
    /// Evaluates `f` outwards from `centre` until it has left its core on both sides.
    pub(super) fn new(f: impl Fn(f64) -> f64, centre: f64, step: f64) -> Self {
        let middle = f(centre);
        let mut top = middle;
        let mut side = |direction: f64| {
            let mut values = Vec::new();
            for k in 1..=MOST_POINTS {
                let value = f(centre + direction * k as f64 * step);
                values.push(value);
                top = top.max(value);
                if value < top - CORE && k > 2 {
                    break;
                }
            }
            values
        };
        let (right, left) = (side(1.0), side(-1.0));
        let first = centre - left.len() as f64 * step;
        let logs = left.into_iter().rev().chain([middle]).chain(right).collect();
        Self { first, step, logs }
    }

    /// The three points that a place (in steps) is interpolated or extrapolated from: value, slope and bend of the
    /// parabola at the middle one, and the distance from it.
    fn parabola(&self, theta: f64) -> (f64, f64, f64, f64) {
        let place = (theta - self.first) / self.step;
        let middle = (place.round().max(1.0) as usize).min(self.logs.len() - 2);
        let (a, b, c) = (self.logs[middle - 1], self.logs[middle], self.logs[middle + 1]);
        (b, 0.5 * (c - a), (a - 2.0 * b + c).min(0.0), place - middle as f64)
    }

    pub(super) fn at(&self, theta: f64) -> f64 {
        let (value, slope, bend, u) = self.parabola(theta);
        value + slope * u + 0.5 * bend * u * u
    }

    pub(super) fn derivatives(&self, theta: f64) -> (f64, f64) {
        let (_, slope, bend, u) = self.parabola(theta);
        ((slope + bend * u) / self.step, bend / (self.step * self.step))
    }
}
