//! Newton's method on effects and deviations at one pair of spreads, growers eliminated one by one.

use super::super::input::{Layout, Options};
use super::cluster::{Cluster, Spread, log_coefficient};
use super::elimination::{Eliminated, base};
use crate::FitError;
use crate::logit::log_logistic_pair;
use crate::matrix::Matrix;
use crate::newton::{self, Latent, Point};
use crate::normal::HALF_LN_TWO_PI;
use crate::posterior::CentrePrior;
use crate::shape::Held;

/// Growers, and the priors of the global parameters: mu and the effects.
#[derive(Clone, Debug)]
pub(super) struct Problem {
    parameters: usize,
    clusters: Vec<Cluster>,
    log_coefficient: f64,
    effect_sd: f64,
}

/// What Newton's method found.
pub(super) struct Found {
    pub(super) mean: Vec<f64>,
    pub(super) covariance: Matrix,
    pub(super) log_evidence: f64,
}

/// One Newton step: where it leads, and what Laplace's method needs.
struct Step {
    next: Point,
    /// Cholesky factor of the information of the global parameters.
    factor: Matrix,
    log_determinants: f64,
    /// Variance of the sum that is held, were it not.
    held_variance: f64,
}

impl Problem {
    pub(super) fn new(layout: &Layout, clusters: Vec<Cluster>, options: &Options) -> Self {
        Self {
            parameters: layout.parameters,
            log_coefficient: log_coefficient(&clusters),
            clusters,
            effect_sd: options.log_or_sd * std::f64::consts::FRAC_1_SQRT_2,
        }
    }

    /// Where to begin: everybody at the crude rate.
    pub(super) fn start(&self) -> Latent {
        let arms = self.clusters.iter().flat_map(|cluster| &cluster.blocks).flatten();
        let (r, n) = arms.fold((0.5, 1.0), |(r, n), arm| (r + arm.succeeded, n + arm.started));
        let mut global = vec![0.0; self.parameters];
        global[0] = (r / (n - r)).ln();
        let blocks = self.clusters.iter().map(|cluster| cluster.blocks.len()).sum();
        Latent { global, deviations: vec![0.0; blocks] }
    }

    fn prior(&self, place: usize) -> CentrePrior {
        if place == 0 { CentrePrior::Logistic } else { CentrePrior::Normal(self.effect_sd) }
    }

