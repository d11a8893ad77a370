//! A grower's arms as numbers, in blocks that share a deviation.

use super::super::FacetGrower;
use super::super::input::Layout;
use crate::binomial::ln_choose;
use crate::rate::Model;

/// An arm: places of the parameters it depends on, and its counts.
#[derive(Clone, Debug, PartialEq, PartialOrd)]
pub(super) struct Arm {
    pub(super) places: Vec<usize>,
    pub(super) succeeded: f64,
    pub(super) started: f64,
}

/// Arms with one deviation: a trial's in three levels, all of a grower's in two.
pub(super) type Block = Vec<Arm>;

/// A grower.
#[derive(Clone, Debug, PartialEq, PartialOrd)]
pub(super) struct Cluster {
    pub(super) weight: f64,
    pub(super) blocks: Vec<Block>,
}

/// Covariance level × 11' + noise × I of a grower's deviations.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spread {
    pub(super) level: f64,
    pub(super) noise: f64,
}

impl Spread {
    /// Spread between growers, and between trials where blocks are trials.
    pub(super) fn new(model: Model, grower: f64, trial: f64) -> Self {
        match model {
            Model::TwoLevel => Self { level: 0.0, noise: grower * grower },
            Model::ThreeLevel => Self { level: grower * grower, noise: trial * trial },
        }
    }

    /// Appends K a.
    pub(super) fn push_times(self, a: &[f64], out: &mut Vec<f64>) {
        let sum: f64 = a.iter().sum();
        out.extend(a.iter().map(|x| self.level * sum + self.noise * x));
    }

    /// Appends K^-1 f (Sherman & Morrison 1950).
    pub(super) fn push_inverse_times(self, f: &[f64], out: &mut Vec<f64>) {
        let sum: f64 = f.iter().sum();
        let shift = self.level * sum / (self.noise + self.level * f.len() as f64);
        out.extend(f.iter().map(|x| (x - shift) / self.noise));
    }
}

/// Growers that count, in an order of their own, so that the order given does not matter.
pub(super) fn clusters(layout: &Layout, growers: &[FacetGrower], model: Model) -> Vec<Cluster> {
    let counted = growers.iter().filter(|grower| grower.weight > 0.0);
    let mut out: Vec<Cluster> = counted
        .map(|grower| Cluster { weight: grower.weight, blocks: blocks(layout, grower, model) })
        .filter(|cluster| !cluster.blocks.is_empty())
        .collect();
    out.sort_by(|a, b| a.partial_cmp(b).expect("counts and weights are finite"));
    out
}

fn blocks(layout: &Layout, grower: &FacetGrower, model: Model) -> Vec<Block> {
    let trials = grower.trials.iter().map(|trial| {
        let arms = trial.iter().filter(|arm| arm.count.started > 0);
        arms.map(|arm| Arm {
            places: layout.places(&arm.levels),
            succeeded: f64::from(arm.count.succeeded),
            started: f64::from(arm.count.started),
        })
    });
    let mut blocks: Vec<Block> = match model {
        Model::TwoLevel => vec![trials.flatten().collect()],
        Model::ThreeLevel => trials.map(Iterator::collect).collect(),
    };
    blocks.iter_mut().for_each(merge);
    blocks.retain(|block| !block.is_empty());
    blocks.sort_by(|a, b| a.partial_cmp(b).expect("counts are finite"));
    blocks
}

/// Adds arms with the same levels.
fn merge(block: &mut Block) {
    block.sort_by(|a, b| a.partial_cmp(b).expect("counts are finite"));
    block.dedup_by(|other, kept| {
        let same = other.places == kept.places;
        if same {
            kept.succeeded += other.succeeded;
            kept.started += other.started;
        }
        same
    });
}

/// Log of the number of ways, arms of the same levels added.
pub(super) fn log_coefficient(clusters: &[Cluster]) -> f64 {
    let ways = |arm: &Arm| ln_choose(arm.started, arm.succeeded);
    clusters.iter().map(|c| c.weight * c.blocks.iter().flatten().map(ways).sum::<f64>()).sum()
}
