//! Laplace's method for counts whose log odds are sums of effects.
//!
//! logit p = sum of global effects + sum of the grower's own effects + A; all effects are normal with mean 0, A has one variance
//! for all arms. A grower's own effects and arms are integrated out first, and the result is raised to the power of the
//! grower's weight: its Schur complement, gradient and log determinant are multiplied by it. The mean is moved by the
//! skewness of the likelihood (Rue, Martino & Chopin 2009, JRSS B 71:319, section 3.2.3, to first order).

mod block;
#[cfg(test)]
mod tests;

use crate::FitError;
use crate::matrix::Matrix;
use crate::newton::factored;
pub(crate) use block::{Block, LaplaceArm};
use block::{BlockAt, Eliminated};

/// Most steps of Newton's method, how small the last one has to be, and how far one may be shortened.
const MOST_STEPS: usize = 60;
const ARRIVED: f64 = 1e-8;
const SHORTEST: f64 = 1e-6;
/// Falls of this part of the value are rounding.
const ROUNDING: f64 = 1e-12;

/// All growers, and how many global effects there are.
#[derive(Clone, Debug)]
pub(crate) struct Problem {
    pub(crate) globals: usize,
    pub(crate) blocks: Vec<Block>,
}

/// Variances of all effects.
#[derive(Clone, Debug)]
pub(crate) struct Variances {
    /// Of each global effect.
    pub(crate) global: Vec<f64>,
    /// Of a grower's own effects, by their kind.
    pub(crate) own: Vec<f64>,
    /// Of arms.
    pub(crate) arm: f64,
}

/// Values of all effects.
#[derive(Clone, Debug)]
pub(crate) struct Effects {
    global: Vec<f64>,
    blocks: Vec<BlockAt>,
}

/// The normal law of the global effects, and the log of the evidence.
#[derive(Clone, Debug)]
pub(crate) struct Found {
    pub(crate) mean: Vec<f64>,
    pub(crate) covariance: Matrix,
    pub(crate) log_evidence: f64,
}

/// A Newton step from one point.
struct Step {
    /// Cholesky factor of the information of the global effects.
    factor: Matrix,
    eliminated: Vec<Eliminated>,
    change: Effects,
}

impl Problem {
    /// Where to begin: no effects at all.
    pub(crate) fn start(&self) -> Effects {
        Effects { global: vec![0.0; self.globals], blocks: self.blocks.iter().map(Block::start).collect() }
    }

    /// Climbs to the mode from where `at` was left, and moves it there.
    ///
    /// # Errors
    /// [`FitError::NotConverged`] where the last step is not small.
    pub(crate) fn climb(&self, variances: &Variances, at: &mut Effects) -> Result<Found, FitError> {
        let (value, last) = self.ascend(variances, at)?;
        self.found(variances, at, value, &last)
    }

    /// Moves to the mode; the value there, and the step that went nowhere.
    fn ascend(&self, variances: &Variances, at: &mut Effects) -> Result<(f64, Step), FitError> {
        let mut here = self.value(variances, at);
        for _ in 0..MOST_STEPS {
            let step = self.step(variances, at)?;
            let size = step.change.largest();
            if size < ARRIVED {
                return Ok((here, step));
            }
            let next = |share: f64| {
                let mut next = at.clone();
                next.add(share, &step.change);
                let reached = self.value(variances, &next);
                let falls = reached.is_nan() || reached < here - ROUNDING * here.abs();
                (!falls).then_some((next, reached))
            };
            let shares = std::iter::successors(Some(1.0), |share| Some(0.5 * share));
            let mut shares = shares.take_while(|share| *share > SHORTEST);
            (*at, here) = shares.find_map(next).ok_or(FitError::not_converged("mode", None))?;
        }
        Err(FitError::not_converged("mode", None))
    }

    /// Log likelihood and normal exponents, weights included.
    fn value(&self, variances: &Variances, at: &Effects) -> f64 {
        let blocks = self.blocks.iter().zip(&at.blocks);
        let own: f64 =
            blocks.map(|(block, own)| block.weight * block.value(variances, &at.global, own)).sum();
        own - 0.5 * at.global.iter().zip(&variances.global).map(|(x, v)| x * x / v).sum::<f64>()
    }

    fn step(&self, variances: &Variances, at: &Effects) -> Result<Step, FitError> {
        let mut information = Matrix::zeros(self.globals, self.globals);
        let mut right = vec![0.0; self.globals];
        for (k, (value, variance)) in at.global.iter().zip(&variances.global).enumerate() {
            information[(k, k)] = variance.recip();
            right[k] = -value / variance;
        }
        let mut eliminated = Vec::with_capacity(self.blocks.len());
        for (block, own) in self.blocks.iter().zip(&at.blocks) {
            let part = Eliminated::new(block, variances, &at.global, own)?;
            part.add_to(block, &mut information, &mut right);
            eliminated.push(part);
        }
        // Blocks give the lower half alone.
        for i in 0..self.globals {
            for j in 0..i {
                information[(j, i)] = information[(i, j)];
            }
        }
        let factor = factored(&information)?;
        let global = factor.solve_factored(&right);
        let blocks = self.blocks.iter().zip(&eliminated).zip(&at.blocks);
        let blocks = blocks.map(|((block, part), own)| part.back(block, variances, &global, own)).collect();
        Ok(Step { factor, eliminated, change: Effects { global, blocks } })
    }

    /// What holds around the mode, of which `last` is the step that went nowhere.
    fn found(&self, variances: &Variances, at: &Effects, value: f64, last: &Step) -> Result<Found, FitError> {
        let covariance = last.factor.inverse_factored();
        let mut mean = at.global.clone();
        let mut log_evidence = value - 0.5 * last.factor.log_determinant_factored();
        log_evidence -= 0.5 * variances.global.iter().map(|v| v.ln()).sum::<f64>();
        for (block, part) in self.blocks.iter().zip(&last.eliminated) {
            log_evidence -= 0.5 * block.weight * part.log_determinant;
            part.move_mean(block, variances, &covariance, &mut mean);
        }
        if log_evidence.is_finite() {
            Ok(Found { mean, covariance, log_evidence })
        } else {
            Err(FitError::not_converged("mode", None))
        }
    }
}

impl Effects {
    fn largest(&self) -> f64 {
        let own = self.blocks.iter().flat_map(|block| block.own.iter().chain(&block.arms));
        self.global
            .iter()
            .chain(own)
            .fold(0.0, |top, x| if x.is_nan() { f64::INFINITY } else { x.abs().max(top) })
    }

    fn add(&mut self, share: f64, change: &Self) {
        let add = |to: &mut [f64], by: &[f64]| to.iter_mut().zip(by).for_each(|(x, d)| *x += share * d);
        add(&mut self.global, &change.global);
        for (to, by) in self.blocks.iter_mut().zip(&change.blocks) {
            add(&mut to.own, &by.own);
            add(&mut to.arms, &by.arms);
        }
    }
}
