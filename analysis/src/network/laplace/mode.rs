//! Newton's method on (m, d, a, w) at one (s, tau), with trials eliminated one by one.

use super::super::contrasts::NetworkTrial;
use crate::binomial::ln_choose;
use crate::logit::{log_logistic_pair, logistic};
use crate::matrix::Matrix;
use crate::normal::HALF_LN_TWO_PI;
use crate::posterior::CentrePrior;

/// Trials with counts as numbers; global parameters are m, then d of methods 1...
pub(super) struct Problem {
    methods: usize,
    /// Per trial: method, successes, pieces of every arm.
    trials: Vec<Vec<(usize, f64, f64)>>,
    log_coefficient: f64,
    log_or_sd: f64,
}

/// Where the last mode was: global parameters, and deviations of every arm's log odds from them.
#[derive(Clone)]
pub(super) struct Latent {
    global: Vec<f64>,
    deviations: Vec<Vec<f64>>,
}

/// What Newton's method found.
pub(super) struct Found {
    pub(super) mean: Vec<f64>,
    pub(super) covariance: Matrix,
    pub(super) log_evidence: f64,
}

/// One Newton step: where it leads, and what Laplace's method needs.
struct Step {
    next: Latent,
    /// K^-1 f of every arm at the new point.
    multipliers: Vec<Vec<f64>>,
    information: Matrix,
    log_determinants: f64,
}

impl Latent {
    pub(super) fn start(problem: &Problem) -> Self {
        let arms = || problem.trials.iter().flatten();
        let (r, n) = arms().fold((0.5, 1.0), |(r, n), arm| (r + arm.1, n + arm.2));
        let mut global = vec![0.0; problem.methods];
        global[0] = (r / (n - r)).ln();
        Self { global, deviations: problem.trials.iter().map(|t| vec![0.0; t.len()]).collect() }
    }

    fn between(&self, other: &Self, share: f64) -> Self {
        let mix = |a: &[f64], b: &[f64]| a.iter().zip(b).map(|(x, y)| x + share * (y - x)).collect::<Vec<f64>>();
        let rows = self.deviations.iter().zip(&other.deviations);
        Self { global: mix(&self.global, &other.global), deviations: rows.map(|(a, b)| mix(a, b)).collect() }
    }
}

impl Problem {
    pub(super) fn new(methods: usize, trials: &[NetworkTrial], log_or_sd: f64) -> Self {
        let arm = |a: &super::super::contrasts::TrialArm| {
            (a.method, f64::from(a.count.succeeded), f64::from(a.count.started))
        };
        let mut rows: Vec<Vec<(usize, f64, f64)>> =
            trials.iter().map(|t| t.arms.iter().map(arm).collect()).collect();
        rows.iter_mut().for_each(|row| row.sort_by(|a, b| a.partial_cmp(b).expect("counts are finite")));
        rows.sort_by(|a, b| a.partial_cmp(b).expect("counts are finite"));
        let log_coefficient = rows.iter().flatten().map(|(_, r, n)| ln_choose(*n, *r)).sum();
        Self { methods, trials: rows, log_coefficient, log_or_sd }
    }

    /// Log odds of an arm of `method` without its deviation.
    fn base(global: &[f64], method: usize) -> f64 {
        global[0] + if method == 0 { 0.0 } else { global[method] }
    }

    /// Log likelihood and log priors of the global parameters.
    fn log_joint(&self, at: &Latent) -> f64 {
        let mut sum = self.log_coefficient + CentrePrior::Logistic.log_density(at.global[0]);
        for d in &at.global[1..] {
            sum += CentrePrior::Normal(self.log_or_sd).log_density(*d);
        }
        for (trial, deviations) in self.trials.iter().zip(&at.deviations) {
            for ((method, r, n), f) in trial.iter().zip(deviations) {
                let (p, q) = log_logistic_pair(Self::base(&at.global, *method) + f);
                sum += r * p + (n - r) * q;
            }
        }
        sum
    }

    /// Climbs to the mode from where `warm` was left.
    pub(super) fn climb(&self, warm: &mut Latent, s: f64, tau: f64) -> Found {
        let (level, noise) = (s * s, 0.5 * tau * tau);
        let objective = |at: &Latent, multipliers: &[Vec<f64>]| {
            let quadratic: f64 = at
                .deviations
                .iter()
                .zip(multipliers)
                .map(|(f, a)| f.iter().zip(a).map(|(x, y)| x * y).sum::<f64>())
                .sum();
            self.log_joint(at) - 0.5 * quadratic
        };
        let inverse = |f: &[f64]| inverse_covariance(f, level, noise);
        let mut multipliers: Vec<Vec<f64>> = warm.deviations.iter().map(|f| inverse(f)).collect();
        let mut value = objective(warm, &multipliers);
        for _ in 0..60 {
            let step = self.step(warm, level, noise);
            let (mut share, mut next) = (1.0, step.next.clone());
            let mut next_multipliers = step.multipliers.clone();
            let mut next_value = objective(&next, &next_multipliers);
            while (next_value.is_nan() || next_value < value - 1e-12 * value.abs()) && share > 1e-4 {
                share *= 0.5;
                next = warm.between(&step.next, share);
                let rows = multipliers.iter().zip(&step.multipliers);
                next_multipliers = rows
                    .map(|(a, b)| a.iter().zip(b).map(|(x, y)| x + share * (y - x)).collect())
                    .collect();
                next_value = objective(&next, &next_multipliers);
            }
            let gain = next_value - value;
            (*warm, multipliers, value) = (next, next_multipliers, next_value);
            if gain.abs() < 1e-9 * (1.0 + value.abs()) {
                break;
            }
        }
        let last = self.step(warm, level, noise);
        let factor = last.information.cholesky().expect("likelihood and proper priors are log-concave");
        let log_evidence = value + self.methods as f64 * HALF_LN_TWO_PI
            - 0.5 * (last.log_determinants + factor.log_determinant_factored());
        Found { mean: warm.global.clone(), covariance: factor.inverse_factored(), log_evidence }
    }

