//! When the last archive was made.

use super::{Check, Finding, Found};
use crate::App;
use crate::archive::last_archive;
use propagule_files::fault::Fault;

/// When the last archive was made, where there is anything to keep.
pub(super) fn archive(app: &App) -> Result<Finding, Fault> {
    let last = last_archive(app)?;
    let found = if last.is_worth_it { Found::Archive { last } } else { Found::NoArchiveNeeded };
    Ok(Finding::ok(Check::Archive, found))
}
