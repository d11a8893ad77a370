//! The revocation on paper: made while the key is at hand, published when it is lost or stolen, from any home.

use propagule_protocol::printed::{self, PrintedError};
use propagule_protocol::record::{Extensions, Head, Revocation};
use propagule_protocol::{Body, Judged, Month, Refusal, Signed, judge};
use serde_json::json;

use super::revoke::months_signed;
use super::{end, goes_on, short, signed};
use crate::app::publish::check_clock;
use crate::app::{App, Reply, Report};
use propagule_files::counted::counted;
use propagule_files::fault::Fault;

/// What is said when something is published under a key for the first time.
pub(in crate::app) const SHEET_OFFER: &str = "\nThis was the first record under this key. Print a revocation now and keep it with your papers: if the key is \
     ever lost or stolen, it takes all that the key signed out of everybody's results, from any computer.\n  \
     propagule key revoke --write-sheet revocation.txt\n";

const ORDER: &str = "type every numbered line, in order";
const AGAIN: &str =
    "compare that line with the sheet; small slips are found by the four characters at its end";

/// The sheet of the current key.
pub(super) fn write(app: &App) -> Result<Reply, Fault> {
    check_clock(app)?;
    let key = app.keys().current().author();
    let head = Head::new(app.clock.month());
    let body = Revocation { head, from: None, extensions: Extensions::new() };
    let record = signed(app, &Body::Revocation(body), &key)?;
    let network = app.home.network_name();
    let sheet = format!(
        "Propagule: revocation of an author key. Keep this sheet with your papers.\n\nKey: {key}\nNetwork: \
         {network}\nMade in: {}\n\nPublishing what stands here takes every result that this key signed, early or \
         late, out of\neverybody's pools for ever, and undoes its withdrawals, its vouches and its rotations to\nother \
         keys. Use it when the key is lost or stolen and nothing of it should count any more.\nWhoever has this sheet \
         can do that. It needs no key: type the numbered lines into a file, and\nin any home of this network run\n\n  \
         propagule key revoke --sheet FILE\n\n{}",
        app.clock.month(),
        printed::write(&record.bytes)
    );
    let json = json!({ "format": "propagule.key_sheet/1", "key": key, "network": network, "sheet": sheet });
    Ok(Reply::report(sheet, json))
}

/// Publishes a printed revocation; a home that thereby loses its current key goes on with a fresh one.
pub(super) fn read(app: &App, sheet: &str, confirmed: bool) -> Result<Reply, Fault> {
    let bytes = printed::read(sheet).map_err(|e| unreadable(&e))?;
    let record = revocation(app, &bytes)?;
    check_month(app, record.head().signed)?;
    let (key, id) = (record.author, record.id);
    if app.store.knows(&id)? {
        return Ok(Reply::report(
            format!("This revocation of the key {} is published already; nothing to do.\n", short(&key)),
            json!({ "format": "propagule.key_revoke/1", "revoked": true, "key": key, "record": id }),
        ));
    }
    let is_current = app.keys().current().author() == key;
    if !confirmed {
        return preview(app, &record, is_current);
    }
    let next = end(app, record)?;
    Ok(Reply::report(
        format!("The key {} is revoked by record\n{id}\n{}", short(&key), goes_on(next.as_ref())),
        json!({ "format": "propagule.key_revoke/1", "revoked": true, "key": key, "record": id, "new": next }),
    ))
}

/// Others keep a record of a later month aside until it is due.
fn check_month(app: &App, made_in: Month) -> Result<(), Fault> {
    let month = app.clock.month();
    if made_in <= month.plus(1) {
        return Ok(());
    }
    Err(Fault::usage("sheet-newer-than-clock").with("made_in", made_in).with("month", month))
}

fn preview(app: &App, record: &Signed, is_current: bool) -> Result<Reply, Fault> {
    let key = record.author;
    let whose = match app.keys().secret_of(&key) {
        Some(_) if is_current => "the key of this home",
        Some(_) => "a former key of this home",
        None => "a key that is not of this home",
    };
    let results = months_signed(app, &key)?.len();
    let mut text = format!(
        "This revokes {}, {whose}, for ever: everybody's node leaves out all that it ever signed, of which this home \
         holds {}, and undoes its withdrawals, its vouches and its rotations to other keys. Nothing \
         brings it back.\n",
        short(&key),
        counted(results, "result", "results")
    );
    if is_current {
        text.push_str(
            "This home goes on with a fresh key that nothing links to this one, under which your trials can be \
             published again. Your bench record stays.\n",
        );
    }
    let json = json!({
        "format": "propagule.key_revoke/1", "revoked": false, "key": key, "results": results, "own": whose,
    });
    Ok(Reply::Preview(Report { text, json }))
}

/// The revocation that was typed in, once it holds.
fn revocation(app: &App, bytes: &[u8]) -> Result<Signed, Fault> {
    match judge(bytes, &app.network) {
        Ok(Judged::Accepted(record)) if matches!(record.body, Body::Revocation(_)) => Ok(*record),
        Ok(_) => Err(Fault::user("sheet-not-a-revocation")),
        Err(Refusal::Signature) => {
            Err(Fault::user("sheet-of-another-network").with("network_name", app.home.network_name()))
        }
        Err(refusal) => Err(Fault::user("sheet-incomplete").with("refusal", &refusal).hint(ORDER)),
    }
}

fn unreadable(error: &PrintedError) -> Fault {
    let failure = Fault::user("sheet-unreadable").with("error", error);
    match error {
        PrintedError::Empty | PrintedError::Order { .. } => failure.hint(ORDER),
        PrintedError::Digits(_) | PrintedError::Check(_) => failure.hint(AGAIN),
    }
}
