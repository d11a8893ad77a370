//! Corrections of a trial's description in words.

use crate::document::{Document, List};
use propagule_files::paste::pasteable;

use super::command::ending_in_command;
use super::said;
use propagule_app::outcome::corrected::TrialCorrected;

/// The description of a trial was corrected.
pub(super) fn done(done: &TrialCorrected) -> Document {
    let trial = &done.trial;
    Document::new()
        .section(format!("{trial} is changed; the history keeps the old wording."), |under| {
            under.list(List::points(done.changes.iter().map(said::line)))
        })
        .when(done.is_published, |said| {
            said.say(ending_in_command(&format!(
                "It is published. Publish the change as an update: propagule publish {}",
                pasteable(trial)
            )))
        })
        .when(done.is_started_changed, |said| {
            said.say(
                "The number started changed after the first count. A published result says so, and no longer that it was \
                 counted on the day.",
            )
        })
}
