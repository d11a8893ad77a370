//! Newton's method on (m, d, a, w) at one (s, tau), with trials eliminated one by one.

use super::super::contrasts::{NetworkTrial, TrialArm};
use super::elimination::Eliminated;
use crate::FitError;
use crate::binomial::ln_choose;
use crate::logit::log_logistic_pair;
use crate::matrix::Matrix;
use crate::newton::{self, Latent, Point};
use crate::normal::HALF_LN_TWO_PI;
use crate::posterior::CentrePrior;
use crate::shape::Held;

/// An arm as numbers.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub(super) struct Arm {
    pub(super) method: usize,
    pub(super) succeeded: f64,
    pub(super) started: f64,
}

/// Covariance level × 11' + noise × I of the deviations of one trial's arms.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spread {
    pub(super) level: f64,
    pub(super) noise: f64,
}

/// Trials with counts as numbers; global parameters are m, then d of methods 1...
pub(super) struct Problem {
    methods: usize,
    trials: Vec<Vec<Arm>>,
    log_coefficient: f64,
    log_or_sd: f64,
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

/// Log odds of an arm of `method` without its deviation.
pub(super) fn base(global: &[f64], method: usize) -> f64 {
    global[0] + if method == 0 { 0.0 } else { global[method] }
}

impl Problem {
    pub(super) fn new(methods: usize, trials: &[NetworkTrial], log_or_sd: f64) -> Self {
        let arm = |a: &TrialArm| Arm {
            method: a.method,
            succeeded: f64::from(a.count.succeeded),
            started: f64::from(a.count.started),
        };
        let mut rows: Vec<Vec<Arm>> = trials.iter().map(|t| t.arms.iter().map(arm).collect()).collect();
        for row in &mut rows {
            row.sort_by(|a, b| a.partial_cmp(b).expect("counts are finite"));
        }
        rows.sort_by(|a, b| a.partial_cmp(b).expect("counts are finite"));
        let log_coefficient = rows.iter().flatten().map(|a| ln_choose(a.started, a.succeeded)).sum();
        Self { methods, trials: rows, log_coefficient, log_or_sd }
    }

    /// Where to begin: everybody at the crude rate.
    pub(super) fn start(&self) -> Latent {
        let arms = || self.trials.iter().flatten();
        let (r, n) = arms().fold((0.5, 1.0), |(r, n), arm| (r + arm.succeeded, n + arm.started));
        let mut global = vec![0.0; self.methods];
        global[0] = (r / (n - r)).ln();
        Latent { global, deviations: vec![0.0; arms().count()] }
    }

    fn prior(&self, k: usize) -> CentrePrior {
        if k == 0 { CentrePrior::Logistic } else { CentrePrior::Normal(self.log_or_sd) }
    }

    /// Trials, each with its part of a list by arm.
    fn rows<'a>(&'a self, by_arm: &'a [f64]) -> impl Iterator<Item = (&'a [Arm], &'a [f64])> {
        self.trials.iter().scan(by_arm, |rest, trial| {
            let (own, others) = rest.split_at(trial.len());
            *rest = others;
            Some((trial.as_slice(), own))
        })
    }

    /// Log likelihood and log priors, deviations with their normal exponent.
    fn log_joint(&self, point: &Point) -> f64 {
        let global = &point.at.global;
        let mut sum = self.log_coefficient;
        sum += global.iter().enumerate().map(|(k, value)| self.prior(k).log_density(*value)).sum::<f64>();
        let arms = self.trials.iter().flatten();
        for ((arm, f), a) in arms.zip(&point.at.deviations).zip(&point.multipliers) {
            let (p, q) = log_logistic_pair(base(global, arm.method) + f);
            sum += arm.succeeded * p + (arm.started - arm.succeeded) * q - 0.5 * f * a;
        }
        sum
    }

    /// Climbs to the mode from where `warm` was left.
    pub(super) fn climb(&self, warm: &mut Latent, s: f64, tau: f64) -> Result<Found, FitError> {
        let spread = Spread::new(s, tau);
        let value = self.ascend(warm, spread, None)?;
        self.found(warm, spread, value)
    }

