//! Ending a key from a month on, by the key itself.

use std::fmt::Write;

use propagule_protocol::record::{Extensions, Head, Revocation};
use propagule_protocol::{AuthorKey, Body, Month};
use serde_json::json;

use super::{end, goes_on, short, signed};
use crate::app::publish::check_clock;
use crate::app::{App, Reply, Report};
use propagule_files::fault::Fault;

/// Revokes a key of this home from `from` on; a home that loses its current key goes on with a fresh one.
pub(super) fn revoke(app: &App, key: Option<&str>, from: Month, confirmed: bool) -> Result<Reply, Fault> {
    check_clock(app)?;
    let current = app.keys().current().author();
    let key = key.map_or(Ok(current), |start| find(app, start))?;
    check_month(app, key, current, from)?;
    if let Some(earlier) = app.own()?.revoked_from(&key).filter(|earlier| *earlier <= from) {
        return Ok(Reply::report(
            format!("The key {} is revoked from {earlier} on already; nothing to do.\n", short(&key)),
            json!({ "format": "propagule.key_revoke/1", "revoked": true, "key": key, "from": earlier, "record": null }),
        ));
    }
    if !confirmed {
        return preview(app, key, current, from);
    }
    let head = Head::new(app.clock.month());
    let body = Revocation { head, from: Some(from), extensions: Extensions::new() };
    let record = signed(app, &Body::Revocation(body), &key)?;
    let id = record.id;
    let next = end(app, record)?;
    Ok(Reply::report(
        format!(
            "The key {} is revoked from {from} on by record\n{id}\n{}",
            short(&key),
            goes_on(next.as_ref())
        ),
        json!({
            "format": "propagule.key_revoke/1", "revoked": true, "key": key, "from": from, "record": id, "new": next,
        }),
    ))
}

/// The key of this home that begins with `start`.
fn find(app: &App, start: &str) -> Result<AuthorKey, Fault> {
    let start = start.trim().to_lowercase();
    let found: Vec<AuthorKey> =
        app.keys().public().into_iter().filter(|key| key.to_string().starts_with(&start)).collect();
    match found[..] {
        [key] if !start.is_empty() => Ok(key),
        [] => Err(Fault::user("key-unknown").with("start", &start)),
        _ => Err(Fault::user("key-ambiguous").with("start", &start)),
    }
}

/// The current key cannot be ended in the future only: until then it would sign what falls later.
fn check_month(app: &App, key: AuthorKey, current: AuthorKey, from: Month) -> Result<(), Fault> {
    if key != current || from <= app.clock.month() {
        return Ok(());
    }
    Err(Fault::user("revocation-in-future").with("from", from).with("key", short(&key)))
}

fn preview(app: &App, key: AuthorKey, current: AuthorKey, from: Month) -> Result<Reply, Fault> {
    let months = months_signed(app, &key)?;
    let fall = months.iter().filter(|signed| **signed >= from).count();
    let stay = months.len() - fall;
    let mut text = format!(
        "Revoking the key {} from {from} on is final. Everybody's node leaves out what it signed in {from} or later, \
         also a withdrawal, a vouch or a rotation to another key. What it signed before {from} goes on counting, \
         marked as signed by a key that was revoked later. Your bench record stays.\nOf its {} published results, \
         {stay} {} and {fall} {} out.\n",
        short(&key),
        months.len(),
        if stay == 1 { "stays" } else { "stay" },
        if fall == 1 { "falls" } else { "fall" },
    );
    if key == current {
        text.push_str(
            "This home goes on with a fresh key that nothing links to this one. Trials of which every result falls out \
             can be published again under it; a trial of which an earlier result stays keeps that one, and its later \
             counts cannot follow.\nIf nobody else has the key, rotate it instead: propagule key rotate. If somebody \
             may have it, but has signed nothing yet: rotate first, then revoke the old key from next month on, and \
             all your trials go on.\n",
        );
    }
    if let Some(signed) = last_rotation(app, &key)?.filter(|signed| *signed >= from) {
        let _ = writeln!(
            text,
            "Its rotation to another key was signed in {signed} and falls out too: what the later keys signed becomes \
             another grower's. Revoked from {} on, the rotation stays.",
            signed.plus(1)
        );
    }
    text.push_str(
        "A thief can still sign with an earlier month: no node can tell such a record from yours.\n",
    );
    let json = json!({
        "format": "propagule.key_revoke/1", "revoked": false, "key": key, "from": from, "stay": stay, "fall": fall,
    });
    Ok(Reply::Preview(Report { text, json }))
}

/// The month in which a key rotated to another one, where it did.
fn last_rotation(app: &App, key: &AuthorKey) -> Result<Option<Month>, Fault> {
    let records = app.store.records(&app.store.signer_ids()?)?;
    let rotations =
        records.iter().filter(|record| record.author == *key && matches!(record.body, Body::Rotation(_)));
    Ok(rotations.map(|record| record.head().signed).max())
}

/// Months in which a key signed the summaries that this home holds.
pub(super) fn months_signed(app: &App, key: &AuthorKey) -> Result<Vec<Month>, Fault> {
    let records = app.store.records(&app.store.summaries_signed_by(key)?)?;
    Ok(records.iter().map(|record| record.head().signed).collect())
}
