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
        .section(format!("Trial {trial} is corrected; how it stood before is kept."), |under| {
            under.list(List::points(done.changes.iter().map(said::line)))
        })
        .when(done.is_published, |said| {
            said.say(ending_in_command(&format!(
                "It is published: publish the correction as a revision: propagule publish {}",
                pasteable(trial)
            )))
        })
        .when(done.is_started_changed, |said| {
            said.say(
                "The number put in changed after the first count: a record says so, and no longer that it was counted \
                 at the start.",
            )
        })
}
