//! All trials of one kind of propagation together: what relatives, methods and growers' skill say of a species.
//!
//! `logit p = m0 + G[genus] + S[species] + M[method] + GM + SM + U[grower] + T[trial] + A[arm]`; m0 ~ N(0, 1.5²), every effect
//! ~ N(0, sd²) of its block, sds half-normal; U may have Student's t law of 4 degrees of freedom. Stage A ([`fit`]) fits the whole
//! by Laplace's method on a sparse information, at 16 nodes of the sds or, of more than 2,000 trials, at their mode alone; stage B
//! ([`JointFit::cell`]) takes the own arms of a species and method out of that normal law and puts their exact likelihood in
//! their place.

mod anderson;
mod beside;
mod borrowed;
mod cell;
mod law;
mod layout;
mod mode;
mod moments;
mod next_trial;
mod spreads;
mod summary;
#[cfg(test)]
mod tests;
mod walk;
mod watch;

use crate::FitError;
use crate::table::ArmTable;
pub use borrowed::{CellExpectation, LawWeights};
pub use law::CellLaw;
use layout::{Layout, Prior};
use mode::{At, Local};
use moments::Moments;
use spreads::Spreads;
pub use watch::{Step, Watch};

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
    /// The law of growers' skill.
    pub tails: Tails,
    /// Pieces from which on all of a grower's together weigh no more, and the same of one species and method; none caps none.
    pub caps: Caps,
    /// The spreads, in the order of [`JointFit::spreads`], where they are known; learnt where not.
    pub known_spreads: Option<[f64; 8]>,
}

/// What a grower may bring; beyond so many pieces its likelihood is raised to the power limit / pieces.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Caps {
    /// In all that is learnt from.
    pub of_corpus: Option<f64>,
    /// In the species and method that is asked for.
    pub of_cell: Option<f64>,
}

/// A grower's weight under such a limit.
pub(crate) fn capped(share: f64, limit: Option<f64>, pieces: f64) -> f64 {
    share * limit.map_or(1.0, |limit| (limit / pieces.max(1.0)).min(1.0))
}

/// The law of growers' skill.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tails {
    /// Normal.
    Normal,
    /// Student's t of 4 degrees of freedom: one absurd grower is discounted, and the spread is not widened for it.
    #[default]
    Student,
}

impl Tails {
    /// By how much a new grower's variance exceeds the square of the spread.
    fn widens(self) -> f64 {
        match self {
            Self::Normal => 1.0,
            Self::Student => 1.5,
        }
    }
}

impl Default for JointOptions {
    fn default() -> Self {
        Self {
            level_sd: 1.5,
            structure_sd: 0.5,
            grower_sd: 0.7,
            trial_sd: 0.6,
            arm_sd: 0.4,
            tails: Tails::Student,
            caps: Caps::default(),
            known_spreads: None,
        }
    }
}

/// Most trials of which the spreads are taken at several nodes.
const MOST_FOR_NODES: usize = 2_000;

/// One node of the spreads, with the mode there.
struct Node {
    spreads: Spreads,
    prior: Prior,
    at: At,
    local: Local,
}

/// A fitted corpus.
pub struct JointFit {
    layout: Layout,
    options: JointOptions,
    /// The likeliest spreads.
    mode: Node,
    /// Sets of spreads around them; none where the mode stands alone.
    around: Vec<Node>,
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
    fit_watched(table, options, &Watch::nobody())
}

/// As [`fit`], told what it is at, and ended by who watches it.
///
/// # Errors
/// Those of [`fit`], and [`FitError::Ended`] where it was ended.
pub fn fit_watched(
    table: &ArmTable,
    options: &JointOptions,
    watch: &Watch<'_>,
) -> Result<JointFit, FitError> {
    options.check()?;
    let layout = Layout::new(table, options.caps);
    let mut at = At::none(&layout);
    let found = match options.known_spreads {
        Some(sd) => spreads::known(&layout, options, sd, &mut at)?,
        None => spreads::likeliest(&layout, options, [0.0; spreads::KINDS], &mut at, watch)?,
    };
    let mode = Node { spreads: found.spreads, prior: found.prior, at, local: found.local };
    if layout.trials.len() > MOST_FOR_NODES || options.known_spreads.is_some() {
        return Ok(JointFit { layout, options: *options, mode, around: Vec::new() });
    }
    let nodes = spreads::nodes(&mode.moments(&layout), options, &mode.spreads)?;
    let node = |(number, spreads): (usize, Spreads)| {
        watch.at(Step::Node(number))?;
        let mut at = mode.at.clone();
        let prior = layout.prior(&spreads, &found.tails, options);
        let local = layout.climb(&prior, &mut at, spreads::ARRIVED);
        Ok(Node { spreads, prior, at, local: local.map_err(|error| error.at_node(number))? })
    };
    let around = nodes.into_iter().enumerate().map(node).collect::<Result<_, FitError>>()?;
    Ok(JointFit { layout, options: *options, mode, around })
}

impl Node {
    fn moments<'a>(&'a self, layout: &'a Layout) -> Moments<'a> {
        Moments::new(layout, &self.prior, &self.at, &self.local)
    }
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
        let known = self.known_spreads.iter().flatten().map(|sd| ("known_spreads", *sd));
        scales.into_iter().chain(known).try_for_each(|(name, value)| crate::rate::check_scale(name, value))
    }
}

impl JointFit {
    /// Mean spreads: of genera, species, methods, genera by method, species by method, growers, trials and arms.
    pub fn spreads(&self) -> [f64; 8] {
        let nodes = self.nodes();
        let sum = |kind: usize| nodes.iter().map(|node| node.spreads.sd[kind]).sum::<f64>();
        std::array::from_fn(|kind| sum(kind) / nodes.len() as f64)
    }

    /// Nodes of equal weight.
    fn nodes(&self) -> &[Node] {
        if self.around.is_empty() { std::slice::from_ref(&self.mode) } else { &self.around }
    }

    /// What is to be expected of a species and method, tried or not.
    ///
    /// # Errors
    /// [`FitError::NotConverged`] where a law at any node cannot be found.
    pub fn cell(&self, genus: usize, species: usize, method: usize) -> Result<CellLaw, FitError> {
        self.law(&self.layout.cell(genus, species, method))
    }

    fn law(&self, place: &layout::CellPlace) -> Result<CellLaw, FitError> {
        let part = |node: &Node| {
            let cell = cell::cell(&node.moments(&self.layout), place, &node.spreads)?;
            let (grower_sd, trial_sd) = node.spreads.grower_and_trial(self.options.tails);
            Ok(law::Part {
                points: cell.points,
                new_grower_sd: grower_sd.hypot(trial_sd),
                grower_sd,
                trial_sd,
            })
        };
        Ok(law::summarise(self.nodes().iter().map(part).collect::<Result<Vec<_>, FitError>>()?))
    }
}
