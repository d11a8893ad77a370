//! The network model with weak priors, by nested Laplace approximation.
//!
//! logit p = a[t] + d[m] + w[ta]; a ~ N(m, s²), m ~ Logistic(0, 1), s ~ half-Normal(1); d ~ N(0, 2.82²) against method 0;
//! w ~ N(0, tau²/2), so that any contrast has variance tau² and contrasts of one trial correlate 1/2; tau ~
//! half-Normal(0.5). For every (s, tau) the mode of (m, d, a, w) is found by Newton's method, with a Gaussian there whose
//! mean is moved by the skewness of the likelihood, and the Laplace evidence as weight (Rue, Martino & Chopin 2009, JRSS
//! B 71:319). The law of a difference is computed point by point where the spreads are likeliest (Tierney & Kadane 1986).

mod difference;
mod elimination;
mod mode;
#[cfg(test)]
mod tests;

use std::cmp::Ordering;

use serde::Serialize;

use super::contrasts::NetworkTrial;
use crate::matrix::Matrix;
use crate::newton::Latent;
use crate::posterior::{HalfLine, HalfNormal, refined_sweep};
use crate::rate::check_scale;
use crate::{CountError, FitError};
use difference::Difference;
use mode::Problem;

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
/// inform levels; the caller decides whether to pass them. No trials at all give the prior.
///
/// # Errors
/// [`FitError`] for an impossible count, a prior scale out of range, or a fit that does not converge.
///
/// ```
/// use propagule_analysis::Count;
/// use propagule_analysis::network::{self, NetworkOptions, NetworkTrial, TrialArm};
///
/// let arm = |method, succeeded| TrialArm { method, count: Count { started: 20, succeeded } };
/// let trials = [
///     NetworkTrial { arms: vec![arm(0, 3), arm(1, 9)] },
///     NetworkTrial { arms: vec![arm(1, 8), arm(2, 14)] },
///     NetworkTrial { arms: vec![arm(0, 4), arm(1, 10), arm(2, 15)] },
/// ];
/// let fit = network::bayes(3, &trials, &NetworkOptions::default())?;
/// // Method 2 is best, and its odds lie above those of the reference.
/// assert!(fit.rank_prob[2][0] > 0.9 && fit.d_q025[2] > 0.0);
/// # Ok::<(), propagule_analysis::FitError>(())
/// ```
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
    summarise(methods, trials, &integrate(problem, options)?)
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

/// Largest step of the stretched lattices of s and tau, their step in standard deviations, and log units below the
/// highest node where they end: all coarser than elsewhere, since the Laplace error is larger than theirs.
const STEP: f64 = 0.4;
const FINE: f64 = 1.1;
const CUT: f64 = 14.0;

/// The posterior: nodes, and what is needed to look more closely at one difference.
struct Posterior {
    nodes: Vec<Node>,
    problem: Problem,
    /// The mode at the node of the largest share.
    mode: Latent,
}

/// Sweeps tau outside and s inside.
fn integrate(problem: Problem, options: &NetworkOptions) -> Result<Posterior, FitError> {
    let trial = HalfNormal(options.trial_sd);
    let mut warm = problem.start();
    let inner = |tau: f64| {
        let (log_mass, nodes) = sweep_levels(&problem, options.level_sd, tau, &mut warm)?;
        Ok((log_mass + trial.log_density(tau), nodes))
    };
    let line = HalfLine { unit: 0.3 * options.trial_sd, step: STEP };
    let (line, swept) = refined_sweep(line, 0.6 * options.trial_sd, FINE, CUT, inner)?;
    let (_, shares) = swept.shares(line);
    let mut nodes = Vec::new();
    for (item, outer) in swept.items.into_iter().zip(shares) {
        nodes.extend(item.value.into_iter().map(|node| Node { share: node.share * outer, ..node }));
    }
    nodes.retain(|node| node.share > 1e-9);
    let mut posterior = Posterior { nodes, problem, mode: warm };
    let (s, tau) = (posterior.heaviest().s, posterior.heaviest().tau);
    posterior.problem.climb(&mut posterior.mode, s, tau)?;
    Ok(posterior)
}

