//! One grower with the deviations integrated out of the quadratic approximation.
//!
//! A block's arms have weights w and working values z around log odds x g + f, f being the block's deviation. With W = sum
//! of w, and means of x and z by these weights, the block is one observation of precision W on its mean; between blocks
//! (W^-1 + K)^-1 = diag(e) - shrink e e' with K = level 11' + noise I, e = W / (1 + noise W) and shrink = level / (1 +
//! level sum e) (Sherman & Morrison 1950).

use super::cluster::{Arm, Cluster, Spread};
use super::sparse::Sparse;
use crate::logit::logistic;
use crate::matrix::Matrix;

/// What is left of an arm: its weight, weight times working value, and the third derivative of its log likelihood.
#[derive(Clone, Copy, Debug)]
struct ArmLeft {
    weight: f64,
    weighted: f64,
    third: f64,
}

/// What is left of a block.
#[derive(Clone, Debug, Default)]
struct BlockLeft {
    arms: Vec<ArmLeft>,
    /// W.
    weight: f64,
    /// 1 / (1 + noise W).
    kept: f64,
    /// Mean of the arms' rows of the design.
    row: Sparse,
    /// Mean of their working values.
    working: f64,
}

impl BlockLeft {
    /// e.
    fn precision(&self) -> f64 {
        self.weight * self.kept
    }
}

/// What is left of a grower.
#[derive(Clone, Debug, Default)]
pub(super) struct Eliminated {
    power: f64,
    blocks: Vec<BlockLeft>,
    shrink: f64,
    noise: f64,
    /// Sums of e times row and of e times working value.
    pulled: Sparse,
    pulled_working: f64,
    log_determinant: f64,
}

impl ArmLeft {
    fn new(arm: &Arm, eta: f64) -> Self {
        let p = logistic(eta);
        let bend = arm.started * p * (1.0 - p);
        let weight = bend.max(1e-12);
        let weighted = weight * eta + arm.succeeded - arm.started * p;
        Self { weight, weighted, third: -bend * (1.0 - 2.0 * p) }
    }
}

/// Log odds of an arm without its deviation.
pub(super) fn base(global: &[f64], arm: &Arm) -> f64 {
    arm.places.iter().map(|place| global[*place]).sum()
}

fn block_left(arms: &[Arm], deviation: f64, global: &[f64], noise: f64) -> BlockLeft {
    let left: Vec<ArmLeft> =
        arms.iter().map(|arm| ArmLeft::new(arm, base(global, arm) + deviation)).collect();
    let weight: f64 = left.iter().map(|arm| arm.weight).sum();
    let mut row = Sparse::default();
    for (arm, part) in arms.iter().zip(&left) {
        arm.places.iter().for_each(|place| row.add(*place, part.weight / weight));
    }
    let working = left.iter().map(|arm| arm.weighted).sum::<f64>() / weight;
    BlockLeft { arms: left, weight, kept: 1.0 / (1.0 + noise * weight), row, working }
}

impl Eliminated {
    pub(super) fn new(cluster: &Cluster, deviations: &[f64], global: &[f64], spread: Spread) -> Self {
        let mut out = Self { power: cluster.weight, noise: spread.noise, ..Self::default() };
        let mut total = 0.0;
        for (arms, deviation) in cluster.blocks.iter().zip(deviations) {
            let block = block_left(arms, *deviation, global, spread.noise);
            let precision = block.precision();
            total += precision;
            out.log_determinant -= block.kept.ln();
            out.pulled.add_times(precision, &block.row);
            out.pulled_working += precision * block.working;
            out.blocks.push(block);
        }
        out.shrink = spread.level / (1.0 + spread.level * total);
        out.log_determinant += (spread.level * total).ln_1p();
        out
    }

    /// Log determinant of identity plus weights times the deviations' covariance.
    pub(super) fn log_determinant(&self) -> f64 {
        self.power * self.log_determinant
    }

    /// Adds the grower to the equations of the global parameters.
    pub(super) fn add_to(&self, cluster: &Cluster, information: &mut Matrix, right: &mut [f64]) {
        for (arms, block) in cluster.blocks.iter().zip(&self.blocks) {
            for (arm, left) in arms.iter().zip(&block.arms) {
                for a in &arm.places {
                    right[*a] += self.power * left.weighted;
                    arm.places.iter().for_each(|b| information[(*a, *b)] += self.power * left.weight);
                }
            }
            let scale = self.power * (block.precision() - block.weight);
            block.row.add_outer(scale, information);
            block.row.add_into(scale * block.working, right);
        }
        let scale = -self.power * self.shrink;
        self.pulled.add_outer(scale, information);
        self.pulled.add_into(scale * self.pulled_working, right);
    }

    /// Appends K^-1 f at new global parameters: (W^-1 + K)^-1 (z - x g).
    pub(super) fn push_multipliers(&self, global: &[f64], out: &mut Vec<f64>) {
        let rest = |block: &BlockLeft| block.working - block.row.dot(global);
        let total = self.pulled_working - self.pulled.dot(global);
        out.extend(self.blocks.iter().map(|b| b.precision() * (rest(b) - self.shrink * total)));
    }

    /// Calls `visit` for every arm with the derivative of its log odds by the global parameters (deviations moving along),
    /// their variance given these, and the third derivative of the arm's log likelihood.
    pub(super) fn visit_arms(&self, cluster: &Cluster, mut visit: impl FnMut(&Sparse, f64, f64)) {
        for (arms, block) in cluster.blocks.iter().zip(&self.blocks) {
            let own = self.noise * block.kept + self.shrink * block.kept * block.kept;
            for (arm, left) in arms.iter().zip(&block.arms) {
                let mut moved = Sparse::default();
                arm.places.iter().for_each(|place| moved.add(*place, 1.0));
                moved.add_times(block.kept - 1.0, &block.row);
                moved.add_times(-block.kept * self.shrink, &self.pulled);
                visit(&moved, own, self.power * left.third);
            }
        }
    }
}
