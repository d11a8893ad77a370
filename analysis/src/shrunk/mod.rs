//! Which level of a facet is better, shrunk towards no difference: what may be said where several levels were tried.
//!
//! `logit p = a + d[level] + V[grower, level] + A[arm]` within a stratum: arms of one trial that differ in this facet alone. a ~
//! `N(nu[D], s²)`, nu ~ N(0, 2.5²), D the set of levels that the stratum holds; d ~ N(0, sigma²); V and A as they are named. nu
//! by D keeps it within trials: levels of trials that hold different sets may differ freely. A stratum of one level has a mean
//! of its own without d, so that it says something of s and A, and nothing of d. sigma ~ half-Cauchy(0.25) is the allowance
//! for many comparisons: all pairs of one fit share it. Formulas and checks stand in `METHODS.md`.

mod gates;
mod grid;
mod layout;
mod outcome;
#[cfg(test)]
mod tests;

use crate::FitError;
use crate::laplace::Found;
use crate::table::ArmTable;
use grid::Node;
use layout::Layout;
pub use outcome::{ShrunkEffects, ShrunkEstimate, ShrunkFit, ShrunkPair, ShrunkSpreads};

/// P(first better on average) from which, or the other way round, a pair is likely to differ.
pub const CLEAR_SHRUNK: f64 = 0.95;

/// Prior scales of the shrunk contrasts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShrunkOptions {
    /// Scale of the half-Cauchy prior of the spread of levels.
    pub level_scale: f64,
    /// Scale of the half-normal prior of the spread of strata that hold the same levels.
    pub stratum_sd: f64,
    /// Scale of the half-normal prior of how much a grower's difference departs from the average.
    pub grower_sd: f64,
    /// Scale of the half-normal prior of what arms have beyond chance.
    pub arm_sd: f64,
    /// Standard deviation of the normal prior of a set's mean log odds.
    pub mean_sd: f64,
}

impl Default for ShrunkOptions {
    fn default() -> Self {
        Self { level_scale: 0.25, stratum_sd: 1.0, grower_sd: 0.4, arm_sd: 0.4, mean_sd: 2.5 }
    }
}

/// One node of the grid, with its share of the posterior.
struct Weighted {
    share: f64,
    node: Node,
    found: Found,
}

/// Compares all levels of facet number `facet`, two by two.
///
/// # Errors
/// [`FitError::NotConverged`] where the fit of any node does not converge; [`FitError::Scale`] for a prior scale out of range.
///
/// ```
/// use propagule_analysis::Count;
/// use propagule_analysis::shrunk::{self, ShrunkOptions};
/// use propagule_analysis::table::{CountedArm, ArmTable};
/// use propagule_analysis::verdict::Verdict;
///
/// let row = |trial, level, succeeded| CountedArm {
///     grower: trial,
///     trial,
///     levels: vec![Some(level)],
///     count: Count { started: 20, succeeded },
///     replicates: 1,
/// };
/// let trials = [(2, 9), (4, 12), (1, 8), (5, 13)];
/// let sides = trials.iter().enumerate().flat_map(|(trial, (a, b))| [row(trial, 0, *a), row(trial, 1, *b)]);
/// let table = ArmTable::new(vec![3], vec![1.0; 5], sides.chain([row(4, 2, 19)]).collect())?;
/// let fit = shrunk::fit(&table, 0, &ShrunkOptions::default())?;
/// assert_eq!(fit.pair(0, 1).map(|pair| pair.verdict), Some(Verdict::Likely));
/// // Level 2 did best, but never beside another one.
/// assert_eq!(fit.pair(0, 2).map(|pair| pair.verdict), Some(Verdict::NeverCompared));
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fit(table: &ArmTable, facet: usize, options: &ShrunkOptions) -> Result<ShrunkFit, FitError> {
    options.check()?;
    let layout = Layout::new(table, facet);
    let nodes = if layout.levels.is_empty() { Vec::new() } else { posterior(&layout, options)? };
    Ok(outcome::summarise(&layout, &nodes))
}

impl ShrunkOptions {
    fn check(&self) -> Result<(), FitError> {
        let scales = [
            ("level_scale", self.level_scale),
            ("stratum_sd", self.stratum_sd),
            ("grower_sd", self.grower_sd),
            ("arm_sd", self.arm_sd),
            ("mean_sd", self.mean_sd),
        ];
        scales.into_iter().try_for_each(|(name, value)| crate::rate::check_scale(name, value))
    }
}

/// All nodes, weighted by the evidence of Laplace's method.
fn posterior(layout: &Layout, options: &ShrunkOptions) -> Result<Vec<Weighted>, FitError> {
    let mut at = layout.problem.start();
    let mut out = Vec::new();
    for node in grid::nodes(options, layout.has_slopes) {
        let found = layout.problem.climb(&layout.variances(&node, options), &mut at)?;
        out.push(Weighted { share: node.log_prior + found.log_evidence, node, found });
    }
    let top = out.iter().map(|weighted| weighted.share).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = out.iter().map(|weighted| (weighted.share - top).exp()).sum();
    for weighted in &mut out {
        weighted.share = (weighted.share - top).exp() / total;
    }
    Ok(out)
}
