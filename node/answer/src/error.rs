//! Why an answer cannot be given.

use propagule_analysis::FitError;
use propagule_evidence::Question;
use propagule_files::fault::Fault;

/// Why an answer cannot be given.
#[derive(Clone, Debug, PartialEq)]
pub enum AnswerError {
    /// The model refuses the counts.
    Fit {
        /// Label of the method.
        method: String,
        /// Why.
        source: FitError,
    },
    /// The model of all linked methods refuses the counts.
    Linked {
        /// Why.
        source: FitError,
    },
    /// No arm of the evidence belongs to that trial.
    NoSuchTrial {
        /// As asked.
        trial: String,
        /// Trials with labels like it, else the first ones there are.
        instead: Vec<String>,
    },
    /// The trial has no count at that stage yet.
    NotCounted {
        /// The trial.
        trial: String,
        /// What was asked.
        question: Question,
    },
}

impl From<AnswerError> for Fault {
    fn from(error: AnswerError) -> Self {
        match error {
            AnswerError::Fit { method, source } => {
                Self::user("method-not-fitted").with("method", method).because(source)
            }
            AnswerError::Linked { source } => Self::user("methods-not-fitted").because(source),
            AnswerError::NoSuchTrial { trial, instead } => {
                Self::user("compared-trial-missing").with("trial", trial).near(&instead)
            }
            AnswerError::NotCounted { trial, question } => Self::user("compared-trial-not-counted")
                .with("trial", trial)
                .with("outcome", question.outcome)
                .with("stage", question.stage),
        }
    }
}
