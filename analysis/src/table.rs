//! Arms of trials as a table: who, which trial, which levels of which facets, and the counts.

use crate::{Count, CountError};

/// One arm of one trial.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CountedArm {
    /// Number of its grower.
    pub grower: usize,
    /// Number of its trial; a trial is one grower's.
    pub trial: usize,
    /// Its level of every facet, in the order of the table's facets; `None` where it is not known.
    pub levels: Vec<Option<usize>>,
    /// Its counts.
    pub count: Count,
    /// Pots, blocks or pieces placed singly that were treated apart from each other: what pieces of one pot are not.
    pub replicates: u32,
}

/// Rows that were checked against each other.
#[derive(Clone, Debug, PartialEq)]
pub struct ArmTable {
    facets: Vec<usize>,
    weights: Vec<f64>,
    rows: Vec<CountedArm>,
}

/// What is wrong with a table, and where.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum ArmTableError {
    /// A count that cannot have happened.
    #[error("row {row}: {source}")]
    Count {
        /// Number of the row, from 0.
        row: usize,
        /// What is wrong with the count.
        source: CountError,
    },
    /// More pieces than one arm can have.
    #[error("row {row}: {started} pieces are more than the {limit} of one arm")]
    TooManyPieces {
        /// Number of the row, from 0.
        row: usize,
        /// Pieces started.
        started: u32,
        /// The largest number accepted.
        limit: u32,
    },
    /// A row that does not have one level for every facet.
    #[error("row {row}: {found} levels, but the table has {facets} facets")]
    Facets {
        /// Number of the row, from 0.
        row: usize,
        /// Levels that it has.
        found: usize,
        /// Facets of the table.
        facets: usize,
    },
    /// A level that its facet does not have.
    #[error("row {row}: facet {facet} has no level {level}; it has {levels}")]
    Level {
        /// Number of the row, from 0.
        row: usize,
        /// Number of the facet, from 0.
        facet: usize,
        /// The level given.
        level: usize,
        /// How many the facet has.
        levels: usize,
    },
    /// A grower without a weight.
    #[error("row {row}: grower {grower} has no weight; there are {growers}")]
    Grower {
        /// Number of the row, from 0.
        row: usize,
        /// The grower given.
        grower: usize,
        /// How many have a weight.
        growers: usize,
    },
    /// A trial of two growers.
    #[error("row {row}: trial {trial} is another grower's in an earlier row")]
    TrialOfTwo {
        /// Number of the row, from 0.
        row: usize,
        /// The trial.
        trial: usize,
    },
    /// A weight that is not a number from 0 to 1.
    #[error("grower {grower}: weight {weight} is not between 0 and 1")]
    Weight {
        /// Number of the grower.
        grower: usize,
        /// The weight given.
        weight: f64,
    },
}

/// Most pieces of one arm.
const MOST_PIECES: u32 = 1_000_000;

impl ArmTable {
    /// Checks rows. `facets` has the number of levels of each facet; `weights` has each grower's, 0..=1: the power on the
    /// grower's marginal likelihood. Zero is the same as absence.
    ///
    /// # Errors
    /// [`ArmTableError`] for the first row that cannot be.
    ///
    /// ```
    /// use propagule_analysis::Count;
    /// use propagule_analysis::table::{CountedArm, ArmTable};
    ///
    /// let row = |level| CountedArm {
    ///     grower: 0,
    ///     trial: 0,
    ///     levels: vec![Some(level)],
    ///     count: Count { started: 12, succeeded: 5 },
    ///     replicates: 3,
    /// };
    /// assert!(ArmTable::new(vec![2], vec![1.0], vec![row(0), row(1)]).is_ok());
    /// let error = ArmTable::new(vec![2], vec![1.0], vec![row(0), row(2)]).expect_err("there are two levels");
    /// assert_eq!(error.to_string(), "row 1: facet 0 has no level 2; it has 2");
    /// ```
    pub fn new(facets: Vec<usize>, weights: Vec<f64>, rows: Vec<CountedArm>) -> Result<Self, ArmTableError> {
        let is_weight = |weight: &f64| (0.0..=1.0).contains(weight);
        if let Some(grower) = weights.iter().position(|weight| !is_weight(weight)) {
            return Err(ArmTableError::Weight { grower, weight: weights[grower] });
        }
        let mut of_trial = std::collections::BTreeMap::new();
        for (row, given) in rows.iter().enumerate() {
            check(row, given, &facets, weights.len())?;
            if *of_trial.entry(given.trial).or_insert(given.grower) != given.grower {
                return Err(ArmTableError::TrialOfTwo { row, trial: given.trial });
            }
        }
        Ok(Self { facets, weights, rows })
    }

    /// Number of levels of each facet.
    pub(crate) fn facets(&self) -> &[usize] {
        &self.facets
    }

    /// Weight of a row's grower.
    pub(crate) fn weight(&self, row: &CountedArm) -> f64 {
        self.weights[row.grower]
    }

    /// Rows that say anything: pieces were started, and the grower counts.
    pub(crate) fn counted(&self) -> impl Iterator<Item = &CountedArm> {
        self.rows.iter().filter(|row| row.count.started > 0 && self.weight(row) > 0.0)
    }
}

fn check(row: usize, given: &CountedArm, facets: &[usize], growers: usize) -> Result<(), ArmTableError> {
    let Count { started, succeeded } = given.count;
    if !given.count.is_possible() {
        return Err(ArmTableError::Count { row, source: CountError { started, succeeded } });
    }
    if started > MOST_PIECES {
        return Err(ArmTableError::TooManyPieces { row, started, limit: MOST_PIECES });
    }
    if given.levels.len() != facets.len() {
        return Err(ArmTableError::Facets { row, found: given.levels.len(), facets: facets.len() });
    }
    for (facet, (level, levels)) in given.levels.iter().zip(facets).enumerate() {
        if let Some(level) = level.filter(|level| level >= levels) {
            return Err(ArmTableError::Level { row, facet, level, levels: *levels });
        }
    }
    if given.grower >= growers {
        return Err(ArmTableError::Grower { row, grower: given.grower, growers });
    }
    Ok(())
}
