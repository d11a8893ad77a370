//! Why a fit is refused.

use crate::CountError;

/// Input that no model can be fitted to.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum FitError {
    /// A count that cannot have happened.
    #[error("grower {grower}: {source}")]
    Count {
        /// Position of the grower (or trial pair) in the input, from 0.
        grower: usize,
        /// What is wrong with the count.
        source: CountError,
    },
    /// More pieces than a grower can have handled; the quadrature is not built for them.
    #[error("grower {grower}: {started} pieces are more than the {limit} that one grower may report")]
    TooManyPieces {
        /// Position of the grower in the input, from 0.
        grower: usize,
        /// Pieces started over all trials.
        started: u64,
        /// The largest number accepted.
        limit: u64,
    },
    /// A weight that is not a number from 0 to 1.
    #[error("grower {grower}: weight {weight} is not between 0 and 1")]
    Weight {
        /// Position of the grower in the input, from 0.
        grower: usize,
        /// The weight given.
        weight: f64,
    },
    /// A prior scale outside the range in which the model is computed.
    #[error("{name} = {value}: a prior scale must lie between {low} and {high}")]
    Scale {
        /// Which option.
        name: &'static str,
        /// The value given.
        value: f64,
        /// Smallest value accepted.
        low: f64,
        /// Largest value accepted.
        high: f64,
    },
    /// The maximum was not found, so that nothing can be said around it.
    #[error("the model did not converge on these counts")]
    NotConverged,
}
