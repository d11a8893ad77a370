//! What the reading rooms of the page show of the records held here: answers with what stands behind them.

mod find;
mod network;
mod species;
mod trials;

use std::sync::Arc;

pub use super::compare::Compared;
pub use find::{Found, Offer, find, offered};
pub use network::{KNOWN_GROWERS, NetworkView, network};
pub use species::{SpeciesView, species};
pub use trials::{ArmEvidence, TrialEvidence, WhoseTrial, trials};

use super::{App, CompareQuestion, PlanQuestion};
use propagule_answer::plan::PlanAnswer;
use propagule_files::fault::Fault;

/// A plan for one species.
pub fn plan(app: &App, question: &PlanQuestion) -> Result<Arc<PlanAnswer>, Fault> {
    super::plan::planned(app, question)
}

/// An own trial against the others.
pub fn compare(app: &App, question: &CompareQuestion) -> Result<Compared, Fault> {
    super::compare::compared(app, question)
}
