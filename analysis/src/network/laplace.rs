//! The network model with weak priors, by nested Laplace approximation.
//!
//! logit p = a[t] + d[m] + w[ta]; a ~ N(m, s²), m ~ Logistic(0, 1), s ~ half-Normal(1); d ~ N(0, 2.82²) against method 0;
//! w ~ N(0, tau²/2), so that any contrast has variance tau² and contrasts of one trial correlate 1/2; tau ~
//! half-Normal(0.5). For every (s, tau) the mode of (m, d, a, w) is found by Newton's method, with a Gaussian there and
//! the Laplace evidence as weight (Rue, Martino & Chopin 2009, JRSS B 71:319).

mod mode;

use serde::Serialize;

use super::contrasts::NetworkTrial;
use crate::matrix::Matrix;
use crate::normal;
use crate::posterior::{HalfLine, HalfNormal, increasing_root, refined_sweep};
use crate::rate::check_scale;
use crate::{CountError, FitError};
use mode::{Latent, Problem};

/// Prior scales of the network model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NetworkOptions {
    /// Scale of the half-normal prior of the spread of trial levels.
    pub level_sd: f64,
    /// Standard deviation of the normal prior of a log odds ratio.
    pub log_or_sd: f64,
    /// Scale of the half-normal prior of the spread of contrasts between trials.
    pub trial_sd: f64,
}

impl Default for NetworkOptions {
    fn default() -> Self {
        Self { level_sd: 1.0, log_or_sd: 2.82, trial_sd: 0.5 }
    }
}

/// Posterior of the network model; lists follow the order of methods, the reference first.
#[derive(Clone, Debug, Serialize)]
pub struct NetworkFit {
    /// Mean log odds ratio against the reference.
    pub d_mean: Vec<f64>,
    /// Standard deviation.
    pub d_sd: Vec<f64>,
    /// 2.5 % points.
    pub d_q025: Vec<f64>,
    /// 97.5 % points.
    pub d_q975: Vec<f64>,
    /// Mean level of the reference method, on the logit scale.
    pub m_mean: f64,
    /// Mean spread of trial levels.
    pub s_mean: f64,
    /// Mean spread of contrasts between trials.
    pub tau_mean: f64,
    /// Row = method, column = rank, 1 being best.
    pub rank_prob: Vec<Vec<f64>>,
    /// Row = method, column = method: chance that the first is better on average.
    pub prob_row_better_than_column: Vec<Vec<f64>>,
    /// Trials used: those with a difference to see.
    pub trials_used: usize,
}

/// One (s, tau) node: its share, and the Gaussian of (m, d) there.
struct Node {
    share: f64,
    s: f64,
    tau: f64,
    mean: Vec<f64>,
    covariance: Matrix,
}

/// Fits the model to methods `0..methods`. Trials with a single arm, or with nothing (or everything) in all arms, still
/// inform levels; the caller decides whether to pass them.
///
/// # Errors
/// [`FitError`] for an impossible count or a prior scale out of range.
pub fn bayes(
    methods: usize,
    trials: &[NetworkTrial],
    options: &NetworkOptions,
) -> Result<NetworkFit, FitError> {
    check_scale("level_sd", options.level_sd)?;
    check_scale("log_or_sd", options.log_or_sd)?;
    check_scale("trial_sd", options.trial_sd)?;
    check_counts(trials)?;
    let problem = Problem::new(methods, trials, options.log_or_sd);
    let nodes = integrate(&problem, options);
    Ok(summarise(methods, trials, &nodes))
}

fn check_counts(trials: &[NetworkTrial]) -> Result<(), FitError> {
    for (grower, trial) in trials.iter().enumerate() {
        if let Some(bad) = trial.arms.iter().find(|arm| !arm.count.is_possible()) {
            let source = CountError { started: bad.count.started, succeeded: bad.count.succeeded };
            return Err(FitError::Count { grower, source });
        }
    }
    Ok(())
}

