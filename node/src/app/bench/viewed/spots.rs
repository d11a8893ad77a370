//! Spots, as a screen lists them.

use std::collections::BTreeMap;

use crate::app::App;
use crate::app::bench::spots;
use propagule_bench::spot::{CareSpan, Spot};
use propagule_files::fault::Fault;

/// A spot with its care and what stands on it.
#[derive(Clone, Debug)]
pub(crate) struct SpotView {
    pub(crate) spot: Spot,
    /// What lots take from it today.
    pub(crate) facets: BTreeMap<String, String>,
    pub(crate) care: Vec<CareSpan>,
    pub(crate) lots: Vec<String>,
}

/// All spots, or one.
pub(crate) fn spots(app: &App, name: Option<&str>) -> Result<Vec<SpotView>, Fault> {
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
