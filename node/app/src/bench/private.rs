//! A trial that stays at home.

use crate::outcome::Outcome;
use crate::outcome::private::PrivacySet;
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
