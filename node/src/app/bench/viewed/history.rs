//! Every entry of a trial, as a screen lists it.

use crate::app::App;
use crate::app::bench::history;
use crate::app::outcome::history::History;
use propagule_files::fault::Fault;

/// Every entry of a trial, and every change of its description.
pub(crate) fn history(app: &App, code: &str) -> Result<History, Fault> {
    history::of(app, code)
}
