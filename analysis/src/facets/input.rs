//! What is fitted, checked, and where its parameters stand.

use super::tried::Tried;
use crate::rate::{Levels, Model, check_scale};
use crate::{Count, CountError, FitError};

/// Most levels of all facets together.
const MOST_LEVELS: usize = 200;

/// A facet: how many levels it has, and which of them the others are held against.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Facet {
    /// Levels 0..levels.
    pub levels: usize,
    /// The level to which effects are given; `None` takes the one with most pieces started, the first among equals.
    pub reference: Option<usize>,
}

impl Facet {
    /// A facet of so many levels, the most tried being the reference.
    pub fn new(levels: usize) -> Self {
        Self { levels, reference: None }
    }
}

/// One arm: a level of every facet, and its counts.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FacetArm {
    /// One level a facet, in the order of the facets.
    pub levels: Vec<usize>,
    /// Its counts.
    pub count: Count,
}

/// A grower's trials, each a list of arms.
#[derive(Clone, Debug, PartialEq)]
pub struct FacetGrower {
    /// Arms by trial.
    pub trials: Vec<Vec<FacetArm>>,
    /// Power on this grower's marginal likelihood, 0..=1. Zero is the same as absence.
    pub weight: f64,
}

/// Levels of spread and prior scales.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Options {
    /// How many levels of spread to fit; automatic as in [`crate::rate`].
    pub levels: Levels,
    /// Standard deviation of the normal prior of the log odds ratio of two levels of one facet.
    pub log_or_sd: f64,
    /// Scale of the half-normal prior of the spread between growers.
    pub grower_sd: f64,
    /// Scale of the half-normal prior of the spread between trials of one grower.
    pub trial_sd: f64,
}

impl Default for Options {
    fn default() -> Self {
        Self { levels: Levels::Auto, log_or_sd: 2.82, grower_sd: 1.0, trial_sd: 0.5 }
    }
}

impl Options {
    pub(super) fn model(&self, growers: &[FacetGrower]) -> Model {
        let started = |trial: &&Vec<FacetArm>| trial.iter().any(|arm| arm.count.started > 0);
        let counted = growers.iter().filter(|grower| grower.weight > 0.0);
        self.levels.model(counted.map(|grower| grower.trials.iter().filter(started).count()))
    }
}

/// Why a facet model is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FacetError {
    /// A count, weight or prior scale.
    #[error(transparent)]
    Fit(#[from] FitError),
    /// An arm or combination with too few or too many levels.
    #[error("{given} levels are named where there are {facets} facets: one level a facet")]
    Shape {
        /// Levels named.
        given: usize,
        /// Facets there are.
        facets: usize,
    },
    /// A level that its facet does not have.
    #[error("facet {facet}: level {level} is named, but its levels are 0 to one less than {levels}")]
    Level {
        /// Position of the facet.
        facet: usize,
        /// The level named.
        level: usize,
        /// Levels it has.
        levels: usize,
    },
    /// More levels than the model is built for.
    #[error("{levels} levels altogether: at most {limit}")]
    TooManyLevels {
        /// Levels of all facets.
        levels: usize,
        /// The largest number accepted.
        limit: usize,
    },
}

pub(super) fn check(facets: &[Facet], growers: &[FacetGrower], options: &Options) -> Result<(), FacetError> {
    check_scale("log_or_sd", options.log_or_sd)?;
    check_scale("grower_sd", options.grower_sd)?;
    check_scale("trial_sd", options.trial_sd)?;
    let levels: usize = facets.iter().map(|facet| facet.levels).fold(0, usize::saturating_add);
    if levels > MOST_LEVELS {
        return Err(FacetError::TooManyLevels { levels, limit: MOST_LEVELS });
    }
    for (facet, Facet { levels, reference }) in facets.iter().enumerate() {
        let level = reference.unwrap_or(0);
        if level >= *levels {
            return Err(FacetError::Level { facet, level, levels: *levels });
        }
    }
    growers.iter().enumerate().try_for_each(|(grower, given)| check_grower(facets, grower, given))
}

fn check_grower(facets: &[Facet], grower: usize, given: &FacetGrower) -> Result<(), FacetError> {
    if !(0.0..=1.0).contains(&given.weight) {
        return Err(FitError::Weight { grower, weight: given.weight }.into());
    }
    for arm in given.trials.iter().flatten() {
        check_levels(facets.iter().map(|facet| facet.levels), &arm.levels)?;
        if !arm.count.is_possible() {
            let source = CountError { started: arm.count.started, succeeded: arm.count.succeeded };
            return Err(FitError::Count { grower, source }.into());
        }
    }
    Ok(())
}

/// Whether one level is named for each facet, none out of range.
pub(super) fn check_levels(
    facets: impl ExactSizeIterator<Item = usize>,
    named: &[usize],
) -> Result<(), FacetError> {
    if named.len() != facets.len() {
        return Err(FacetError::Shape { given: named.len(), facets: facets.len() });
    }
    for (facet, (levels, level)) in facets.zip(named).enumerate() {
        if *level >= levels {
            return Err(FacetError::Level { facet, level: *level, levels });
        }
    }
    Ok(())
}

/// Where parameters stand in a list: mu first, then the levels of facet after facet.
#[derive(Clone, Debug)]
pub(super) struct Layout {
    /// Levels of each facet.
    pub(super) levels: Vec<usize>,
    /// Reference level of each facet.
    pub(super) references: Vec<usize>,
    first: Vec<usize>,
    /// Length of the list.
    pub(super) parameters: usize,
}

impl Layout {
    pub(super) fn new(facets: &[Facet], tried: &Tried) -> Self {
        let levels: Vec<usize> = facets.iter().map(|facet| facet.levels).collect();
        let mut parameters = 1;
        let mut first = Vec::with_capacity(facets.len());
        for count in &levels {
            first.push(parameters);
            parameters += count;
        }
        let reference = |(k, facet): (usize, &Facet)| facet.reference.unwrap_or_else(|| tried.most(k));
        let references = facets.iter().enumerate().map(reference).collect();
        Self { levels, references, first, parameters }
    }

    /// Place of a level's effect.
    pub(super) fn place(&self, facet: usize, level: usize) -> usize {
        self.first[facet] + level
    }

    /// Places of the effects of an arm with these levels, mu's among them.
    pub(super) fn places(&self, levels: &[usize]) -> Vec<usize> {
        let effects = levels.iter().enumerate().map(|(facet, level)| self.place(facet, *level));
        std::iter::once(0).chain(effects).collect()
    }
}
