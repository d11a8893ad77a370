//! A log-concave function known on a lattice of its core, interpolated there and extrapolated beyond.

/// Log units below its peak where a function counts as known well enough to go on straight.
const CORE: f64 = 18.0;
/// Points to either side of a place that its interpolation takes.
const SIDE: i64 = 4;
/// A change from point to point that is as good as none.
const FLAT: f64 = 1e-10;

/// Where a point lies on the lattice: the cell, and the weights of the eight lattice points around it.
#[derive(Clone, Debug)]
pub(super) struct Place {
    pub(super) cell: i64,
    within: f64,
    weights: [f64; 2 * SIDE as usize],
}

impl Place {
    /// A place in lattice steps from zero.
    pub(super) fn new(steps: f64) -> Self {
        let cell = steps.floor();
        let within = steps - cell;
        Self { cell: cell as i64, within, weights: lagrange(within) }
    }
}

/// Lagrange's weights of the points -3..=4 at `u` in 0..1.
fn lagrange(u: f64) -> [f64; 8] {
    // Products of the other points' distances.
    const DENOMINATORS: [f64; 8] = [-5_040.0, 720.0, -240.0, 144.0, -144.0, 240.0, -720.0, 5_040.0];
    let distance: [f64; 8] = std::array::from_fn(|i| u - (i as f64 - 3.0));
    let (mut before, mut after) = ([1.0; 8], [1.0; 8]);
    for i in 1..8 {
        before[i] = before[i - 1] * distance[i - 1];
        after[7 - i] = after[8 - i] * distance[8 - i];
    }
    std::array::from_fn(|i| before[i] * after[i] / DENOMINATORS[i])
}

/// Log values at whole lattice points from `first` on; straight beyond both ends.
#[derive(Clone, Debug)]
pub(super) struct Profile {
    first: i64,
    logs: std::collections::VecDeque<f64>,
    top: f64,
    /// Points known outside the core, or where the function is flat: left and right.
    spent: [i64; 2],
}

impl Profile {
    /// A profile known at one point.
    pub(super) fn new(first: i64, value: f64) -> Self {
        Self { first, logs: [value].into(), top: value, spent: [0; 2] }
    }

    fn last(&self) -> i64 {
        self.first + self.logs.len() as i64 - 1
    }

    /// Evaluates `f` at further points until everything in cells `low..=high` can be interpolated, or the core ends.
    pub(super) fn reach(&mut self, low: i64, high: i64, f: impl Fn(i64) -> f64) {
        while self.last() < high + SIDE && self.spent[1] <= SIDE {
            let value = f(self.last() + 1);
            let before = self.logs[self.logs.len() - 1];
            self.spent[1] += self.is_spent(value, before);
            self.logs.push_back(value);
        }
        while self.first > low - SIDE && self.spent[0] <= SIDE {
            let value = f(self.first - 1);
            let before = self.logs[0];
            self.spent[0] += self.is_spent(value, before);
            self.logs.push_front(value);
            self.first -= 1;
        }
        self.logs.make_contiguous();
    }

    fn is_spent(&mut self, value: f64, before: f64) -> i64 {
        self.top = self.top.max(value);
        i64::from(value < self.top - CORE || (value - before).abs() < FLAT)
    }

    /// Value at a place within reach.
    pub(super) fn at(&self, place: &Place) -> f64 {
        let start = place.cell + 1 - SIDE - self.first;
        if start >= 0 && place.cell + SIDE <= self.last() {
            // In one piece since it was last extended.
            let near = &self.logs.as_slices().0[start as usize..start as usize + 8];
            return near.iter().zip(&place.weights).map(|(value, w)| value * w).sum();
        }
        // The straight line through the two nearest points, which a log-concave function does not exceed.
        let left = place.cell.clamp(self.first, (self.last() - 1).max(self.first)) - self.first;
        let a = self.logs[left as usize];
        let b = self.logs.get(left as usize + 1).copied().unwrap_or(a);
        a + (b - a) * ((place.cell - self.first - left) as f64 + place.within)
    }

    /// First and second differences at a place, by the parabola through the three nearest points.
    pub(super) fn differences(&self, place: &Place) -> (f64, f64) {
        if self.logs.len() < 3 {
            return (0.0, 0.0);
        }
        let nearest = place.cell + i64::from(place.within > 0.5);
        let middle = nearest.clamp(self.first + 1, self.last() - 1);
        let k = (middle - self.first) as usize;
        let (a, b, c) = (self.logs[k - 1], self.logs[k], self.logs[k + 1]);
        let bend = (a - 2.0 * b + c).min(0.0);
        let within = (place.cell - middle) as f64 + place.within;
        // Beyond both ends the function is straight.
        (0.5 * (c - a) + bend * within.clamp(-1.0, 1.0), bend)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn polynomials_of_degree_seven_are_exact() {
        let f = |x: f64| 1.0 - 0.3 * x + 0.02 * x.powi(5) - 0.001 * x.powi(7);
        let mut profile = Profile::new(0, 1.0);
        profile.reach(-1, 2, |k| f(k as f64));
        for steps in [-0.75, 0.0, 0.25, 1.9] {
            let place = Place::new(steps);
            assert!((profile.at(&place) - f(steps)).abs() < 1e-11, "{steps}");
        }
    }

    #[test]
    fn the_core_ends_where_nothing_is_left() {
        let mut profile = Profile::new(0, 0.0);
        profile.reach(-1_000, 1_000, |k| -0.1 * (k as f64).powi(2));
        assert!(profile.logs.len() < 50);
        let far = profile.at(&Place::new(500.5));
        assert!(far < -100.0 && far.is_finite(), "{far}");
    }
}
