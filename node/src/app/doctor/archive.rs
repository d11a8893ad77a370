//! When the last archive was made: a home is one folder on one disk.

use propagule_protocol::Date;

use super::{Check, Finding};
use crate::answer::words::last_archive;
use crate::app::App;
use crate::error::Failure;
use crate::home::Archived;

/// Entries from which losing them would be a loss.
const WORTH_KEEPING: usize = 10;

/// Says when the last archive was made, and how to make one.
pub(super) fn archive(app: &App, flag: &str) -> Result<Finding, Failure> {
    let entries = app.bench().entries().count();
    let archived = Archived::read(app.home().path())?;
    let today = app.clock().today_date();
    Ok(Finding::ok(Check::Archive, says(entries, archived.last, today, flag)))
}

fn says(entries: usize, last: Option<Date>, today: Date, flag: &str) -> String {
    if entries < WORTH_KEEPING && last.is_none() {
        return format!("not needed yet: fewer than {WORTH_KEEPING} entries");
    }
    let ago = last.map(|last| today.days_since(last));
    format!("{}; make one: propagule{flag} export bench-{today}.zip", last_archive(ago))
}
