//! What a screen shows of the bench: the facts that commands tell, with their parts kept apart.

mod history;
mod list;
mod names;
mod spots;
mod trial;

use propagule_protocol::Date;

pub use history::{EntryView, HistoryView, history};
pub use list::{TrialLine, has_trials, trials};
pub use names::{Names, climate, names};
pub use spots::{SpotView, spots};
pub use trial::{ArmView, PlaceView, PotView, StageView, TrialView, trial};

use super::laying_out;
use crate::App;
use propagule_bench::due;
use propagule_bench::layout::Layout;
use propagule_files::fault::Fault;

/// What is due, as the command tells it.
pub fn agenda(app: &App, as_of: Date) -> Result<due::Agenda, Fault> {
    super::due::agenda(app, as_of, &super::DuePart::default())
}

/// The same as a calendar file.
pub fn calendar(app: &App, as_of: Date) -> Result<String, Fault> {
    Ok(super::due::calendar_text(app, &agenda(app, as_of)?))
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
