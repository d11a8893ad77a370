//! A grower's likelihood as the product of its trials' marginals at one trial spread.

use std::cell::{OnceCell, RefCell};
use std::collections::BTreeMap;
use std::rc::Rc;

use super::profile::Profile;
use crate::binomial::Binomial;
use crate::marginal::{Axis, CORE, LogDensity, SUPPORT, Units};

/// Log marginals of all distinct trials at one trial spread.
pub(super) struct Trials {
    units: RefCell<Units<Binomial>>,
    count: usize,
    spread: f64,
    /// Log marginals by lattice point and trial, computed when first asked for.
    tables: RefCell<BTreeMap<AxisKey, Rc<RefCell<TrialTable>>>>,
    /// The same for the set of single points asked for last.
    points: RefCell<Option<(AxisKey, Rc<RefCell<TrialTable>>)>>,
}

/// One grower: how often each distinct trial occurs, and the log odds of all its pieces together.
pub(super) struct Nested {
    trials: Rc<Trials>,
    members: Vec<(usize, f64)>,
    centre: f64,
    profile: OnceCell<Profile>,
}

/// First and last point and number of points of an axis.
type AxisKey = (u64, u64, usize);

/// Log marginals of all trials at the points of one lattice.
struct TrialTable {
    values: Vec<f64>,
    /// Which points have been visited.
    visited: Vec<bool>,
}

impl TrialTable {
    fn empty(points: usize, trials: usize) -> Rc<RefCell<Self>> {
        Rc::new(RefCell::new(Self { values: vec![f64::NAN; points * trials], visited: vec![false; points] }))
    }
}

impl Trials {
    pub(super) fn new(densities: Vec<Binomial>, spread: f64) -> Rc<Self> {
        let count = densities.len();
        let units = RefCell::new(Units::new(densities, vec![1.0; count]));
        Rc::new(Self { units, count, spread, tables: RefCell::default(), points: RefCell::default() })
    }

    fn table(&self, axis: &Axis) -> Rc<RefCell<TrialTable>> {
        let last = axis.len() - 1;
        let key = (axis.theta(0).to_bits(), axis.theta(last).to_bits(), axis.len());
        let empty = || TrialTable::empty(axis.len(), self.count);
        if axis.is_lattice() {
            return Rc::clone(self.tables.borrow_mut().entry(key).or_insert_with(empty));
        }
        let mut points = self.points.borrow_mut();
        match points.as_ref() {
            Some((known, table)) if *known == key => Rc::clone(table),
            _ => Rc::clone(&points.insert((key, empty())).1),
        }
    }

    fn log_marginal(&self, trial: usize, theta: f64) -> f64 {
        self.units.borrow_mut().log_marginal(trial, theta, self.spread)
    }
}

impl Nested {
    /// A grower with these trials (how often each occurs); `centre` is about where its likelihood peaks.
    pub(super) fn new(trials: &Rc<Trials>, members: Vec<(usize, f64)>, centre: f64) -> Self {
        Self { trials: Rc::clone(trials), members, centre, profile: OnceCell::new() }
    }

    /// Log value computed anew.
    fn exact(&self, theta: f64) -> f64 {
        self.members.iter().map(|(trial, times)| times * self.trials.log_marginal(*trial, theta)).sum()
    }

    fn profile(&self) -> &Profile {
        let step = 0.5 * self.sharpness().sqrt().recip();
        self.profile.get_or_init(|| Profile::new(|theta| self.exact(theta), self.centre, step))
    }

    /// Log value at point `k` of an axis, by way of its table.
    fn at_point(&self, axis: &Axis, table: &mut TrialTable, k: usize) -> f64 {
        let count = self.trials.count;
        let (theta, row) = (axis.theta(k), &mut table.values[k * count..(k + 1) * count]);
        if !table.visited[k] {
            table.visited[k] = true;
            self.trials.units.borrow_mut().quick_marginals(theta, self.trials.spread, row);
        }
        let value = |(trial, times): &(usize, f64)| {
            let cell = &mut row[*trial];
            if cell.is_nan() {
                *cell = self.trials.log_marginal(*trial, theta);
            }
            times * *cell
        };
        self.members.iter().map(value).sum()
    }

    /// Fills one side of a lattice from `start`: exactly in the core, from there on along the last slope, which a
    /// log-concave function never exceeds.
    fn fill_side(&self, axis: &Axis, table: &mut TrialTable, out: &mut [f64], start: i64, direction: i64) {
        let mut top = out[start as usize];
        let mut before = top;
        let mut slope = None;
        let mut k = start + direction;
        while (0..out.len() as i64).contains(&k) {
            let value = slope.map_or_else(|| self.at_point(axis, table, k as usize), |slope| before + slope);
            out[k as usize] = value;
            top = top.max(value);
            if value < top - SUPPORT - 1.0 {
                return;
            }
            if value < top - CORE - 2.0 {
                slope.get_or_insert(value - before);
            }
            before = value;
            k += direction;
        }
    }
}

impl LogDensity for Nested {
    fn fill(&self, axis: &Axis, out: &mut [f64]) {
        let table = self.trials.table(axis);
        let mut table = table.borrow_mut();
        if !axis.is_lattice() {
            let values = out.iter_mut().enumerate();
            values.for_each(|(k, value)| *value = self.at_point(axis, &mut table, k));
            return;
        }
        let last = axis.len() as i64 - 1;
        let start = ((self.centre / axis.step()).round() as i64 - axis.first()).clamp(0, last);
        out.fill(f64::NEG_INFINITY);
        out[start as usize] = self.at_point(axis, &mut table, start as usize);
        self.fill_side(axis, &mut table, out, start, 1);
        self.fill_side(axis, &mut table, out, start, -1);
    }

    fn at(&self, theta: f64) -> f64 {
        self.profile().at(theta)
    }

    fn derivatives(&self, theta: f64) -> (f64, f64) {
        self.profile().derivatives(theta)
    }

    fn sharpness(&self) -> f64 {
        let units = self.trials.units.borrow();
        let square = self.trials.spread * self.trials.spread;
        let of = |index: usize| units.densities()[index].sharpness();
        self.members.iter().map(|(index, times)| times * of(*index) / (1.0 + square * of(*index))).sum()
    }
}
