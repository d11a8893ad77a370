//! Why an answer cannot be given.

use propagule_analysis::FitError;
use propagule_analysis::facets::FacetError;
use propagule_files::fault::Fault;

/// Why an answer cannot be given.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum AnswerError {
    /// The model refuses the counts.
    #[error("cannot fit \"{method}\": {source}")]
    Fit {
        /// Label of the method.
        method: String,
        /// Why.
        source: FitError,
    },
    /// The joint facet model refuses the counts.
    #[error("cannot take the facets of {kind} together: {source}")]
    Facets {
        /// The kind of propagation.
        kind: String,
        /// Why.
        source: FacetError,
    },
    /// No arm of the evidence belongs to that trial.
    #[error("cannot compare {trial}: no such trial among the evidence")]
    NoSuchTrial {
        /// As asked.
        trial: String,
        /// Trials with labels like it, else the first ones there are.
        instead: Vec<String>,
    },
    /// The trial has no count at that stage yet.
    #[error("cannot compare {trial}: nothing was counted as {question} yet")]
    NotCounted {
        /// The trial.
        trial: String,
        /// What was asked, in words.
        question: String,
    },
}

impl AnswerError {
    /// What to do about it.
    pub fn hint(&self) -> Option<String> {
        match self {
            Self::Fit { .. } => {
                Some("look at the counts of that method, or leave it out with --where".to_owned())
            }
            Self::Facets { .. } => Some("name fewer facets, such as --facets=wood,auxin,humidity".to_owned()),
            Self::NoSuchTrial { instead, .. } if instead.is_empty() => {
                Some("a trial is named GROWER/TRIAL, with the labels of the table".to_owned())
            }
            Self::NoSuchTrial { instead, .. } => Some(format!("did you mean {}?", instead.join(", "))),
            Self::NotCounted { .. } => {
                Some("compare after the count, or ask for another stage with --stage".to_owned())
            }
        }
    }
}

impl From<AnswerError> for Fault {
    fn from(error: AnswerError) -> Self {
        let failure = Self::said(error.to_string());
        match error.hint() {
            Some(hint) => failure.hint(hint),
            None => failure,
        }
    }
}
