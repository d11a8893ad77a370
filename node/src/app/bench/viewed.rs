//! What a screen shows of the bench: the facts that commands tell, with their parts kept apart.

mod history;
mod list;
mod names;
mod spots;
mod trial;

use propagule_protocol::Date;

pub(crate) use history::history;
pub(in crate::app) use list::list;
pub(crate) use list::{has_trials, trials};
pub(crate) use names::{Names, climate, names};
pub(crate) use spots::{SpotView, spots};
pub(crate) use trial::{PlaceView, PotView, TrialView, trial};

use super::{DuePart, due, laying_out};
use crate::app::App;
use crate::app::outcome::due::DueList;
use propagule_bench::layout::Layout;
use propagule_files::fault::Fault;

/// What is due: what is near, or all of it.
pub(crate) fn due(app: &App, as_of: Date, all: bool) -> Result<DueList, Fault> {
    due::list(app, as_of, &DuePart { all, ..DuePart::default() }, due::Screen::Page)
}

/// Where the pots of a trial stand; none before it was laid out.
pub(crate) fn layout(app: &App, code: &str) -> Result<Option<(Layout, Vec<String>)>, Fault> {
    let bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(code), code, bench.trials())?;
    let labels = || laying_out::specs(trial).into_iter().map(|spec| spec.code).collect();
    Ok(trial.layout.map(|choice| (laying_out::of(trial, choice), labels())))
}

/// The bench itself, for tests that write what no screen does.
#[cfg(test)]
pub(crate) fn bench(app: &App) -> std::sync::MutexGuard<'_, propagule_bench::Bench> {
    app.bench()
}
