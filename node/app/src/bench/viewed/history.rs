//! Every entry of a trial, as a screen lists it.

use crate::App;
use crate::bench::history;
use crate::outcome::history::History;
use propagule_files::fault::Fault;

/// Every entry of a trial, and every change of its description.
pub fn history(app: &App, code: &str) -> Result<History, Fault> {
    history::of(app, code)
}
