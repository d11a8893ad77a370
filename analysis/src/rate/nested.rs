//! A grower's likelihood as the product of its trials' marginals at one trial spread.
//!
//! Log likelihoods are computed on one lattice, fine enough for any point between to follow by interpolation, and
//! shared by all growers.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::profile::{Place, Profile};
use crate::binomial::Binomial;
use crate::marginal::{Axis, LogDensity, SUPPORT, Units};

/// Log marginals of all distinct trials at one trial spread.
pub(super) struct Trials {
    units: RefCell<Units<Binomial>>,
    count: usize,
    spread: f64,
    /// Log marginals of all trials by point of the lattice, computed when first asked for.
    rows: RefCell<BTreeMap<i64, Vec<f64>>>,
    /// Where the points of an axis lie on the lattice, for the axis asked for last.
    places: RefCell<Option<(AxisKey, Rc<Vec<Place>>)>>,
    /// Lattice step.
    step: f64,
}

/// One grower: how often each distinct trial occurs, and the log odds of all its pieces together.
pub(super) struct Nested {
    trials: Rc<Trials>,
    members: Vec<(usize, f64)>,
    centre: f64,
    profile: RefCell<Profile>,
}

/// First and last point and number of points of an axis.
type AxisKey = (u64, u64, usize);

impl Trials {
    /// Trials at one spread, for growers whose narrowest likelihood is `narrowest` wide.
    pub(super) fn new(densities: Vec<Binomial>, spread: f64, narrowest: f64) -> Rc<Self> {
        // Interpolation by eight points of a function that bends on this scale errs by less than 1e-10.
        let step = (0.4 * narrowest).min(0.25);
        let count = densities.len();
        let units = RefCell::new(Units::new(densities, vec![1.0; count]));
        Rc::new(Self { units, count, spread, rows: RefCell::default(), places: RefCell::default(), step })
    }

    fn places(&self, axis: &Axis) -> Rc<Vec<Place>> {
        let last = axis.len() - 1;
        let key = (axis.theta(0).to_bits(), axis.theta(last).to_bits(), axis.len());
        let mut places = self.places.borrow_mut();
        match places.as_ref() {
            Some((known, places)) if *known == key => Rc::clone(places),
            _ => {
                let place = |k: usize| Place::new(axis.theta(k) / self.step);
                Rc::clone(&places.insert((key, Rc::new((0..=last).map(place).collect()))).1)
            }
        }
    }

    /// Sum over `members` at lattice point `k`.
    fn sum(&self, k: i64, members: &[(usize, f64)]) -> f64 {
        let theta = k as f64 * self.step;
        let mut rows = self.rows.borrow_mut();
        let row = rows.entry(k).or_insert_with(|| {
            let mut row = vec![0.0; self.count];
            self.units.borrow_mut().quick_marginals(theta, self.spread, &mut row);
            row
        });
        let value = |(trial, times): &(usize, f64)| {
            let cell = &mut row[*trial];
            if cell.is_nan() {
                *cell = self.units.borrow_mut().log_marginal(*trial, theta, self.spread);
            }
            times * *cell
        };
        members.iter().map(value).sum()
    }
}

impl Nested {
    /// A grower with these trials (how often each occurs); `centre` is about where its likelihood peaks.
    pub(super) fn new(trials: &Rc<Trials>, members: Vec<(usize, f64)>, centre: f64) -> Self {
        let middle = (centre / trials.step).round() as i64;
        let profile = RefCell::new(Profile::new(middle, trials.sum(middle, &members)));
        Self { trials: Rc::clone(trials), members, centre, profile }
    }

    /// The profile, known between `low` and `high` and a little further.
    fn reach(&self, low: i64, high: i64) {
        self.profile.borrow_mut().reach(low, high, |k| self.trials.sum(k, &self.members));
    }

    /// Fills one side of a lattice from `start` until the value has vanished.
    fn fill_side(profile: &Profile, places: &[Place], out: &mut [f64], points: impl Iterator<Item = usize>) {
        let mut top = f64::NEG_INFINITY;
        for k in points {
            out[k] = profile.at(&places[k]);
            top = top.max(out[k]);
            if out[k] < top - SUPPORT - 1.0 {
                return;
            }
        }
    }
}

impl LogDensity for Nested {
    fn fill(&self, axis: &Axis, out: &mut [f64]) {
        let places = self.trials.places(axis);
        let last = places.len() - 1;
        self.reach(places[0].cell, places[last].cell);
        let profile = self.profile.borrow();
        if !axis.is_lattice() {
            out.iter_mut().zip(places.iter()).for_each(|(value, place)| *value = profile.at(place));
            return;
        }
        let start =
            ((self.centre / axis.step()).round() as i64 - axis.first()).clamp(0, last as i64) as usize;
        out.fill(f64::NEG_INFINITY);
        Self::fill_side(&profile, &places, out, start..=last);
        Self::fill_side(&profile, &places, out, (0..=start).rev());
    }

    fn at(&self, theta: f64) -> f64 {
        let place = Place::new(theta / self.trials.step);
        self.reach(place.cell, place.cell);
        self.profile.borrow().at(&place)
    }

    fn derivatives(&self, theta: f64) -> (f64, f64) {
        let place = Place::new(theta / self.trials.step);
        self.reach(place.cell, place.cell);
        let (first, second) = self.profile.borrow().differences(&place);
        (first / self.trials.step, second / (self.trials.step * self.trials.step))
    }

    fn sharpness(&self) -> f64 {
        let units = self.trials.units.borrow();
        let of = |index: usize| units.densities()[index].sharpness();
        sharpness(self.members.iter().map(|(index, times)| (of(*index), *times)), self.trials.spread)
    }
}

/// Sharpness of a product of trials (each with how often it occurs) at one trial spread.
pub(super) fn sharpness(trials: impl Iterator<Item = (f64, f64)>, spread: f64) -> f64 {
    trials.map(|(sharp, times)| times * sharp / (1.0 + spread * spread * sharp)).sum()
}
