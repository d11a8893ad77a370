//! Trials within growers: a grower's likelihood is the product of its trials' marginals.

use std::convert::Infallible;

use super::clusters::{Cluster, log_coefficient_of};
use super::nested::{Nested, Trials, sharpness};
use super::{Model, Options, Posterior, Slice};
use crate::binomial::Binomial;
use crate::marginal::{LogDensity, Units};
use crate::posterior::{
    CUT, CentrePrior, Column, Fineness, Grid, HalfLine, HalfNormal, SpreadShape, integrate_shaped,
    refined_sweep, spread_shape,
};
use crate::{Count, FitError, Grower};

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
        let binomial =
            |c: &Count| Binomial { started: f64::from(c.started), succeeded: f64::from(c.succeeded) };
        self.distinct.iter().map(binomial).collect()
    }

    /// Log odds of all pieces of a grower together, kept finite by half a piece.
    fn pooled_logit(&self, members: &[(usize, f64)]) -> f64 {
        let sum = |of: fn(Count) -> u32| -> f64 {
            members.iter().map(|(trial, times)| times * f64::from(of(self.distinct[*trial]))).sum()
        };
        ((sum(|c| c.succeeded) + 0.5) / (sum(Count::failed) + 0.5)).ln()
    }

    /// Width of the narrowest trial's likelihood.
    fn narrowest(&self) -> f64 {
        self.binomials().iter().map(LogDensity::sharpness).fold(0.0, f64::max).sqrt().recip()
    }

    fn units(&self, trial_spread: f64) -> Units<Nested> {
        let binomials = self.binomials();
        let of_grower = |members: &Vec<(usize, f64)>| {
            let trials = members.iter().map(|(trial, times)| (binomials[*trial].sharpness(), *times));
            sharpness(trials, trial_spread)
        };
        let narrowest = self.growers.iter().map(of_grower).fold(0.0, f64::max).sqrt().recip();
        let trials = Trials::new(binomials, trial_spread, narrowest);
        let nested =
            |members: &Vec<(usize, f64)>| Nested::new(&trials, members.clone(), self.pooled_logit(members));
        Units::new(self.growers.iter().map(nested).collect(), self.powers.clone())
    }
}

/// Integrates over mu, the spread between growers and the spread between trials.
pub(super) fn integrate_levels(
    clusters: &[Cluster],
    options: &Options,
    fineness: Option<Fineness>,
) -> Posterior {
    let layout = Layout::new(clusters);
    let (grower, trial) = (HalfNormal(options.grower_sd), HalfNormal(options.trial_sd));
    let fineness = fineness.unwrap_or_else(|| Fineness::for_units(layout.powers.iter().sum()));
    let mut known: Option<SpreadShape> = None;
    let mut top = f64::NEG_INFINITY;
    let eval = |spread: f64| {
        let mut units = layout.units(spread);
        let shape = known.unwrap_or_else(|| spread_shape(&mut units, CentrePrior::Logistic, grower));
        let floor = top - CUT - trial.log_density(spread);
        let mut grid = integrate_shaped(&mut units, CentrePrior::Logistic, grower, fineness, &shape, floor);
        if grid.is_coarse(fineness) {
            let shape = spread_shape(&mut units, CentrePrior::Logistic, grower);
            grid = integrate_shaped(&mut units, CentrePrior::Logistic, grower, fineness, &shape, floor);
        }
        known = Some(grid.shape());
        top = top.max(grid.peak + trial.log_density(spread));
        Ok::<_, Infallible>((grid.log_evidence + trial.log_density(spread), (spread, grid)))
    };
    let unit = layout.narrowest().min(0.5 * options.trial_sd);
    let Ok((line, swept)) =
        refined_sweep(HalfLine { unit, step: fineness.stretched }, unit, fineness.spread, CUT, eval);
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

/// The likelihood of the three-level model at any parameters.
pub(crate) struct NestedLikelihood {
    layout: Layout,
}

impl NestedLikelihood {
    pub(crate) fn new(growers: &[Grower]) -> Result<Self, FitError> {
        Ok(Self { layout: Layout::new(&super::clusters::check(growers)?) })
    }

    /// Log likelihood at mu and both spreads.
    pub(crate) fn log_value(&self, mu: f64, sd_grower: f64, sd_trial: f64) -> f64 {
        self.layout.units(sd_trial).log_likelihood(mu, sd_grower) + self.layout.log_coefficient
    }
}
