//! What stays at home: one trial, or all results of this home.

use super::due;
use crate::outcome::Outcome;
use crate::outcome::private::{HomeSettings, PrivacySet};
use crate::trial::{BACK, find};
use crate::{App, Reply};
use propagule_bench::{Event, Trial};
use propagule_files::fault::Fault;

/// Keeps a trial at home, or ends that.
pub(super) fn set(app: &App, code: &str, is_private: bool) -> Result<Reply, Fault> {
    let mut bench = app.bench();
    let trial = find(bench.trial(code), code, bench.trials())?.clone();
    let code = &trial.code;
    if trial.is_private == is_private {
        let state = if is_private { "private" } else { "open" };
        let hint = if is_private { "end-privacy" } else { "see-what-would-leave" };
        return Err(Fault::user("privacy-unchanged")
            .with("code", code)
            .with("state", state)
            .with("back", BACK)
            .hint_named(hint));
    }
    let published_revision = app.published(&trial)?;
    bench.record(Event::TrialRecorded { trial: Trial { is_private, ..trial.clone() } })?;
    let set = PrivacySet { trial: code.clone(), private: is_private, published_revision };
    Ok(Reply::done(Outcome::PrivacySet(set)))
}

/// Chooses whether results of this home are to be published, or shows what was chosen.
pub(super) fn settings(app: &App, publishing: Option<bool>) -> Result<Reply, Fault> {
    if let Some(on) = publishing {
        app.bench().record(Event::PublishingChosen { on })?;
    }
    let chosen = app.bench().publishing();
    let settings = HomeSettings {
        publishing: chosen,
        asks_to_publish: due::publishes(app)?,
        is_chosen_now: publishing.is_some(),
    };
    Ok(Reply::done(Outcome::Settings(settings)))
}
