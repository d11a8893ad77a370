//! What is said of each pair of levels.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::gates::Joined;
use super::layout::Layout;
use super::{CLEAR_SHRUNK, Weighted};
use crate::normal;
use crate::verdict::Verdict;

/// All pairs of one detail's levels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShrunkFit {
    /// Pairs with the first level before the second, in rising order.
    pub pairs: Vec<ShrunkPair>,
    /// Means of the spreads; `None` where nothing was compared.
    pub spreads: Option<ShrunkSpreads>,
    /// The levels that stand beside another one; `None` where nothing was compared.
    pub effects: Option<ShrunkEffects>,
}

/// The effects of levels together, as one normal law.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShrunkEffects {
    /// Numbers of the levels, in rising order.
    pub levels: Vec<usize>,
    /// Means of their effects on the log odds.
    pub mean: Vec<f64>,
    /// Covariances.
    pub covariance: Vec<Vec<f64>>,
    /// Mean log odds of strata at no effect, over the sets of levels that they hold.
    pub stratum_mean: f64,
}

/// Two levels.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShrunkPair {
    /// Number of the first level.
    pub first: usize,
    /// Number of the second level.
    pub second: usize,
    /// Trials that hold both with everything else equal.
    pub trials: usize,
    /// What may be said.
    pub verdict: Verdict,
    /// Details that moved together with this one, where the verdict is `Confounded`.
    pub together: Vec<usize>,
    /// `None` where they were never compared, or are confounded: nothing may be printed then.
    pub estimate: Option<ShrunkEstimate>,
}

/// Log odds ratio of the first level against the second.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ShrunkEstimate {
    /// Its mean; above zero the first level is better.
    pub log_or_mean: f64,
    /// Its standard deviation.
    pub log_or_sd: f64,
    /// Its 2.5, 50 and 97.5 % points.
    pub log_or_q: [f64; 3],
    /// P(first better on average).
    pub prob_first_better: f64,
    /// P(first better in a new grower's trial).
    pub prob_first_better_next_trial: f64,
}

/// Posterior means of the spreads.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
pub struct ShrunkSpreads {
    /// Of levels.
    pub level: f64,
    /// Of strata that hold the same levels.
    pub stratum: f64,
    /// Of a grower's difference; `None` where no grower compared the same two levels in two trials.
    pub grower: Option<f64>,
    /// Of treatments beyond chance.
    pub arm: f64,
}

/// A normal law with its share.
#[derive(Clone, Copy)]
struct Part {
    share: f64,
    mean: f64,
    sd: f64,
    /// Standard deviation in a new grower's trial.
    next_sd: f64,
}

impl ShrunkFit {
    /// The pair of two levels, the lower number first.
    pub fn pair(&self, first: usize, second: usize) -> Option<&ShrunkPair> {
        self.pairs.iter().find(|pair| (pair.first, pair.second) == (first, second))
    }

    /// For each of `levels` levels its rank: one more than there are levels likely better.
    pub fn ranks(&self, levels: usize) -> Vec<usize> {
        (0..levels)
            .map(|level| 1 + (0..levels).filter(|other| self.is_likely_better(*other, level)).count())
            .collect()
    }

    /// The level that is likely better than every other of `rivals`; `None` where no level stands out.
    pub fn leader(&self, rivals: &[usize]) -> Option<usize> {
        let beats_all = |level: &usize| {
            rivals.len() > 1
                && rivals.iter().all(|other| other == level || self.is_likely_better(*level, *other))
        };
        rivals.iter().copied().find(beats_all)
    }

    fn is_likely_better(&self, level: usize, other: usize) -> bool {
        let pair = self.pair(level.min(other), level.max(other));
        let likely = pair.filter(|pair| pair.verdict == Verdict::Likely);
        let chance = likely.and_then(|pair| pair.estimate).map(|estimate| estimate.prob_first_better);
        chance.is_some_and(|chance| (chance > 0.5) == (level < other))
    }
}

pub(super) fn summarise(layout: &Layout, nodes: &[Weighted]) -> ShrunkFit {
    let levels = layout.table.facets()[layout.facet];
    let pairs = (0..levels).flat_map(|first| (first + 1..levels).map(move |second| (first, second)));
    let pairs = pairs.map(|(first, second)| pair(layout, nodes, first, second)).collect();
    let mean = |of: &dyn Fn(&Weighted) -> f64| nodes.iter().map(|node| node.share * of(node)).sum::<f64>();
    let spreads = (!nodes.is_empty()).then(|| ShrunkSpreads {
        level: mean(&|node| node.node.level),
        stratum: mean(&|node| node.node.stratum),
        grower: layout.has_slopes.then(|| mean(&|node| node.node.grower)),
        arm: mean(&|node| node.node.arm),
    });
    ShrunkFit { pairs, spreads, effects: (!nodes.is_empty()).then(|| effects(layout, nodes)) }
}

