//! When the last archive was made: a home is one folder on one disk.

use crate::App;
use crate::home::{Archived, to_be_named};
use crate::outcome::archive::LastArchive;
use propagule_files::fault::Fault;

/// Entries from which losing them would be a loss.
const WORTH_KEEPING: usize = 10;

/// How old the last archive is, and whether there is enough to lose.
///
/// # Errors
/// When the file that remembers it cannot be read.
pub(crate) fn last_archive(app: &App) -> Result<LastArchive, Fault> {
    let today = app.clock().today_date();
    let last = Archived::read(app.home().path())?.last;
    Ok(LastArchive {
        days_ago: last.map(|last| today.days_since(last)),
        is_worth_it: last.is_some() || app.bench().entries().count() >= WORTH_KEEPING,
        named_home: to_be_named(app.home().path()),
        file: format!("bench-{today}.zip"),
    })
}

/// The age of the last archive, where a new one is owed.
///
/// # Errors
/// When the file that remembers the last one cannot be read.
pub fn owed(app: &App) -> Result<Option<LastArchive>, Fault> {
    let last = last_archive(app)?;
    Ok(last.is_owed().then_some(last))
}
