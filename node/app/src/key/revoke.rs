//! Ending a key from a month on, by the key itself.

use propagule_protocol::record::{Extensions, Head, Revocation};
use propagule_protocol::{AuthorKey, Body, Month};

use super::{end, short, signed};
use crate::outcome::Outcome;
use crate::outcome::key::{KeyRevoke, RevokeStep};
use crate::publish::check_clock;
use crate::{App, Reply};
use propagule_files::fault::Fault;

/// Revokes a key of this home from `from` on; a home that loses its current key goes on with a fresh one.
pub(super) fn revoke(app: &App, key: Option<&str>, from: Month, confirmed: bool) -> Result<Reply, Fault> {
    check_clock(app)?;
    let current = app.keys().current().author();
    let key = key.map_or(Ok(current), |start| find(app, start))?;
    check_month(app, key, current, from)?;
    if let Some(earlier) = app.own()?.revoked_from(&key).filter(|earlier| *earlier <= from) {
        return Ok(Reply::done(outcome(key, RevokeStep::Stands { from: earlier, record: None })));
    }
    if !confirmed {
        return preview(app, key, current, from);
    }
    let head = Head::new(app.clock.month());
    let body = Revocation { head, from: Some(from), extensions: Extensions::new() };
    let revocation = signed(app, &Body::Revocation(body), &key)?;
    let record = revocation.id;
    let new = end(app, revocation)?;
    Ok(Reply::done(outcome(key, RevokeStep::Revoked { from, record, new })))
}

/// What came of ending a key.
pub(super) fn outcome(key: AuthorKey, step: RevokeStep) -> Outcome {
    let revoked = !matches!(step, RevokeStep::Preview { .. } | RevokeStep::PreviewSheet { .. });
    Outcome::KeyRevoke(KeyRevoke { key, revoked, step })
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
    let rotated_in = last_rotation(app, &key)?.filter(|signed| *signed >= from);
    let step = RevokeStep::Preview { from, stay, fall, is_current: key == current, rotated_in };
    Ok(Reply::proposed(outcome(key, step)))
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
