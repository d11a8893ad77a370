//! Trials within growers: a grower's likelihood is the product of its trials' marginals.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::rc::Rc;

use super::clusters::{Cluster, log_coefficient_of};
use super::{Model, Options, Posterior, Slice};
use crate::binomial::Binomial;
use crate::marginal::{Axis, LogDensity, Units};
use crate::posterior::{
    CentrePrior, Column, Fineness, Grid, HalfNormal, half_line_shape, integrate_shaped, spread_shape, sweep,
};
use crate::Count;

/// Log marginals of all distinct trials at one trial spread.
struct Trials {
    units: RefCell<Units<Binomial>>,
    spread: f64,
    /// Log marginals by lattice point, for the lattices asked for so far.
    tables: RefCell<BTreeMap<(i64, usize, u64), Rc<Vec<Vec<f64>>>>>,
}

/// One grower: how often each distinct trial occurs.
struct Nested {
    trials: Rc<Trials>,
    members: Vec<(usize, f64)>,
}

impl Trials {
    fn table(&self, axis: &Axis) -> Rc<Vec<Vec<f64>>> {
        let key = (axis.first(), axis.len(), axis.step().to_bits());
        if let Some(table) = self.tables.borrow().get(&key) {
            return Rc::clone(table);
        }
        let mut units = self.units.borrow_mut();
        let rows = (0..axis.len()).map(|k| units.log_marginals(axis.theta(k), self.spread)).collect();
        let table = Rc::new(rows);
        self.tables.borrow_mut().insert(key, Rc::clone(&table));
        table
    }
}

impl LogDensity for Nested {
    fn fill(&self, axis: &Axis, out: &mut [f64]) {
        let table = self.trials.table(axis);
        for (value, row) in out.iter_mut().zip(table.iter()) {
            *value = self.members.iter().map(|(index, times)| times * row[*index]).sum();
        }
    }

    fn at(&self, theta: f64) -> f64 {
        let mut units = self.trials.units.borrow_mut();
        let spread = self.trials.spread;
        self.members.iter().map(|(index, times)| times * units.log_marginal(*index, theta, spread)).sum()
    }

    fn sharpness(&self) -> f64 {
        let units = self.trials.units.borrow();
        let square = self.trials.spread * self.trials.spread;
        let of = |index: usize| units.densities()[index].sharpness();
        self.members.iter().map(|(index, times)| times * of(*index) / (1.0 + square * of(*index))).sum()
    }
}

/// Growers as lists of distinct trials; equal growers are one with their powers added.
struct Layout {
    distinct: Vec<Count>,
    growers: Vec<Vec<(usize, f64)>>,
    powers: Vec<f64>,
    log_coefficient: f64,
}

impl Layout {
    /// `clusters` are sorted, so equal ones are neighbours.
    fn new(clusters: &[Cluster]) -> Self {
        let mut distinct: Vec<Count> = clusters.iter().flat_map(|c| c.trials.iter().copied()).collect();
        distinct.sort_unstable();
        distinct.dedup();
        let mut layout = Self { distinct, growers: Vec::new(), powers: Vec::new(), log_coefficient: 0.0 };
        for cluster in clusters {
            layout.push(cluster);
        }
        layout
    }

    fn push(&mut self, cluster: &Cluster) {
        let mut members: Vec<(usize, f64)> = Vec::new();
        for trial in &cluster.trials {
            self.log_coefficient += cluster.power * log_coefficient_of(*trial);
            let index = self.distinct.binary_search(trial).expect("every trial was listed");
            match members.last_mut() {
                Some(last) if last.0 == index => last.1 += 1.0,
                _ => members.push((index, 1.0)),
            }
        }
        if self.growers.last() == Some(&members) {
            *self.powers.last_mut().expect("one power a grower") += cluster.power;
        } else {
            self.growers.push(members);
            self.powers.push(cluster.power);
        }
    }

    fn binomials(&self) -> Vec<Binomial> {
        let binomial = |c: &Count| Binomial { started: f64::from(c.started), succeeded: f64::from(c.succeeded) };
        self.distinct.iter().map(binomial).collect()
    }

    /// Width of the narrowest trial's likelihood.
    fn narrowest(&self) -> f64 {
        self.binomials().iter().map(LogDensity::sharpness).fold(0.0, f64::max).sqrt().recip()
    }

    fn units(&self, trial_spread: f64) -> Units<Nested> {
        let densities = self.binomials();
        let ones = vec![1.0; densities.len()];
        let trials = Rc::new(Trials {
            units: RefCell::new(Units::new(densities, ones)),
            spread: trial_spread,
            tables: RefCell::default(),
        });
        let nested = |members: &Vec<(usize, f64)>| Nested { trials: Rc::clone(&trials), members: members.clone() };
        Units::new(self.growers.iter().map(nested).collect(), self.powers.clone())
    }
}

/// Integrates over mu, the spread between growers and the spread between trials.
pub(super) fn integrate_levels(clusters: &[Cluster], options: &Options, fineness: Option<Fineness>) -> Posterior {
    let layout = Layout::new(clusters);
    let (grower, trial) = (HalfNormal(options.grower_sd), HalfNormal(options.trial_sd));
    let fineness = fineness.unwrap_or_else(|| Fineness::for_units(layout.powers.iter().sum()));
    let mut outline = |spread: f64| {
        let mut units = layout.units(spread);
        spread_shape(&mut units, CentrePrior::Logistic, grower).log_mass + trial.log_density(spread)
    };
    let outer = half_line_shape(&mut outline, options.trial_sd);
    let unit = layout.narrowest().min(0.5 * options.trial_sd);
    let line = fineness.half_line(unit, outer.mode, outer.width);
    let swept = sweep(line, outer.mode, |spread| {
        let mut units = layout.units(spread);
        let shape = spread_shape(&mut units, CentrePrior::Logistic, grower);
        let grid = integrate_shaped(&mut units, CentrePrior::Logistic, grower, fineness, &shape);
        (grid.log_evidence + trial.log_density(spread), (spread, grid))
    });
    let (log_evidence, shares) = swept.shares(line);
    let items = swept.items.into_iter().zip(shares);
    Posterior {
        model: Model::ThreeLevel,
        slices: items.map(|(item, share)| slice(item.value.0, item.value.1, share)).collect(),
        trial_line: Some((line, swept.first)),
        log_evidence: log_evidence + layout.log_coefficient,
    }
}

fn slice(trial_spread: f64, mut grid: Grid, share: f64) -> Slice {
    let scaled = |column: Column| {
        let mass = column.mass() * share;
        column.normalised(mass)
    };
    grid.columns = grid.columns.into_iter().map(scaled).collect();
    Slice { trial_spread, grid }
}
