//! How far learning from other plants is, as an answer shows it.

use std::sync::Arc;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Learnt;
use crate::said::{AnswerSaid, LearntState};

/// Trials and species below which there is little to learn from.
const FEW_TRIALS: usize = 10;
const FEW_SPECIES: usize = 3;

/// What is learnt when a question is asked.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Learning {
    /// Nothing, and it is not asked for.
    #[default]
    NotAsked,
    /// It is being worked out in the background.
    Working,
    /// More is held than a single command works out.
    TooMuch,
    /// It is learnt.
    Done {
        /// What.
        learnt: Arc<Learnt>,
        /// Key of the species asked about.
        species: String,
        /// Minutes since newer results came, where they did.
        age_minutes: Option<u64>,
    },
}

/// What an answer learnt from other plants.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct LearntAnswer {
    /// How far it is.
    pub state: LearntState,
    /// Trials that it was learnt from, those of the species among them.
    pub trials: usize,
    /// Trials that are held of these kinds; more than were learnt from where there are too many.
    pub of_trials: usize,
    /// Species, the one asked for among them where it was tried.
    pub species: usize,
    /// Minutes since newer results came that are not in it; null where there are none.
    pub fit_age: Option<u64>,
    /// In words; empty where nothing needs to be said.
    pub sentence: AnswerSaid,
}

impl Learning {
    /// What was learnt, and the species that it is asked about.
    pub fn learnt(&self) -> Option<(&Learnt, &str)> {
        match self {
            Self::Done { learnt, species, .. } => Some((learnt, species)),
            _ => None,
        }
    }

    /// As an answer shows it; `None` where it was not asked for.
    pub fn shown(&self) -> Option<LearntAnswer> {
        let nothing = LearntAnswer {
            state: LearntState::Working,
            trials: 0,
            of_trials: 0,
            species: 0,
            fit_age: None,
            sentence: AnswerSaid::Nothing,
        };
        let shown = match self {
            Self::NotAsked => return None,
            Self::Working => nothing,
            Self::TooMuch => LearntAnswer { state: LearntState::TooMuch, ..nothing },
            Self::Done { learnt, species, age_minutes } => {
                let basis = learnt.basis(species);
                let state = match basis {
                    _ if basis.has_failed => LearntState::Failed,
                    _ if basis.species < 2 => LearntState::Nothing,
                    _ if basis.trials < FEW_TRIALS || basis.species < FEW_SPECIES => LearntState::Little,
                    _ => LearntState::Learnt,
                };
                let (trials, of_trials, species) = (basis.trials, basis.held, basis.species);
                LearntAnswer { state, trials, of_trials, species, fit_age: *age_minutes, ..nothing }
            }
        };
        let LearntAnswer { state, trials, of_trials, species, fit_age, .. } = shown;
        let sentence = AnswerSaid::Learnt { state, trials, of_trials, species, fit_age };
        Some(LearntAnswer { sentence, ..shown })
    }
}
