//! Counting pot by pot.

use crate::kind::{KindWords, capital};
use propagule_bench::Stage;

/// The heading of a count; none is a check between the stages.
pub fn title(words: &KindWords, stage: Option<Stage>) -> String {
    stage.map_or_else(|| "Check".to_owned(), |stage| words.title(stage))
}

/// The same with the trial.
pub fn title_of(words: &KindWords, stage: Option<Stage>, code: &str) -> String {
    format!("{} of {code}", title(words, stage))
}

/// Before what was saved.
pub const SAVED: &str = "Saved: ";
/// The page that takes all pots as a text.
pub const WHOLE_SHEET: &str = "Type a whole sheet";
/// Shows what was hidden.
pub const SHOW_TREATMENTS: &str = "Show the treatments";
/// Hides which treatment a pot has.
pub const HIDE_TREATMENTS: &str = "Hide the treatments (count blind)";
/// Pages of a long list of pots.
pub const POTS: &str = "Pots";
/// Everything was looked at.
pub const NO_CHANGE: &str = "Checked, no change";
/// What a check leaves out.
pub const ONLY_CHANGES: &str =
    "Count only the pots where something changed. Anything you do not count stays alive.";
/// What a count has to add up to.
pub const ADDS_UP: &str = "The counts of a pot add up to what was left in it.";
/// A pot in which none is left.
pub const NOTHING_LEFT: &str = "Nothing is left here to count.";
/// The fold of what is seldom needed.
pub const MORE: &str = "Day, other cause, rest, note";
/// Counts that have no button.
pub const MORE_COUNTS: &str = "More that was counted";
/// What may be said of it: what is sent, and what is read.
pub const RESTS: [(&str, &str); 4] =
    [("", "there is none: all are counted"), ("alive", "alive"), ("dead", "dead"), ("not-known", "not seen")];
/// Alive, at a check.
pub const ALIVE: &str = "Alive";
/// Alive and not finished, at the final count.
pub const NOT_YET: &str = "Alive, not yet there";
/// Finished, at the final count.
pub const FINISHED: &str = "Finished";
/// Dead since the count before.
pub const DEAD: &str = "Dead since";
/// Lost since the count before.
pub const LOST: &str = "Lost since";
/// Not seen.
pub const NOT_SEEN: &str = "Not seen";

/// What succeeded at a stage.
pub fn succeeded(words: &KindWords, stage: Stage) -> String {
    capital(words.outcome_named(stage))
}

/// Alive without that.
pub fn green(words: &KindWords) -> String {
    capital(words.green)
}

/// A pot that is done, by how it stands.
pub fn counted(standing: &str) -> String {
    format!("counted: {standing}")
}

/// A pot that waits.
pub fn left_of(left: u16, started: u16) -> String {
    format!("{left} left of {started}")
}

/// The button of a pot.
pub fn save(name: &str) -> String {
    format!("{} {name}", super::SAVE)
}

/// How a sheet is filled.
pub const SHEET_HELP: &str = "In the order of the printed sheet. A row that stays empty was not counted.";
/// Pages of a sheet.
pub const ROWS: &str = "Rows";
/// Whether it was counted blind.
pub const BLIND: &str = "I did not know which treatment was which";
/// The button of a sheet.
pub const SAVE_SHEET: &str = "Save the sheet";

/// The heading of a sheet.
pub fn sheet_of(words: &KindWords, stage: Option<Stage>, code: &str) -> String {
    format!("{}, sheet", title_of(words, stage, code))
}

/// Where pots stand in the sheet.
pub const PLACE: &str = "Place";

/// Those that are left in a pot.
pub fn left(count: u16) -> String {
    format!("{count} left")
}

/// The word at the head of a column: the sheet is narrow.
pub fn head(name: &str, words: &str) -> String {
    match name {
        "dead" | "lost" | "waiting" => name.to_owned(),
        "finished" => "done".to_owned(),
        _ => words.to_lowercase(),
    }
}

/// What the short words at the final count stand for.
pub fn what_heads_mean(finished: &str) -> String {
    format!("done: {}; waiting: alive, not there yet", finished.to_lowercase())
}