/// Sweeps tau outside and s inside.
fn integrate(problem: &Problem, options: &NetworkOptions) -> Vec<Node> {
    /// Largest step and fineness of the stretched lattices: the Laplace error is larger than theirs.
    const STEP: f64 = 0.4;
    const FINE: f64 = 0.8;
    let (level, trial) = (HalfNormal(options.level_sd), HalfNormal(options.trial_sd));
    let mut warm = Latent::start(problem);
    let inner = |tau: f64| {
        let line = HalfLine { unit: 0.3 * options.level_sd, step: STEP };
        let at = |s: f64| {
            let found = problem.climb(&mut warm, s, tau);
            (found.log_evidence + level.log_density(s), (s, found))
        };
        let (line, swept) = refined_sweep(line, 0.8 * options.level_sd, FINE, at);
        let (log_mass, shares) = swept.shares(line);
        let nodes: Vec<Node> = swept
            .items
            .into_iter()
            .zip(shares)
            .map(|(item, share)| {
                let (s, found) = item.value;
                Node { share, s, tau, mean: found.mean, covariance: found.covariance }
            })
            .collect();
        (log_mass + trial.log_density(tau), nodes)
    };
    let line = HalfLine { unit: 0.3 * options.trial_sd, step: STEP };
    let (line, swept) = refined_sweep(line, 0.6 * options.trial_sd, FINE, inner);
    let (_, shares) = swept.shares(line);
    let mut nodes = Vec::new();
    for (item, outer) in swept.items.into_iter().zip(shares) {
        nodes.extend(item.value.into_iter().map(|node| Node { share: node.share * outer, ..node }));
    }
    nodes.retain(|node| node.share > 1e-9);
    nodes
}

/// Index of method `k` among the global parameters: 0 holds m.
fn difference(node: &Node, i: usize, j: usize) -> (f64, f64) {
    let value = |k: usize| if k == 0 { 0.0 } else { node.mean[k] };
    let cov = |a: usize, b: usize| if a == 0 || b == 0 { 0.0 } else { node.covariance[(a, b)] };
    (value(i) - value(j), (cov(i, i) + cov(j, j) - 2.0 * cov(i, j)).max(0.0).sqrt())
}

fn summarise(methods: usize, trials: &[NetworkTrial], nodes: &[Node]) -> NetworkFit {
    let average = |f: &dyn Fn(&Node) -> f64| nodes.iter().map(|node| node.share * f(node)).sum::<f64>();
    let moments = |k: usize| {
        let mean = average(&|node| difference(node, k, 0).0);
        let square = average(&|node| {
            let (value, sd) = difference(node, k, 0);
            (value - mean).powi(2) + sd * sd
        });
        (mean, square.sqrt())
    };
    let quantile = |k: usize, p: f64| {
        let (mean, sd) = moments(k);
        let cdf = |x: f64| {
            average(&|node| {
                let (value, sd) = difference(node, k, 0);
                normal::cdf((x - value) / sd)
            })
        };
        if k == 0 { 0.0 } else { increasing_root(cdf, p, mean + sd * normal::quantile(p), 0.2 * sd) }
    };
    let better = |i: usize, j: usize| {
        average(&|node| {
            let (value, sd) = difference(node, i, j);
            if i == j { 0.0 } else { normal::cdf(value / sd) }
        })
    };
    NetworkFit {
        d_mean: (0..methods).map(|k| moments(k).0).collect(),
        d_sd: (0..methods).map(|k| moments(k).1).collect(),
        d_q025: (0..methods).map(|k| quantile(k, 0.025)).collect(),
        d_q975: (0..methods).map(|k| quantile(k, 0.975)).collect(),
        m_mean: average(&|node| node.mean[0]),
        s_mean: average(&|node| node.s),
        tau_mean: average(&|node| node.tau),
        rank_prob: ranks(methods, nodes),
        prob_row_better_than_column: (0..methods)
            .map(|i| (0..methods).map(|j| better(i, j)).collect())
            .collect(),
        trials_used: trials.iter().filter(|t| t.is_informative()).count(),
    }
}

/// Rank probabilities of the mixture of Gaussians, each by its own share of a lattice rule.
fn ranks(methods: usize, nodes: &[Node]) -> Vec<Vec<f64>> {
    let mut out = vec![vec![0.0; methods]; methods];
    for node in nodes {
        let d: Vec<f64> = node.mean[1..].to_vec();
        let covariance: Vec<Vec<f64>> = (1..methods)
            .map(|i| (1..methods).map(|j| node.covariance[(i, j)]).collect())
            .collect();
        let points = (node.share * 20_000.0).ceil() as u64 + 16;
        if let Some(table) = super::ranks::rank_table(&d, &covariance, points) {
            for (sum, row) in out.iter_mut().zip(table.probability) {
                sum.iter_mut().zip(row).for_each(|(s, p)| *s += node.share * p);
            }
        }
    }
    out
}