/// All s at one tau: the log of their mass, and their nodes.
fn sweep_levels(
    problem: &Problem,
    scale: f64,
    tau: f64,
    warm: &mut Latent,
) -> Result<(f64, Vec<Node>), FitError> {
    let level = HalfNormal(scale);
    let at = |s: f64| {
        let found = problem.climb(warm, s, tau)?;
        Ok((found.log_evidence + level.log_density(s), (s, found)))
    };
    let (line, swept) =
        refined_sweep(HalfLine { unit: 0.3 * scale, step: STEP }, 0.8 * scale, FINE, CUT, at)?;
    let (log_mass, shares) = swept.shares(line);
    let items = swept.items.into_iter().zip(shares);
    let nodes = items.map(|(item, share)| {
        let (s, found) = item.value;
        Node { share, s, tau, mean: found.mean, covariance: found.covariance }
    });
    Ok((log_mass, nodes.collect()))
}

impl Posterior {
    /// The node of the largest share.
    fn heaviest(&self) -> &Node {
        let by_share = |a: &&Node, b: &&Node| a.share.total_cmp(&b.share);
        self.nodes.iter().max_by(by_share).expect("a sweep has nodes")
    }

    fn average(&self, f: impl Fn(&Node) -> f64) -> f64 {
        self.nodes.iter().map(|node| node.share * f(node)).sum()
    }
}

fn summarise(methods: usize, trials: &[NetworkTrial], posterior: &Posterior) -> Result<NetworkFit, FitError> {
    let against = |k: usize| (k > 0).then(|| Difference::new(posterior, k, 0)).transpose();
    let against_reference = (0..methods).map(against).collect::<Result<Vec<_>, _>>()?;
    let each = |f: &dyn Fn(&Difference) -> f64| {
        against_reference.iter().map(|law| law.as_ref().map_or(0.0, f)).collect::<Vec<f64>>()
    };
    Ok(NetworkFit {
        d_mean: each(&|law| law.moments().0),
        d_sd: each(&|law| law.moments().1),
        d_q025: each(&|law| law.quantile(0.025)),
        d_q975: each(&|law| law.quantile(0.975)),
        m_mean: posterior.average(|node| node.mean[0]),
        s_mean: posterior.average(|node| node.s),
        tau_mean: posterior.average(|node| node.tau),
        rank_prob: ranks(methods, &posterior.nodes),
        prob_row_better_than_column: better(methods, posterior, &against_reference)?,
        trials_used: trials.iter().filter(|trial| trial.is_informative()).count(),
    })
}

/// Row = method, column = method: chance that the first is better on average.
fn better(
    methods: usize,
    posterior: &Posterior,
    against: &[Option<Difference>],
) -> Result<Vec<Vec<f64>>, FitError> {
    let chance = |i: usize, j: usize| {
        let known = if j == 0 { against[i].as_ref().map(Difference::above_zero) } else { None };
        known.map_or_else(|| Ok(Difference::new(posterior, i, j)?.above_zero()), Ok)
    };
    let row = |i: usize| (0..i).map(|j| chance(i, j)).collect::<Result<Vec<f64>, FitError>>();
    let below = (0..methods).map(row).collect::<Result<Vec<_>, _>>()?;
    let entry = |i: usize, j: usize| match i.cmp(&j) {
        Ordering::Greater => below[i][j],
        Ordering::Equal => 0.0,
        Ordering::Less => 1.0 - below[j][i],
    };
    Ok((0..methods).map(|i| (0..methods).map(|j| entry(i, j)).collect()).collect())
}

/// Rank probabilities of the mixture of Gaussians, each by its own share of a lattice rule.
fn ranks(methods: usize, nodes: &[Node]) -> Vec<Vec<f64>> {
    const POINTS: f64 = 20_000.0;
    let mut out = vec![vec![0.0; methods]; methods];
    for node in nodes {
        let row = |i: usize| (1..methods).map(|j| node.covariance[(i, j)]).collect::<Vec<f64>>();
        let covariance: Vec<Vec<f64>> = (1..methods).map(row).collect();
        let points = (node.share * POINTS).ceil() as u64 + 16;
        if let Some(table) = super::ranks::rank_table(&node.mean[1..], &covariance, points) {
            for (sum, row) in out.iter_mut().zip(table.probability) {
                sum.iter_mut().zip(row).for_each(|(s, p)| *s += node.share * p);
            }
        }
    }
    out
}
