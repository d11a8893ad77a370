//! Columns of a trial table.

use propagule_protocol::Facet;

use crate::bench::Stage;

/// Columns that a table must have.
pub const NEEDED_COLUMNS: [&str; 4] = ["trial", "species", "started", "started_on"];

/// Columns that describe the trial, beside the needed ones.
pub(super) const TRIAL_COLUMNS: [&str; 9] =
    ["grower", "spot", "arm", "place", "stock_plants", "randomised", "blocked", "scored_blind", "note"];

/// Counts of a stage; each column is the stage's word, an underscore, and one of these.
pub const COUNT_COLUMNS: [&str; 8] =
    ["alive", "callused", "rooted", "established", "finished", "dead", "lost", "left_as_finished"];

/// Name of a stage's column.
pub(super) fn of_stage(stage: Stage, what: &str) -> String {
    format!("{}_{what}", stage.word())
}

/// Every column that is understood.
pub fn known() -> Vec<String> {
    let facets = Facet::ALL.iter().map(|facet| facet.name().to_owned());
    let fixed = NEEDED_COLUMNS.iter().chain(&TRIAL_COLUMNS).map(|name| (*name).to_owned());
    let staged = Stage::ALL
        .into_iter()
        .flat_map(|stage| COUNT_COLUMNS.iter().chain(&["on"]).map(move |what| of_stage(stage, what)));
    facets.chain(fixed).chain(staged).collect()
}