    /// Growers, each with its part of a list by block.
    fn parts<'a>(&'a self, by_block: &'a [f64]) -> impl Iterator<Item = (&'a Cluster, &'a [f64])> {
        self.clusters.iter().scan(by_block, |rest, cluster| {
            let (own, others) = rest.split_at(cluster.blocks.len());
            *rest = others;
            Some((cluster, own))
        })
    }

    /// Log likelihood and log priors, deviations with their normal exponent.
    fn log_joint(&self, point: &Point) -> f64 {
        let global = &point.at.global;
        let priors = global.iter().enumerate().map(|(k, value)| self.prior(k).log_density(*value));
        let mut sum = self.log_coefficient + priors.sum::<f64>();
        let clusters = self.parts(&point.at.deviations).zip(self.parts(&point.multipliers));
        for ((cluster, deviations), (_, multipliers)) in clusters {
            let mut own = 0.0;
            for ((arms, f), a) in cluster.blocks.iter().zip(deviations).zip(multipliers) {
                own -= 0.5 * f * a;
                for arm in arms {
                    let (p, q) = log_logistic_pair(base(global, arm) + f);
                    own += arm.succeeded * p + (arm.started - arm.succeeded) * q;
                }
            }
            sum += cluster.weight * own;
        }
        sum
    }

    /// Climbs to the mode from where `warm` was left.
    pub(super) fn climb(&self, warm: &mut Latent, spread: Spread) -> Result<Found, FitError> {
        let value = self.ascend(warm, spread, None)?;
        self.found(warm, spread, value)
    }

    /// The log joint density at the mode, to which `warm` is moved. Where a sum is held, `warm` has it already.
    fn ascend(&self, warm: &mut Latent, spread: Spread, held: Option<&Held>) -> Result<f64, FitError> {
        let mut multipliers = Vec::with_capacity(warm.deviations.len());
        self.parts(&warm.deviations).for_each(|(_, f)| spread.push_inverse_times(f, &mut multipliers));
        let start = Point { at: warm.clone(), multipliers };
        let aim = |at: &Latent| Ok(self.step(at, spread, held)?.next);
        let (mode, value) = newton::ascend(start, |point| self.log_joint(point), aim)?;
        *warm = mode;
        Ok(value)
    }

    /// Log density, but for a constant, of a sum at the value held, everything else integrated out by Laplace's method
    /// (Tierney & Kadane 1986, JASA 81:82). `warm` is moved there.
    pub(super) fn log_density(
        &self,
        warm: &mut Latent,
        spread: Spread,
        held: &Held,
    ) -> Result<f64, FitError> {
        let factor = self.step(warm, spread, None)?.factor;
        held.hold(&factor, &mut warm.global);
        let value = self.ascend(warm, spread, Some(held))?;
        let last = self.step(warm, spread, Some(held))?;
        let determinants = last.log_determinants + last.factor.log_determinant_factored();
        Ok(value - 0.5 * (determinants + last.held_variance.ln()))
    }

    /// The Gaussian at the mode, its mean moved by the skewness of the likelihood, and the Laplace evidence.
    fn found(&self, mode: &Latent, spread: Spread, value: f64) -> Result<Found, FitError> {
        let last = self.step(mode, spread, None)?;
        let covariance = last.factor.inverse_factored();
        let log_evidence = value + self.parameters as f64 * HALF_LN_TWO_PI
            - 0.5 * (last.log_determinants + last.factor.log_determinant_factored());
        Ok(Found { mean: self.mean(mode, &covariance, spread), covariance, log_evidence })
    }

    /// Mean of the global parameters. A third derivative t of an arm whose log odds have variance v moves a mean by
    /// Cov(mean, log odds) t v / 2 (Rue, Martino & Chopin 2009, section 3.2.3, to first order).
    fn mean(&self, at: &Latent, covariance: &Matrix, spread: Spread) -> Vec<f64> {
        let mut mean = at.global.clone();
        for (cluster, deviations) in self.parts(&at.deviations) {
            let part = Eliminated::new(cluster, deviations, &at.global, spread);
            part.visit_arms(cluster, |moved, own, third| {
                let shared = moved.times(covariance);
                let variance = moved.dot(&shared) + own;
                let push = 0.5 * third * variance;
                mean.iter_mut().zip(&shared).for_each(|(value, s)| *value += s * push);
            });
        }
        mean
    }

    /// Joint Newton step by weighted least squares.
    fn step(&self, at: &Latent, spread: Spread, held: Option<&Held>) -> Result<Step, FitError> {
        let mut information = Matrix::zeros(self.parameters, self.parameters);
        let mut right = vec![0.0; self.parameters];
        self.add_priors(&at.global, &mut information, &mut right);
        let mut log_determinants = 0.0;
        let mut eliminated = Vec::with_capacity(self.clusters.len());
        for (cluster, deviations) in self.parts(&at.deviations) {
            let part = Eliminated::new(cluster, deviations, &at.global, spread);
            log_determinants += part.log_determinant();
            part.add_to(cluster, &mut information, &mut right);
            eliminated.push(part);
        }
        let factor = newton::factored(&information)?;
        let mut global = factor.solve_factored(&right);
        let held_variance = held.map_or(1.0, |held| held.hold(&factor, &mut global));
        let blocks = at.deviations.len();
        let (mut multipliers, mut deviations) = (Vec::with_capacity(blocks), Vec::with_capacity(blocks));
        for part in &eliminated {
            let first = multipliers.len();
            part.push_multipliers(&global, &mut multipliers);
            spread.push_times(&multipliers[first..], &mut deviations);
        }
        let next = Point { at: Latent { global, deviations }, multipliers };
        Ok(Step { next, factor, log_determinants, held_variance })
    }

    fn add_priors(&self, global: &[f64], information: &mut Matrix, right: &mut [f64]) {
        for (k, value) in global.iter().enumerate() {
            let slopes = self.prior(k).slopes(*value);
            let precision = (-slopes.second).max(1e-9);
            information[(k, k)] += precision;
            right[k] += precision * value + slopes.first;
        }
    }
}
