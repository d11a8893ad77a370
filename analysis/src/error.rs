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
    #[error("the model did not converge on these counts ({stage})")]
    NotConverged {
        /// Which part of the computation.
        stage: &'static str,
        /// Which node of the spreads, where several are taken.
        node: Option<usize>,
        /// Size of the last step; `None` where there is no number.
        residual: Option<f64>,
    },
    /// A table that no arms could be taken from.
    #[error("{0}")]
    Table(crate::table::ArmTableError),
    /// Whoever watched the fit ended it.
    #[error("ended")]
    Ended,
}

impl FitError {
    /// A part that did not converge, with the size of its last step.
    pub(crate) fn not_converged(stage: &'static str, residual: Option<f64>) -> Self {
        Self::NotConverged { stage, node: None, residual: residual.filter(|size| size.is_finite()) }
    }

    /// The same at one of several nodes.
    pub(crate) fn at_node(self, number: usize) -> Self {
        match self {
            Self::NotConverged { stage, residual, .. } => {
                Self::NotConverged { stage, node: Some(number), residual }
            }
            other => other,
        }
    }
}
