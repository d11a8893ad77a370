//! Spots, as a screen lists them.

use std::collections::BTreeMap;

use crate::App;
use crate::bench::spots;
use propagule_bench::spot::{CareSpan, Spot};
use propagule_files::fault::Fault;

/// A spot with its care and what stands on it.
#[derive(Clone, Debug)]
pub struct SpotView {
    /// The spot.
    pub spot: Spot,
    /// What lots take from it today.
    pub facets: BTreeMap<String, String>,
    /// Its care, as spans of days.
    pub care: Vec<CareSpan>,
    /// Codes of what stands there.
    pub lots: Vec<String>,
}

/// All spots, or one.
pub fn spots(app: &App, name: Option<&str>) -> Result<Vec<SpotView>, Fault> {
    let bench = app.bench();
    let today = app.clock().today_date();
    let found: Vec<Spot> = match name {
        Some(name) => vec![spots::find(&bench, name)?.clone()],
        None => bench.spots().cloned().collect(),
    };
    let view = |spot: Spot| SpotView {
        facets: bench.facets_of_spot(&spot.name, today),
        care: bench.care_of(&spot.name),
        lots: spots::lots_on(&bench, &spot.name, today),
        spot,
    };
    Ok(found.into_iter().map(view).collect())
}
