//! Taking a published trial back: a record of its own that says so, for ever.

use std::sync::PoisonError;

use propagule_protocol::record::{Extensions, Head, Withdrawal};
use propagule_protocol::{Body, sign, vocab};
use serde_json::json;

use super::{App, Reply, Report, trial};
use propagule_files::fault::Fault;
use propagule_files::paste::pasteable;
use propagule_network::store::Arrival;

/// Shows what taking back means, or with a yes signs it and hands it on.
pub(super) fn withdraw(
    app: &App,
    code: &str,
    reason: &str,
    confirmed: bool,
    at_once: bool,
) -> Result<Reply, Fault> {
    super::publish::check_clock(app)?;
    let _turn = app.publishing.lock().unwrap_or_else(PoisonError::into_inner);
    let trial = {
        let bench = app.bench();
        trial::find(bench.trial(code), code, bench.trials())?.clone()
    };
    let words = pasteable(&trial.code);
    let reason_code = vocab::withdrawal_reason(reason).map_err(|e| {
        Fault::usage("withdraw-reason-unknown")
            .with("reason", reason)
            .with("why", &e.why)
            .with("reasons", vocab::withdrawal_reasons().join(", "))
            .near(&e.suggestions)
    })?;
    let Some(series) = trial.series_bytes().filter(|_| matches!(app.published(&trial), Ok(Some(_)))) else {
        return Err(Fault::user("trial-not-published").with("trial", &trial.code).with("words", &words));
    };
    if app.is_withdrawn(&series)? {
        return Ok(Reply::report(
            format!("Trial \"{}\" has been taken back already; nothing to do.\n", trial.code),
            json!({ "format": "propagule.withdraw/1", "trial": trial.code, "withdrawn": true }),
        ));
    }
    if !confirmed {
        return Ok(Reply::Preview(Report {
            text: format!(
                "Taking trial \"{}\" back is final: everybody's node will leave it out, it can never be published \
                 again under this name, and others may keep copies of what they have. Your bench record stays.\n",
                trial.code
            ),
            json: json!({ "format": "propagule.withdraw/1", "trial": trial.code, "withdrawn": false }),
        }));
    }
    let signer = app.signer_of(&trial.code, &series)?;
    let body = Withdrawal {
        head: Head::new(app.clock.month()),
        series,
        reason: reason_code,
        extensions: Extensions::new(),
    };
    let signed = sign(&Body::Withdrawal(body), &signer.key, &app.network)
        .map_err(|e| Fault::environment("record-not-signed").because(e))?;
    let id = signed.id;
    app.store
        .append(&[Arrival::Accepted { signed: Box::new(signed), own: Some(app.first_stage(at_once)) }])?;
    Ok(Reply::report(
        format!(
            "Trial \"{}\" is taken back by record\n{id}\nEvery node that gets this record leaves the trial out.\n{}\n",
            trial.code,
            app.how_it_leaves(at_once)
        ),
        json!({ "format": "propagule.withdraw/1", "trial": trial.code, "withdrawn": true, "record": id }),
    ))
}
