//! When the last archive was made: a home is one folder on one disk.

use crate::app::App;
use crate::home::{Archived, home_flag};
use propagule_files::fault::Fault;

/// Entries from which losing them would be a loss.
const WORTH_KEEPING: usize = 10;
/// Days from which an archive is old.
const OLD_AFTER_DAYS: i32 = 30;

/// How old the last archive is, and whether there is enough to lose.
pub(in crate::app) struct LastArchive {
    /// Whole days; none where there is none yet.
    pub(in crate::app) days_ago: Option<i32>,
    /// Whether there is anything worth an archive, or there was.
    pub(in crate::app) is_worth_it: bool,
    /// What makes one.
    pub(in crate::app) command: String,
}

impl LastArchive {
    /// Looks it up.
    ///
    /// # Errors
    /// When the file that remembers it cannot be read.
    pub(in crate::app) fn read(app: &App) -> Result<Self, Fault> {
        let today = app.clock().today_date();
        let last = Archived::read(app.home().path())?.last;
        Ok(Self {
            days_ago: last.map(|last| today.days_since(last)),
            is_worth_it: last.is_some() || app.bench().entries().count() >= WORTH_KEEPING,
            command: format!("propagule{} export bench-{today}.zip", home_flag(app.home().path())),
        })
    }

    /// Whether a grower should be reminded.
    fn is_owed(&self) -> bool {
        self.is_worth_it && self.days_ago.is_none_or(|days| days >= OLD_AFTER_DAYS)
    }
}

/// The age of the last archive and the command that makes one, where one is owed.
///
/// # Errors
/// When the file that remembers the last one cannot be read.
pub(crate) fn owed(app: &App) -> Result<Option<(Option<i32>, String)>, Fault> {
    let last = LastArchive::read(app)?;
    Ok(last.is_owed().then_some((last.days_ago, last.command)))
}
