//! What stays at home, in words.

use crate::document::Document;
use propagule_files::paste::pasteable;

use super::command::ending_in_command;
use super::undo;
use propagule_app::outcome::private::{HomeSettings, PrivacySet};

/// The option that ends privacy of a trial: it may be published then, and is not published by it.
const BACK: &str = "--allow-publishing";

/// A trial stays at home from now on, or may be published again.
pub(super) fn set(set: &PrivacySet) -> Document {
    let PrivacySet { trial, private, published_revision } = set;
    if !private {
        return Document::new()
            .say(format!("{trial} may be published again; nothing was."))
            .action(undo::by(["trial", "private", trial]));
    }
    Document::new()
        .say(format!("{trial} is private: it is never offered for publishing, and `publish` refuses it."))
        .when(published_revision.is_some(), |said| {
            said.say(ending_in_command(&format!(
                "What is published of it stays so. To withdraw that: propagule withdraw {} --reason \
                 mistaken",
                pasteable(trial)
            )))
        })
        .action(undo::by(["trial", "private", trial, BACK]))
}

/// Whether results of this home are to be published.
pub(super) fn settings(settings: &HomeSettings) -> Document {
    let said = match (settings.publishing, settings.asks_to_publish) {
        (Some(true), _) => "Publishing is on: what is due names results that were not published.",
        (Some(false), _) => "Publishing is off: nothing is offered for publishing, and `publish` refuses.",
        (None, true) => {
            "Publishing is not chosen. You have published before, so what is due names results that were not."
        }
        (None, false) => {
            "Publishing is not chosen. Nothing was published yet, and nothing that is due asks for it."
        }
    };
    let said = Document::new().say(said);
    match settings.publishing.filter(|_| settings.is_chosen_now) {
        Some(on) => said.action(undo::by(["settings", "publishing", if on { "off" } else { "on" }])),
        None => said.say("To choose: propagule settings publishing on (or off)"),
    }
}
