//! What the reading rooms of the page show of the records held here: answers with what stands behind them.

mod find;
mod network;
mod species;
mod trials;

use std::sync::Arc;

pub(crate) use super::compare::Compared;
pub(crate) use find::{Found, Offer, find, held};
pub(crate) use network::{KNOWN_GROWERS, NetworkView, network};
pub(crate) use species::{SpeciesView, species};
pub(crate) use trials::{ArmEvidence, TrialEvidence, WhoseTrial, trials};

use super::{App, CompareRequest, PlanRequest};
use crate::answer::plan::PlanAnswer;
use propagule_files::fault::Fault;

/// A plan for one species.
pub(crate) fn plan(app: &App, request: &PlanRequest) -> Result<Arc<PlanAnswer>, Fault> {
    super::plan::planned(app, request)
}

/// An own trial against the others.
pub(crate) fn compare(app: &App, request: &CompareRequest) -> Result<Compared, Fault> {
    super::compare::compared(app, request)
}
