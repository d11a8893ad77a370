//! Going on with a new key: one that both keys say follows the old one, or one that nothing links to it.

use propagule_protocol::record::{Extensions, Head, Rotation};
use propagule_protocol::{Body, rotation_proof};

use super::{keep, short, signed, switch};
use crate::outcome::Outcome;
use crate::outcome::key::KeyRotate;
use crate::signing_day::check_clock;
use crate::{App, Reply};
use propagule_files::fault::Fault;

/// Signs with both keys that a new key follows, publishes that, and goes on with the new key.
pub(super) fn rotate(app: &App, confirmed: bool, at_once: bool) -> Result<Reply, Fault> {
    check_clock(app)?;
    let old = app.keys().current().author();
    if app.own()?.revoked_from(&old).is_some_and(|from| from <= app.clock().month()) {
        return Err(Fault::user("rotation-from-revoked-key").with("old", short(&old)));
    }
    if !confirmed {
        return Ok(Reply::proposed(Outcome::KeyRotate(KeyRotate::PreviewRotated { rotated: false, old })));
    }
    let new = app.home.make_next_key()?;
    let body = Rotation {
        head: Head::new(app.clock.month()),
        new_key: new.author(),
        proof: rotation_proof(&new, &old, &app.network),
        extensions: Extensions::new(),
    };
    let record = signed(app, &Body::Rotation(body), &old)?;
    let id = record.id;
    keep(app, vec![record], at_once)?;
    let new = switch(app)?;
    Ok(Reply::done(Outcome::KeyRotate(KeyRotate::Rotated { rotated: true, old, new, record: id })))
}

/// Goes on with a key that nothing links to the old one.
pub(super) fn start_afresh(app: &App, confirmed: bool) -> Result<Reply, Fault> {
    let old = app.keys().current().author();
    if !confirmed {
        return Ok(Reply::proposed(Outcome::KeyRotate(KeyRotate::PreviewFresh { fresh: false, old })));
    }
    app.home.make_next_key()?;
    let new = switch(app)?;
    Ok(Reply::done(Outcome::KeyRotate(KeyRotate::Fresh { fresh: true, old, new, record: None })))
}
