//! What a screen shows of the bench: the facts that commands tell, with their parts kept apart.

mod done;
mod history;
mod list;
mod names;
mod spots;
mod trial;

use propagule_protocol::Date;

pub use super::pots::PotStands;
pub use done::{Done, DoneToday, done_on};
pub use history::history;
pub use list::list;
pub use list::{LotLine, lots};
pub use list::{has_trials, trials};
pub use names::{Names, climate, names};
pub use spots::{SpotView, spots};
pub use trial::{PlaceView, TrialView, trial};

use super::{DuePart, due, laying_out};
use crate::App;
use crate::outcome::due::DueList;
use propagule_bench::layout::Layout;
use propagule_files::fault::Fault;

/// What is due: what is near, or all of it.
pub fn due(app: &App, as_of: Date, all: bool) -> Result<DueList, Fault> {
    due::list(app, as_of, &DuePart { all, ..DuePart::default() }, due::Screen::Page)
}

/// Where the pots of a trial stand; none before it was laid out.
pub fn layout(app: &App, code: &str) -> Result<Option<(Layout, Vec<String>)>, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let labels = || laying_out::specs(trial).into_iter().map(|spec| spec.code).collect();
    Ok(trial.layout.map(|choice| (laying_out::of(trial, choice), labels())))
}

/// The bench itself, for tests that write what no screen does.
pub fn bench(app: &App) -> std::sync::MutexGuard<'_, propagule_bench::Bench> {
    app.bench()
}