    /// The log joint density at the mode, to which `warm` is moved. Where a sum is held, `warm` has it already.
    fn ascend(&self, warm: &mut Latent, spread: Spread, held: Option<&Held>) -> Result<f64, FitError> {
        let mut multipliers = Vec::with_capacity(warm.deviations.len());
        self.rows(&warm.deviations).for_each(|(_, f)| spread.push_inverse_times(f, &mut multipliers));
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
        s: f64,
        tau: f64,
        held: &Held,
    ) -> Result<f64, FitError> {
        let spread = Spread::new(s, tau);
        let factor = self.step(warm, spread, None)?.factor;
        held.hold(&factor, &mut warm.global);
        let value = self.ascend(warm, spread, Some(held))?;
        let last = self.step(warm, spread, Some(held))?;
        let determinants = last.log_determinants + last.factor.log_determinant_factored();
        Ok(value - 0.5 * (determinants + last.held_variance.ln()))
    }

    /// The Gaussian at the mode, and the Laplace evidence.
    fn found(&self, mode: &Latent, spread: Spread, value: f64) -> Result<Found, FitError> {
        let last = self.step(mode, spread, None)?;
        let covariance = last.factor.inverse_factored();
        let log_evidence = value + self.methods as f64 * HALF_LN_TWO_PI
            - 0.5 * (last.log_determinants + last.factor.log_determinant_factored());
        Ok(Found { mean: self.mean(mode, &covariance, spread), covariance, log_evidence })
    }

    /// Mean of the global parameters: the mode, moved by the skewness of the likelihood. A third derivative t of an arm
    /// whose log odds have variance v moves a mean by Cov(mean, log odds) t v / 2 (Rue, Martino & Chopin 2009, section
    /// 3.2.3, to first order).
    fn mean(&self, at: &Latent, covariance: &Matrix, spread: Spread) -> Vec<f64> {
        let (mut mean, mut part) = (at.global.clone(), Eliminated::default());
        for (trial, deviations) in self.rows(&at.deviations) {
            part.set(trial, deviations, &at.global, spread);
            part.add_skewness(covariance, &mut mean);
        }
        mean
    }

    /// Joint Newton step by weighted least squares: z ~ N(X g, W^-1 + K) with working values z.
    fn step(&self, at: &Latent, spread: Spread, held: Option<&Held>) -> Result<Step, FitError> {
        let mut information = Matrix::zeros(self.methods, self.methods);
        let mut right = vec![0.0; self.methods];
        self.add_priors(&at.global, &mut information, &mut right);
        let mut log_determinants = 0.0;
        let mut eliminated = vec![Eliminated::default(); self.trials.len()];
        for ((trial, deviations), part) in self.rows(&at.deviations).zip(&mut eliminated) {
            part.set(trial, deviations, &at.global, spread);
            log_determinants += part.log_determinant();
            part.add_to(&mut information, &mut right);
        }
        let factor = newton::factored(&information)?;
        let mut global = factor.solve_factored(&right);
        let held_variance = held.map_or(1.0, |held| held.hold(&factor, &mut global));
        let arms = at.deviations.len();
        let (mut multipliers, mut deviations) = (Vec::with_capacity(arms), Vec::with_capacity(arms));
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

impl Spread {
    fn new(s: f64, tau: f64) -> Self {
        Self { level: s * s, noise: 0.5 * tau * tau }
    }

    /// Appends K a.
    fn push_times(self, a: &[f64], out: &mut Vec<f64>) {
        let sum: f64 = a.iter().sum();
        out.extend(a.iter().map(|x| self.level * sum + self.noise * x));
    }

    /// Appends K^-1 f (Sherman & Morrison).
    fn push_inverse_times(self, f: &[f64], out: &mut Vec<f64>) {
        let sum: f64 = f.iter().sum();
        let shift = self.level * sum / (self.noise + self.level * f.len() as f64);
        out.extend(f.iter().map(|x| (x - shift) / self.noise));
    }
}
