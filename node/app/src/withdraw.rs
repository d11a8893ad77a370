//! Taking a published trial back: a record of its own that says so, for ever.

use std::sync::PoisonError;

use propagule_protocol::record::{Code, Extensions, Head, Withdrawal};
use propagule_protocol::{Body, sign, vocab};

use super::outcome::Outcome;
use super::outcome::publish::{Withdraw, WithdrawStep};
use super::{App, Reply, trial};
use propagule_files::fault::Fault;
use propagule_network::store::Arrival;

/// The reason that a word means.
///
/// # Errors
/// When it means none.
pub fn withdrawal_reason(word: &str) -> Result<Code, Fault> {
    vocab::withdrawal_reason(word).map_err(|e| {
        Fault::usage("withdraw-reason-unknown")
            .with("reason", word)
            .with("why", &e.why)
            .with("reasons", vocab::withdrawal_reasons().join(", "))
            .near(&e.suggestions)
            .in_field("reason")
    })
}

/// Shows what taking back means, or with a yes signs it and hands it on.
pub(super) fn withdraw(
    app: &App,
    code: &str,
    reason: Code,
    confirmed: bool,
    at_once: bool,
) -> Result<Reply, Fault> {
    super::signing_day::check_clock(app)?;
    let _turn = app.publishing.lock().unwrap_or_else(PoisonError::into_inner);
    let trial = {
        let bench = app.bench();
        trial::find(bench.trial(code), code, bench.trials())?.clone()
    };
    let Some(series) = trial.series_bytes().filter(|_| matches!(app.published(&trial), Ok(Some(_)))) else {
        return Err(Fault::user("trial-not-published").with("trial", &trial.code));
    };
    let outcome =
        |withdrawn, step| Outcome::Withdraw(Withdraw { trial: trial.code.clone(), withdrawn, step });
    if app.is_withdrawn(&series)? {
        return Ok(Reply::done(outcome(true, WithdrawStep::Stands)));
    }
    if !confirmed {
        return Ok(Reply::proposed(outcome(false, WithdrawStep::Preview)));
    }
    let signer = app.signer_of(&trial.code, &series)?;
    let body =
        Withdrawal { head: Head::new(app.clock.month()), series, reason, extensions: Extensions::new() };
    let signed = sign(&Body::Withdrawal(body), &signer.key, &app.network)
        .map_err(|e| Fault::environment("record-not-signed").because(e))?;
    let record = signed.id;
    app.store
        .append(&[Arrival::Accepted { signed: Box::new(signed), own: Some(app.first_stage(at_once)) }])?;
    let departure = app.departure(at_once);
    Ok(Reply::done(outcome(true, WithdrawStep::Withdrawn { record, departure })))
}