    /// Joint Newton step by weighted least squares: z ~ N(X g, W^-1 + K) with working values z.
    fn step(&self, at: &Latent, level: f64, noise: f64) -> Step {
        let methods = self.methods;
        let mut information = Matrix::zeros(methods, methods);
        let mut right = vec![0.0; methods];
        self.add_priors(&at.global, &mut information, &mut right);
        let mut log_determinants = 0.0;
        let mut eliminated = Vec::with_capacity(self.trials.len());
        for (trial, deviations) in self.trials.iter().zip(&at.deviations) {
            let part = Eliminated::new(trial, deviations, &at.global, level, noise);
            log_determinants += part.log_determinant;
            part.add_to(trial, &mut information, &mut right);
            eliminated.push(part);
        }
        let factor = information.cholesky().expect("likelihood and proper priors are log-concave");
        let global = factor.solve_factored(&right);
        let multipliers: Vec<Vec<f64>> =
            self.trials.iter().zip(&eliminated).map(|(trial, part)| part.multipliers(trial, &global)).collect();
        let deviations = multipliers.iter().map(|a| times_covariance(a, level, noise)).collect();
        Step { next: Latent { global, deviations }, multipliers, information, log_determinants }
    }

    fn add_priors(&self, global: &[f64], information: &mut Matrix, right: &mut [f64]) {
        for (k, value) in global.iter().enumerate() {
            let prior = if k == 0 { CentrePrior::Logistic } else { CentrePrior::Normal(self.log_or_sd) };
            let slopes = prior.slopes(*value);
            let precision = (-slopes.second).max(1e-9);
            information[(k, k)] += precision;
            right[k] += precision * value + slopes.first;
        }
    }
}

/// K a for K = level × 11' + noise × I.
fn times_covariance(a: &[f64], level: f64, noise: f64) -> Vec<f64> {
    let sum: f64 = a.iter().sum();
    a.iter().map(|x| level * sum + noise * x).collect()
}

/// K^-1 f (Sherman & Morrison).
fn inverse_covariance(f: &[f64], level: f64, noise: f64) -> Vec<f64> {
    let sum: f64 = f.iter().sum();
    let shift = level * sum / (noise + level * f.len() as f64);
    f.iter().map(|x| (x - shift) / noise).collect()
}

/// A trial with its deviations integrated out of the quadratic approximation.
struct Eliminated {
    /// (W^-1 + K)^-1.
    precision: Matrix,
    /// That times the working values.
    weighted: Vec<f64>,
    log_determinant: f64,
}

impl Eliminated {
    fn new(trial: &[(usize, f64, f64)], deviations: &[f64], global: &[f64], level: f64, noise: f64) -> Self {
        let arms = trial.len();
        let (mut root, mut scaled) = (Vec::with_capacity(arms), Vec::with_capacity(arms));
        for ((method, r, n), f) in trial.iter().zip(deviations) {
            let eta = Problem::base(global, *method) + f;
            let p = logistic(eta);
            let w = (n * p * (1.0 - p)).max(1e-12);
            root.push(w.sqrt());
            // Root of the weight times the working value.
            scaled.push(w.sqrt() * eta + (r - n * p) / w.sqrt());
        }
        let entry = |i: usize, j: usize| {
            let k = level + if i == j { noise } else { 0.0 };
            f64::from(u8::from(i == j)) + root[i] * k * root[j]
        };
        let factor = Matrix::from_fn(arms, arms, entry).cholesky().expect("identity plus a Gram matrix");
        let inner = factor.inverse_factored();
        let solved = factor.solve_factored(&scaled);
        Self {
            precision: Matrix::from_fn(arms, arms, |i, j| root[i] * inner[(i, j)] * root[j]),
            weighted: solved.iter().zip(&root).map(|(x, w)| x * w).collect(),
            log_determinant: factor.log_determinant_factored(),
        }
    }

    fn add_to(&self, trial: &[(usize, f64, f64)], information: &mut Matrix, right: &mut [f64]) {
        for (i, (mi, _, _)) in trial.iter().enumerate() {
            for a in columns(*mi) {
                right[a] += self.weighted[i];
                for (j, (mj, _, _)) in trial.iter().enumerate() {
                    for b in columns(*mj) {
                        information[(a, b)] += self.precision[(i, j)];
                    }
                }
            }
        }
    }

    /// K^-1 f at new global parameters: (W^-1 + K)^-1 (z - X g).
    fn multipliers(&self, trial: &[(usize, f64, f64)], global: &[f64]) -> Vec<f64> {
        let fitted: Vec<f64> = trial.iter().map(|arm| Problem::base(global, arm.0)).collect();
        let explained = self.precision.times_vector(&fitted);
        self.weighted.iter().zip(explained).map(|(a, b)| a - b).collect()
    }
}

/// Global parameters that an arm of `method` depends on.
fn columns(method: usize) -> impl Iterator<Item = usize> {
    std::iter::once(0).chain((method > 0).then_some(method))
}
