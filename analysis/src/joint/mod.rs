//! All trials of one kind of propagation together: what relatives, methods and growers' skill say of a species.
//!
//! `logit p = m0 + G[genus] + S[species] + M[method] + GM + SM + U[grower] + T[trial] + A[arm]`; m0 ~ N(0, 1.5²), every effect
//! ~ N(0, sd²) of its block, sds half-normal. Stage A ([`fit`]) fits the whole by Laplace's method at 16 nodes of the sds; stage
//! B ([`JointFit::cell`]) takes the own arms of a species and method out of that normal law and puts their exact likelihood
//! in their place. All matrices of effects are dense: some hundred species are well, thousands are not.

mod cell;
mod law;
mod layout;
mod spreads;

use crate::FitError;
use crate::laplace::{Effects, Fitted};
use crate::table::ArmTable;
pub use law::CellLaw;
use layout::Layout;
use spreads::Spreads;

/// Scales of the half-normal priors of the spreads, and the spread of the overall level.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct JointOptions {
    /// Standard deviation of the overall log odds.
    pub level_sd: f64,
    /// Of genera, species, methods, genera by method, and species by method.
    pub structure_sd: f64,
    /// Of growers.
    pub grower_sd: f64,
    /// Of trials.
    pub trial_sd: f64,
    /// Of arms.
    pub arm_sd: f64,
}

impl Default for JointOptions {
    fn default() -> Self {
        Self { level_sd: 1.5, structure_sd: 0.5, grower_sd: 0.7, trial_sd: 0.6, arm_sd: 0.4 }
    }
}

/// One node of the spreads, with the mode there.
struct Node {
    spreads: Spreads,
    at: Effects,
}

/// A fitted corpus.
pub struct JointFit {
    layout: Layout,
    options: JointOptions,
    nodes: Vec<Node>,
}

/// Fits a corpus: the table's facets are genus, species and method, in this order. Arms of which one is not known are left out.
///
/// # Errors
/// [`FitError::NotConverged`] where the spreads, or the effects at any node, do not settle; [`FitError::Scale`] for a prior
/// scale out of range.
///
/// # Panics
/// Where the table has not three facets.
///
/// ```
/// use propagule_analysis::Count;
/// use propagule_analysis::joint::{self, JointOptions};
/// use propagule_analysis::table::{ArmTable, CountedArm};
///
/// // Genus 0 has species 0 and 1; method 1 was tried with species 0 alone.
/// let arm = |trial, species, method, succeeded| CountedArm {
///     grower: trial % 3,
///     trial,
///     levels: vec![Some(0), Some(species), Some(method)],
///     count: Count { started: 20, succeeded },
///     replicates: 1,
/// };
/// let arms = vec![arm(0, 0, 0, 3), arm(0, 0, 1, 9), arm(1, 0, 1, 11), arm(2, 1, 0, 4), arm(3, 0, 0, 5)];
/// let table = ArmTable::new(vec![1, 2, 2], vec![1.0; 3], arms)?;
/// let fit = joint::fit(&table, &JointOptions::default())?;
/// // Never tried, and still more is expected of it than of the other method.
/// let (tried, never) = (fit.cell(0, 1, 0)?, fit.cell(0, 1, 1)?);
/// assert!(never.average_rate_mean > tried.average_rate_mean && never.log_odds_sd > tried.log_odds_sd);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn fit(table: &ArmTable, options: &JointOptions) -> Result<JointFit, FitError> {
    options.check()?;
    let layout = Layout::new(table);
    let mut at = layout.problem.start();
    let (spreads, reached) = spreads::likeliest(&layout, options, &mut at)?;
    let nodes = spreads::nodes(&layout, options, &spreads, &reached)?;
    let node = |spreads: Spreads| {
        let mut at = at.clone();
        layout.problem.fitted(&layout.variances(&spreads, options), &mut at)?;
        Ok(Node { spreads, at })
    };
    let nodes = nodes.into_iter().map(node).collect::<Result<_, FitError>>()?;
    drop(reached);
    Ok(JointFit { layout, options: *options, nodes })
}

impl JointOptions {
    fn check(&self) -> Result<(), FitError> {
        let scales = [
            ("level_sd", self.level_sd),
            ("structure_sd", self.structure_sd),
            ("grower_sd", self.grower_sd),
            ("trial_sd", self.trial_sd),
            ("arm_sd", self.arm_sd),
        ];
        scales.into_iter().try_for_each(|(name, value)| crate::rate::check_scale(name, value))
    }
}

impl JointFit {
    /// Mean spreads: of genera, species, methods, genera by method, species by method, growers, trials and arms.
    pub fn spreads(&self) -> [f64; 8] {
        let sum = |kind: usize| self.nodes.iter().map(|node| node.spreads.sd[kind]).sum::<f64>();
        std::array::from_fn(|kind| sum(kind) / self.nodes.len() as f64)
    }

    /// What is to be expected of a species and method, tried or not.
    ///
    /// # Errors
    /// [`FitError::NotConverged`] where a law at any node cannot be found.
    pub fn cell(&self, genus: usize, species: usize, method: usize) -> Result<CellLaw, FitError> {
        let place = self.layout.cell(genus, species, method);
        let part = |node: &Node| {
            let mut at = node.at.clone();
            let variances = self.layout.variances(&node.spreads, &self.options);
            let fitted: Fitted = self.layout.problem.fitted(&variances, &mut at)?;
            let points = cell::points(&fitted, &place, &node.spreads)?;
            Ok(law::Part { points, new_grower_sd: node.spreads.new_grower() })
        };
        Ok(law::summarise(self.nodes.iter().map(part).collect::<Result<Vec<_>, FitError>>()?))
    }
}
