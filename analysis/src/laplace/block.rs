//! One grower: own effects and arms integrated out of the quadratic approximation.
//!
//! With w the curvature of an arm's log likelihood, v the variance of A and k = 1 / (1 + w v), eliminating A leaves the arm the
//! curvature w k and the slope of the log likelihood less w times A's own step. What is left of the grower's own effects is
//! eliminated by the Cholesky factor of their information.

use super::Variances;
use crate::FitError;
use crate::logit::{log_logistic_pair, logistic};
use crate::matrix::Matrix;
use crate::newton::factored;

/// An arm, with the places of its effects.
#[derive(Clone, Debug, PartialEq, PartialOrd)]
pub(crate) struct LaplaceArm {
    pub(crate) succeeded: f64,
    pub(crate) started: f64,
    /// Global effects.
    pub(crate) global: Vec<usize>,
    /// The grower's own effects.
    pub(crate) own: Vec<usize>,
}

/// A grower.
#[derive(Clone, Debug, PartialEq, PartialOrd)]
pub(crate) struct Block {
    pub(super) arms: Vec<LaplaceArm>,
    /// Kind of each own effect: which of the variances it has.
    pub(super) kinds: Vec<usize>,
    /// Power on the marginal likelihood.
    pub(super) weight: f64,
    /// Global effects of any of its arms, in rising order.
    touched: Vec<usize>,
}

/// Values, or changes, of a grower's own effects and of its arms.
#[derive(Clone, Debug)]
pub(super) struct BlockAt {
    pub(super) own: Vec<f64>,
    pub(super) arms: Vec<f64>,
}

/// What is left of an arm.
#[derive(Clone, Copy, Debug)]
struct ArmLeft {
    curvature: f64,
    /// k of the module's text.
    kept: f64,
    /// Slope of the log likelihood, before and after A is eliminated.
    full: f64,
    slope: f64,
    /// Third derivative of the log likelihood.
    third: f64,
}

/// What is left of a grower.
pub(super) struct Eliminated {
    arms: Vec<ArmLeft>,
    /// Cholesky factor of the information of its own effects.
    factor: Matrix,
    /// Information of own effects with each of the block's global effects.
    crossed: Matrix,
    /// Change of own effects by one of each global effect: minus this.
    carried: Matrix,
    /// Change of own effects where the global ones stay.
    alone: Vec<f64>,
    touched: Vec<usize>,
    /// Log determinants of the information of own effects and arms, relative to their prior's.
    pub(super) log_determinant: f64,
}

impl Block {
    /// From arms, the kind of each own effect, and the power on the marginal likelihood.
    pub(crate) fn new(arms: Vec<LaplaceArm>, kinds: Vec<usize>, weight: f64) -> Self {
        let mut touched: Vec<usize> = arms.iter().flat_map(|arm| arm.global.iter().copied()).collect();
        touched.sort_unstable();
        touched.dedup();
        Self { arms, kinds, weight, touched }
    }

    pub(super) fn start(&self) -> BlockAt {
        BlockAt { own: vec![0.0; self.kinds.len()], arms: vec![0.0; self.arms.len()] }
    }

    pub(super) fn log_odds(arm: &LaplaceArm, global: &[f64], own: &[f64]) -> f64 {
        arm.global.iter().map(|k| global[*k]).sum::<f64>() + arm.own.iter().map(|k| own[*k]).sum::<f64>()
    }

    /// Log likelihood without coefficients, and normal exponents.
    pub(super) fn value(&self, variances: &Variances, global: &[f64], at: &BlockAt) -> f64 {
        let mut sum = 0.0;
        for (arm, deviation) in self.arms.iter().zip(&at.arms) {
            let (p, q) = log_logistic_pair(Self::log_odds(arm, global, &at.own) + deviation);
            sum += arm.succeeded * p + (arm.started - arm.succeeded) * q;
            sum -= 0.5 * deviation * deviation / variances.arm;
        }
        for (value, kind) in at.own.iter().zip(&self.kinds) {
            sum -= 0.5 * value * value / variances.own[*kind];
        }
        sum
    }
}

impl Eliminated {
    pub(super) fn new(
        block: &Block,
        variances: &Variances,
        global: &[f64],
        at: &BlockAt,
    ) -> Result<Self, FitError> {
        let touched = &block.touched;
        let place = |k: usize| touched.binary_search(&k).expect("all are listed");
        let own = block.kinds.len();
        let (mut information, mut crossed) = (Matrix::zeros(own, own), Matrix::zeros(own, touched.len()));
        let mut right = vec![0.0; own];
        let mut log_determinant = 0.0;
        for (k, (value, kind)) in at.own.iter().zip(&block.kinds).enumerate() {
            let variance = variances.own[*kind];
            information[(k, k)] = variance.recip();
            right[k] = -value / variance;
            log_determinant += variance.ln();
        }
        let mut arms = Vec::with_capacity(block.arms.len());
        for (arm, deviation) in block.arms.iter().zip(&at.arms) {
            let left = ArmLeft::new(arm, Block::log_odds(arm, global, &at.own), *deviation, variances.arm);
            log_determinant -= left.kept.ln();
            for a in &arm.own {
                right[*a] += left.slope;
                arm.own.iter().for_each(|b| information[(*a, *b)] += left.precision());
                arm.global.iter().for_each(|b| crossed[(*a, place(*b))] += left.precision());
            }
            arms.push(left);
        }
        let factor = factored(&information)?;
        log_determinant += factor.log_determinant_factored();
        let mut carried = Matrix::zeros(own, touched.len());
        for column in 0..touched.len() {
            let solved = factor.solve_factored(&(0..own).map(|k| crossed[(k, column)]).collect::<Vec<_>>());
            solved.iter().enumerate().for_each(|(k, value)| carried[(k, column)] = *value);
        }
        let alone = factor.solve_factored(&right);
        Ok(Self { arms, factor, crossed, carried, alone, touched: block.touched.clone(), log_determinant })
    }

