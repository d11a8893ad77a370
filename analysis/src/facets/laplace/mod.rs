//! Nodes of the spreads, each with the Gaussian of mu and the effects.

mod cluster;
mod elimination;
mod mode;
mod sparse;
#[cfg(test)]
mod tests;

use super::FacetGrower;
use super::input::{Layout, Options};
use crate::FitError;
use crate::matrix::Matrix;
use crate::newton::Latent;
use crate::posterior::{HalfLine, HalfNormal, refined_sweep};
use crate::rate::Model;
use crate::shape::{Held, Shape, moments_at, sum_at};
use cluster::Spread;
use mode::Problem;

/// One pair of spreads: its share, and the Gaussian of the global parameters there.
#[derive(Clone, Debug)]
pub(super) struct Node {
    pub(super) share: f64,
    pub(super) grower_spread: f64,
    pub(super) trial_spread: f64,
    pub(super) mean: Vec<f64>,
    pub(super) covariance: Matrix,
}

/// Largest step of the stretched lattices, their step in standard deviations, and log units below the highest node where
/// they end: as coarse as in the network model, since the Laplace error is larger than theirs.
const STEP: f64 = 0.4;
const FINE: f64 = 1.1;
const CUT: f64 = 14.0;
/// Share below which a node cannot matter.
const NEGLIGIBLE: f64 = 1e-7;

/// The posterior: nodes, and what is needed to look more closely at one sum of parameters.
#[derive(Clone, Debug)]
pub(super) struct Posterior {
    pub(super) nodes: Vec<Node>,
    problem: Problem,
    model: Model,
    /// The mode at the node of the largest share.
    mode: Latent,
}

/// Sweeps the spread between trials outside, where there is one, and that between growers inside.
pub(super) fn integrate(
    layout: &Layout,
    growers: &[FacetGrower],
    model: Model,
    options: &Options,
) -> Result<Posterior, FitError> {
    let problem = Problem::new(layout, cluster::clusters(layout, growers, model), options);
    let mut warm = problem.start();
    let mut nodes = match model {
        Model::TwoLevel => sweep_growers(&problem, model, options.grower_sd, 0.0, &mut warm)?.1,
        Model::ThreeLevel => sweep_trials(&problem, options, &mut warm)?,
    };
    nodes.retain(|node| node.share > NEGLIGIBLE);
    let total: f64 = nodes.iter().map(|node| node.share).sum();
    for node in &mut nodes {
        node.share /= total;
    }
    let mut posterior = Posterior { nodes, problem, model, mode: warm };
    let spread = posterior.spread();
    posterior.problem.climb(&mut posterior.mode, spread)?;
    Ok(posterior)
}

impl Posterior {
    /// The node of the largest share.
    fn heaviest(&self) -> &Node {
        let by_share = |a: &&Node, b: &&Node| a.share.total_cmp(&b.share);
        self.nodes.iter().max_by(by_share).expect("a sweep has nodes")
    }

    /// The law of a sum of coefficient × parameter over (place, coefficient), in units of its normal approximation.
    pub(super) fn shape(&self, terms: &[(usize, f64)]) -> Result<Shape, FitError> {
        let (mean, sd) = self.heaviest().moments(terms);
        let spread = self.spread();
        let mut warm = self.mode.clone();
        Shape::of(mean, sd, sum_at(terms, &self.mode.global), |value, begins| {
            if begins {
                warm.clone_from(&self.mode);
            }
            self.problem.log_density(&mut warm, spread, &Held { terms, value })
        })
    }

    fn spread(&self) -> Spread {
        let node = self.heaviest();
        Spread::new(self.model, node.grower_spread, node.trial_spread)
    }
}

fn sweep_trials(problem: &Problem, options: &Options, warm: &mut Latent) -> Result<Vec<Node>, FitError> {
    let prior = HalfNormal(options.trial_sd);
    let inner = |trial: f64| {
        let (log_mass, nodes) = sweep_growers(problem, Model::ThreeLevel, options.grower_sd, trial, warm)?;
        Ok((log_mass + prior.log_density(trial), nodes))
    };
    let line = HalfLine { unit: 0.3 * options.trial_sd, step: STEP };
    let (line, swept) = refined_sweep(line, 0.6 * options.trial_sd, FINE, CUT, inner)?;
    let (_, shares) = swept.shares(line);
    let outer = swept.items.into_iter().zip(shares);
    Ok(outer.flat_map(|(item, share)| scaled(item.value, share)).collect())
}

fn scaled(nodes: Vec<Node>, share: f64) -> impl Iterator<Item = Node> {
    nodes.into_iter().map(move |node| Node { share: node.share * share, ..node })
}

impl Node {
    /// Mean and standard deviation of the sum of coefficient × parameter over (place, coefficient).
    pub(super) fn moments(&self, terms: &[(usize, f64)]) -> (f64, f64) {
        moments_at(terms, &self.mean, &self.covariance)
    }
}

/// All spreads between growers at one spread between trials: the log of their mass, and their nodes.
fn sweep_growers(
    problem: &Problem,
    model: Model,
    scale: f64,
    trial: f64,
    warm: &mut Latent,
) -> Result<(f64, Vec<Node>), FitError> {
    let prior = HalfNormal(scale);
    let at = |grower: f64| {
        let found = problem.climb(warm, Spread::new(model, grower, trial))?;
        Ok((found.log_evidence + prior.log_density(grower), (grower, found)))
    };
    let line = HalfLine { unit: 0.3 * scale, step: STEP };
    let (line, swept) = refined_sweep(line, 0.8 * scale, FINE, CUT, at)?;
    let (log_mass, shares) = swept.shares(line);
    let items = swept.items.into_iter().zip(shares);
    let nodes = items.map(|(item, share)| {
        let (grower_spread, found) = item.value;
        let (mean, covariance) = (found.mean, found.covariance);
        Node { share, grower_spread, trial_spread: trial, mean, covariance }
    });
    Ok((log_mass, nodes.collect()))
}
