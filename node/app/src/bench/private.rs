//! What stays at home: one trial, or all results of this home.

use std::fmt::Write;

use serde_json::json;

use super::due;
use crate::trial::find;
use crate::{App, Reply, undo};
use propagule_bench::{Bench, Event, Trial};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;

/// The option that ends privacy of a trial: it may be published then, and is not published by it.
const BACK: &str = "--allow-publishing";

/// Refuses to publish what is to stay at home.
pub(crate) fn check_may_leave(bench: &Bench, trial: &Trial) -> Result<(), Fault> {
    let code = pasteable(&trial.code);
    if trial.is_private {
        return Err(Fault::user("trial-private")
            .with("trial", &trial.code)
            .with("code", &code)
            .with("back", BACK));
    }
    if bench.publishing() == Some(false) {
        return Err(Fault::user("publishing-off"));
    }
    Ok(())
}

/// Keeps a trial at home, or ends that.
pub(super) fn set(app: &App, code: &str, is_private: bool) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = find(bench.trial(code), code, bench.trials())?.clone();
    let code = &trial.code;
    if trial.is_private == is_private {
        let (state, hint) = if is_private {
            ("private already", format!("to end that: propagule trial private {} {BACK}", pasteable(code)))
        } else {
            ("not private", format!("see what would leave: propagule publish {} --preview", pasteable(code)))
        };
        return Err(Fault::user("privacy-unchanged").with("code", code).with("state", state).hint(hint));
    }
    let published = app.published(&trial)?;
    bench.record(Event::TrialRecorded { trial: Trial { is_private, ..trial.clone() } })?;
    let mut text = if is_private {
        format!("Trial {code} is private: it is never offered for publishing, and `publish` refuses it.\n")
    } else {
        format!("Trial {code} may be published again; nothing was.\n")
    };
    if is_private && published.is_some() {
        let _ = writeln!(
            text,
            "What of it is published already stays so; to take that back: propagule withdraw {} --reason mistaken",
            pasteable(code)
        );
    }
    let back: &[&str] =
        if is_private { &["trial", "private", code, BACK] } else { &["trial", "private", code] };
    text.push_str(&undo::by(back));
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.private/1", "trial": code, "private": is_private, "published_revision": published }),
    ))
}

/// Chooses whether results of this home are to be published, or shows what was chosen.
pub(super) fn settings(app: &App, publishing: Option<bool>) -> Result<Reply, Fault> {
    if let Some(on) = publishing {
        app.bench().record(Event::PublishingChosen { on })?;
    }
    let chosen = app.bench().publishing();
    let asks = due::publishes(app)?;
    let mut text = match (chosen, asks) {
        (Some(true), _) => "publishing on: what is due names results that were not published.\n",
        (Some(false), _) => "publishing off: nothing is offered for publishing, and `publish` refuses.\n",
        (None, true) => {
            "publishing not chosen; you have published before, so what is due names results that were not.\n"
        }
        (None, false) => {
            "publishing not chosen; nothing was published yet, and nothing that is due asks for it.\n"
        }
    }
    .to_owned();
    match publishing {
        Some(on) => text.push_str(&undo::by(&["settings", "publishing", if on { "off" } else { "on" }])),
        None => text.push_str("To choose: propagule settings publishing on (or off)\n"),
    }
    Ok(Reply::report(
        text,
        json!({ "format": "propagule.settings/1", "publishing": chosen, "asks_to_publish": asks }),
    ))
}
