//! The revocation on paper: made while the key is at hand, published when it is lost or stolen, from any home.

use propagule_protocol::printed::{self, PrintedError};
use propagule_protocol::record::{Extensions, Head, Revocation};
use propagule_protocol::{AuthorKey, Body, Judged, Month, Refusal, Signed, judge};

use super::revoke::{months_signed, outcome};
use super::{end, signed};
use crate::outcome::Outcome;
use crate::outcome::key::{KeySheet, RevokeStep, WhoseKey};
use crate::outcome::said::Said;
use crate::signing_day::check_clock;
use crate::{App, Reply};
use propagule_files::fault::Fault;

/// The sheet of the current key.
pub(super) fn write(app: &App) -> Result<Reply, Fault> {
    check_clock(app)?;
    let key = app.keys().current().author();
    let head = Head::new(app.clock.month());
    let body = Revocation { head, from: None, extensions: Extensions::new() };
    let record = signed(app, &Body::Revocation(body), &key)?;
    let network = app.home.network_name().to_owned();
    let sheet = Said::RevocationSheet {
        key,
        network: network.clone(),
        made_in: app.clock.month(),
        lines: printed::write(&record.bytes),
    };
    Ok(Reply::done(Outcome::KeySheet(KeySheet { key, network, sheet })))
}

/// Publishes a printed revocation; a home that thereby loses its current key goes on with a fresh one.
pub(super) fn read(app: &App, sheet: &str, confirmed: bool) -> Result<Reply, Fault> {
    let bytes = printed::read(sheet).map_err(|e| unreadable(&e))?;
    let record = revocation(app, &bytes)?;
    check_month(app, record.head().signed)?;
    let (key, id) = (record.author, record.id);
    if app.store.knows(&id)? {
        return Ok(Reply::done(outcome(key, RevokeStep::SheetStands { record: id })));
    }
    if !confirmed {
        return preview(app, key);
    }
    let new = end(app, key, vec![record])?;
    Ok(Reply::done(outcome(key, RevokeStep::SheetRevoked { record: id, new })))
}

/// Others keep a record of a later month aside until it is due.
fn check_month(app: &App, made_in: Month) -> Result<(), Fault> {
    let month = app.clock.month();
    if made_in <= month.plus(1) {
        return Ok(());
    }
    Err(Fault::usage("sheet-newer-than-clock").with("made_in", made_in).with("month", month))
}

fn preview(app: &App, key: AuthorKey) -> Result<Reply, Fault> {
    let keys = app.keys();
    let whose = match keys.secret_of(&key) {
        Some(_) if keys.current().author() == key => WhoseKey::Current,
        Some(_) => WhoseKey::Former,
        None => WhoseKey::Other,
    };
    let results = months_signed(app, &key)?.len();
    let step = RevokeStep::PreviewSheet { results, own: Said::WhoseKey { whose } };
    Ok(Reply::proposed(outcome(key, step)))
}

/// The revocation that was typed in, once it holds.
fn revocation(app: &App, bytes: &[u8]) -> Result<Signed, Fault> {
    match judge(bytes, &app.network) {
        Ok(Judged::Accepted(record)) if matches!(record.body, Body::Revocation(_)) => Ok(*record),
        Ok(_) => Err(Fault::user("sheet-not-a-revocation")),
        Err(Refusal::Signature) => {
            Err(Fault::user("sheet-of-another-network").with("network_name", app.home.network_name()))
        }
        Err(refusal) => Err(Fault::user("sheet-incomplete").with("refusal", &refusal)),
    }
}

fn unreadable(error: &PrintedError) -> Fault {
    let hint = match error {
        PrintedError::Empty | PrintedError::Order { .. } => "type-every-line",
        PrintedError::Digits(_) | PrintedError::Check(_) => "compare-that-line",
    };
    Fault::user("sheet-unreadable").with("error", error).hint_named(hint)
}
