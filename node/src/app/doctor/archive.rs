//! When the last archive was made.

use super::{Check, Finding};
use crate::answer::words::last_archive;
use crate::app::App;
use crate::app::archive::LastArchive;
use propagule_files::fault::Fault;

/// Says when the last archive was made, and how to make one.
pub(super) fn archive(app: &App) -> Result<Finding, Fault> {
    let last = LastArchive::read(app)?;
    let said = if last.is_worth_it {
        format!("{}; make one: {}", last_archive(last.days_ago), last.command)
    } else {
        "not needed yet: there are only a few entries".to_owned()
    };
    Ok(Finding::ok(Check::Archive, said))
}