/// Means and covariances over all nodes.
fn effects(layout: &Layout, nodes: &[Weighted]) -> ShrunkEffects {
    let count = layout.levels.len();
    let average = |of: &dyn Fn(&Weighted) -> f64| nodes.iter().map(|node| node.share * of(node)).sum::<f64>();
    let all: Vec<f64> = (0..layout.problem.globals).map(|k| average(&|node| node.found.mean[k])).collect();
    let (mean, sets) = all.split_at(count);
    let covariance = |i: usize, j: usize| {
        average(&|node| {
            let away = |k: usize| node.found.mean[k] - mean[k];
            node.found.covariance[(i, j)] + away(i) * away(j)
        })
    };
    ShrunkEffects {
        levels: layout.levels.clone(),
        covariance: (0..count).map(|i| (0..count).map(|j| covariance(i, j)).collect()).collect(),
        stratum_mean: sets.iter().sum::<f64>() / sets.len().max(1) as f64,
        mean: mean.to_vec(),
    }
}

fn pair(layout: &Layout, nodes: &[Weighted], first: usize, second: usize) -> ShrunkPair {
    let joined = layout.gates.joined(first, second);
    let estimate = matches!(joined, Joined::Clean | Joined::OneUnit)
        .then(|| estimate(&parts(layout, nodes, first, second)));
    let verdict = match (joined, estimate) {
        (Joined::Never, _) => Verdict::NeverCompared,
        (Joined::WithOthers, _) | (_, None) => Verdict::Confounded,
        (Joined::OneUnit, _) => Verdict::SingleUnit,
        (Joined::Clean, Some(estimate)) => {
            let clear = estimate.prob_first_better.max(1.0 - estimate.prob_first_better) >= CLEAR_SHRUNK;
            if clear { Verdict::Likely } else { Verdict::CannotTell }
        }
    };
    let is_confounded = verdict == Verdict::Confounded;
    let together = if is_confounded { layout.gates.together(first, second) } else { Vec::new() };
    let trials = layout.gates.side_by_side(first, second).len();
    ShrunkPair { first, second, trials, verdict, together, estimate }
}

fn parts(layout: &Layout, nodes: &[Weighted], first: usize, second: usize) -> Vec<Part> {
    let place = |level: usize| layout.levels.binary_search(&level).expect("it is compared");
    let (a, b) = (place(first), place(second));
    let part = |weighted: &Weighted| {
        let (mean, covariance) = (&weighted.found.mean, &weighted.found.covariance);
        let variance = covariance[(a, a)] + covariance[(b, b)] - 2.0 * covariance[(a, b)];
        let slope = if layout.has_slopes { weighted.node.grower } else { 0.0 };
        let new = 2.0 * (slope.powi(2) + weighted.node.arm.powi(2));
        Part {
            share: weighted.share,
            mean: mean[a] - mean[b],
            sd: variance.max(0.0).sqrt(),
            next_sd: (variance.max(0.0) + new).sqrt(),
        }
    };
    nodes.iter().map(part).collect()
}

/// Median and 95 % limits.
const LEVELS: [f64; 3] = [0.025, 0.5, 0.975];

fn estimate(parts: &[Part]) -> ShrunkEstimate {
    let average = |of: &dyn Fn(&Part) -> f64| parts.iter().map(|part| part.share * of(part)).sum::<f64>();
    let mean = average(&|part| part.mean);
    let variance = average(&|part| part.sd.powi(2) + (part.mean - mean).powi(2));
    let below = |x: f64| average(&|part| normal::cdf((x - part.mean) / part.sd));
    ShrunkEstimate {
        log_or_mean: mean,
        log_or_sd: variance.sqrt(),
        log_or_q: LEVELS.map(|p| crate::posterior::cdf_inverse(below, p, mean, variance.sqrt())),
        prob_first_better: average(&|part| normal::cdf(part.mean / part.sd)),
        prob_first_better_next_trial: average(&|part| normal::cdf(part.mean / part.next_sd)),
    }
}