    /// Adds the grower to the equations of the global effects: to the lower half of their information.
    pub(super) fn add_to(&self, block: &Block, information: &mut Matrix, right: &mut [f64]) {
        for (arm, left) in block.arms.iter().zip(&self.arms) {
            let weight = block.weight * left.precision();
            let pulled: f64 = arm.own.iter().map(|k| self.alone[*k]).sum();
            for a in &arm.global {
                right[*a] += block.weight * left.slope - weight * pulled;
                for b in arm.global.iter().filter(|b| *b <= a) {
                    information[(*a, *b)] += weight;
                }
            }
        }
        for (i, a) in self.touched.iter().enumerate() {
            for (j, b) in self.touched[..=i].iter().enumerate() {
                let carried: f64 =
                    (0..block.kinds.len()).map(|k| self.crossed[(k, i)] * self.carried[(k, j)]).sum();
                information[(*a, *b)] -= block.weight * carried;
            }
        }
    }

    /// Changes of own effects and arms that go with those of the global effects.
    pub(super) fn back(&self, block: &Block, variances: &Variances, global: &[f64], at: &BlockAt) -> BlockAt {
        let carried = |k: usize| {
            self.touched
                .iter()
                .enumerate()
                .map(|(column, g)| self.carried[(k, column)] * global[*g])
                .sum::<f64>()
        };
        let own: Vec<f64> = self.alone.iter().enumerate().map(|(k, value)| value - carried(k)).collect();
        let arms = block.arms.iter().zip(&self.arms).zip(&at.arms);
        let arms = arms.map(|((arm, left), deviation)| {
            let moved = Block::log_odds(arm, global, &own);
            left.kept * (variances.arm * (left.full - left.curvature * moved) - deviation)
        });
        let arms = arms.collect();
        BlockAt { own, arms }
    }

    /// Change of an arm's log odds, without its deviation, by each of the touched effects.
    fn row(&self, arm: &LaplaceArm) -> Vec<f64> {
        let change = |(column, global): (usize, &usize)| {
            let own: f64 = arm.own.iter().map(|k| self.carried[(*k, column)]).sum();
            arm.global.iter().filter(|k| *k == global).count() as f64 - own
        };
        self.touched.iter().enumerate().map(change).collect()
    }

    /// Covariance of two arms' log odds, without deviations, given the global effects.
    fn given_globals(&self, a: &LaplaceArm, b: &LaplaceArm) -> f64 {
        let mut own = vec![0.0; self.alone.len()];
        a.own.iter().for_each(|k| own[*k] += 1.0);
        let solved = self.factor.solve_factored(&own);
        b.own.iter().map(|k| solved[*k]).sum()
    }

    /// Adds the push of the arms' skewness to the mean of the global effects.
    pub(super) fn move_mean(
        &self,
        block: &Block,
        variances: &Variances,
        covariance: &Matrix,
        mean: &mut [f64],
    ) {
        for (arm, left) in block.arms.iter().zip(&self.arms) {
            let shared = self.given_globals(arm, arm);
            let moved: Vec<f64> = self.row(arm).into_iter().map(|change| left.kept * change).collect();
            let with = |row: usize| -> f64 {
                self.touched.iter().zip(&moved).map(|(k, m)| covariance[(row, *k)] * m).sum()
            };
            let given: f64 = self.touched.iter().zip(&moved).map(|(k, m)| m * with(*k)).sum();
            let variance = given + left.kept * left.kept * shared + variances.arm * left.kept;
            let push = 0.5 * block.weight * left.third * variance;
            mean.iter_mut().enumerate().for_each(|(row, value)| *value += push * with(row));
        }
    }
}

impl ArmLeft {
    fn new(arm: &LaplaceArm, shared: f64, deviation: f64, variance: f64) -> Self {
        let p = logistic(shared + deviation);
        let bend = arm.started * p * (1.0 - p);
        let curvature = bend.max(1e-12);
        let kept = 1.0 / (1.0 + curvature * variance);
        let full = arm.succeeded - arm.started * p;
        // A's own step is k (v slope - A).
        let slope = full - curvature * kept * (variance * full - deviation);
        Self { curvature, kept, full, slope, third: -bend * (1.0 - 2.0 * p) }
    }

    /// Curvature once A is eliminated.
    fn precision(&self) -> f64 {
        self.curvature * self.kept
    }
}
