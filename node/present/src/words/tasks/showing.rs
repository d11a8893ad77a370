//! The page of one trial: what was just saved, what the trial is, and what can be done with it.

use propagule_bench::Stage;

use crate::kind::{KindWords, capital};

/// What was just saved, as it stands.
pub fn saved(stands: &str) -> String {
    format!("Saved: {stands}")
}

/// What had been saved before and was sent once more.
pub fn saved_before(entry: u64, stands: &str) -> String {
    format!("This was saved before, as entry {entry}: {stands}. Nothing was changed.")
}

/// The way to correct that.
pub const CORRECT_IT: &str = "Correct it";

/// That an entry counts no more.
pub fn undone(entry: u64) -> String {
    format!("Entry {entry} is undone.")
}

/// What remains of it.
pub const UNDONE_IS_KEPT: &str = "How it stood is kept in the history.";

/// That the number started is set.
pub fn started(words: &KindWords, number: u32) -> String {
    format!("{}: {number}. This number stays.", capital(words.started))
}

/// What comes next.
pub const NEXT_LOOK: &str = "Look again in two weeks; Today reminds you.";

/// Why what was to be announced is not.
pub fn not_announced(why: &str) -> String {
    format!("Not announced yet: {why}")
}

/// That a trial is set up, and what is still to come.
pub const SET_UP: [&str; 2] = ["Set up.", "Not started yet."];
/// That a trial is open again, and what that means.
pub const REOPENED: [&str; 2] = ["Reopened.", "What the closing said of the rest is undone."];
/// That a description is corrected, and what remains of it.
pub const CORRECTED: [&str; 2] = ["Corrected.", "How it was described before is kept in the history."];

/// The fold of what the trial is.
pub const ABOUT: &str = "About this trial";
/// The fold of what can be printed.
pub const TO_PRINT: &str = "To print";
/// The fold of what mends it.
pub const MENDING: &str = "History, corrections, closing";
/// The fold of what is rarer.
pub const MORE: &str = "More";

/// When it is to be started.
pub const PLANNED_FOR: &str = "Planned for";
/// Where it stands.
pub const SITE: &str = "Site";
/// The trial it follows.
pub const FOLLOWS: &str = "Follows";
/// Whose it is, where it was entered for another.
pub const GROWER: &str = "Grower";

/// What a success is taken to be here.
pub fn success_means(words: &KindWords) -> String {
    format!("{} means", capital(words.lead))
}

/// What finished is taken to be here.
pub const FINISHED_MEANS: &str = "Finished means";
/// The grower's own words.
pub const NOTE: &str = "Note";
/// The fact about publishing.
pub const PUBLISHED: &str = "Published";

/// Which update of it was published, or that none was.
pub fn published(update: Option<u8>, is_private: bool) -> String {
    let said = update.map_or_else(|| "no".to_owned(), |update| format!("update {update}"));
    if is_private { format!("{said}; private, so it stays at home") } else { said }
}

/// The day on which it was closed, and why.
pub const CLOSED: &str = "Closed";

/// Opens a closed trial again.
pub const REOPEN: &str = "Reopen";
/// Closes one.
pub const CLOSE: &str = "Close";
/// Says that a planned trial was started.
pub const RECORD_START: &str = "Record the start";
/// Says which pot stands where.
pub const LAY_OUT: &str = "Lay the pots out";
/// Looks at it between stages.
pub const CHECK: &str = "Check";

/// What binds a graft, and shoots of its rootstock.
pub fn tape_and_suckers(words: &KindWords) -> String {
    format!("{} and suckers", capital(words.trade("graft tape")))
}

/// Moves it, or says that some left.
pub const MOVE_OR_SELL: &str = "Move or sell";

/// Counts a stage once more.
pub fn again(words: &KindWords, stage: Stage) -> String {
    format!("{} again", words.title(stage))
}

/// Labels of its pots.
pub const LABELS: &str = "Labels";
/// The same for who must not know what they got.
pub const BLIND_LABELS: &str = "Labels without treatments";
/// Paper to count on.
pub const SHEET: &str = "Count sheet";
/// The same for who must not know what they got.
pub const BLIND_SHEET: &str = "Count sheet without treatments";
/// One page of what it shows.
pub const REPORT: &str = "Report";
/// Which pot stands where.
pub const LAYOUT: &str = "Bench layout";
/// Everything that was entered.
pub const HISTORY: &str = "History and corrections";
/// Changes what was described.
pub const CORRECT_DESCRIPTION: &str = "Correct the description";
/// Lets it out.
pub const ALLOW_PUBLISHING: &str = "Allow publishing";
/// Keeps it at home.
pub const KEEP_PRIVATE: &str = "Keep private";
