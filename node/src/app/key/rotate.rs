//! Going on with a new key: one that both keys say follows the old one, or one that nothing links to it.

use propagule_protocol::record::{Extensions, Head, Rotation};
use propagule_protocol::{Body, rotation_proof};
use serde_json::json;

use super::{keep, short, signed, switch};
use crate::app::publish::check_clock;
use crate::app::{App, Reply, Report};
use propagule_files::fault::Fault;

const LINKED: &str = "Rotating makes a new key for this home. The old key and the new one both sign that the new one \
                      follows, and that is published: everybody's node goes on counting your trials, old and new, as \
                      one grower's. Later counts of published trials are signed by the new key. The old key stays in \
                      the folder keys/, so that nothing is lost.\nIt hides nothing: anybody can see that both keys \
                      are yours. It does not stop a thief who has the old key: revoke that from a later month, see \
                      propagule key revoke --help.\n";
const FRESH: &str = "A fresh key is not linked to the old one by anything: to everybody else it is another grower. \
                     Nothing is published. What is published first from now on is signed by the fresh key; trials \
                     published already stay with the old key, which this home keeps for their later counts. To you \
                     all of them stay your own.\n";

/// Signs with both keys that a new key follows, publishes that, and goes on with the new key.
pub(super) fn rotate(app: &App, confirmed: bool, at_once: bool) -> Result<Reply, Fault> {
    check_clock(app)?;
    let old = app.keys().current().author();
    if app.own()?.revoked_from(&old).is_some_and(|from| from <= app.clock().month()) {
        return Err(Fault::user("rotation-from-revoked-key").with("old", short(&old)));
    }
    if !confirmed {
        return Ok(preview(LINKED, "rotated", &old.to_string()));
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
    keep(app, record, at_once)?;
    let new = switch(app)?;
    Ok(Reply::report(
        format!(
            "This home signs with the key {} from now on. Record\n{id}\nsays that it follows {}.\nA printed \
             revocation is of one key only: propagule key revoke --write-sheet FILE makes one for the new key.\n",
            short(&new),
            short(&old)
        ),
        json!({ "format": "propagule.key_rotate/1", "rotated": true, "old": old, "new": new, "record": id }),
    ))
}

/// Goes on with a key that nothing links to the old one.
pub(super) fn start_afresh(app: &App, confirmed: bool) -> Result<Reply, Fault> {
    let old = app.keys().current().author();
    if !confirmed {
        return Ok(preview(FRESH, "fresh", &old.to_string()));
    }
    app.home.make_next_key()?;
    let new = switch(app)?;
    Ok(Reply::report(
        format!(
            "This home signs with the fresh key {} from now on; {} is kept for the trials published under it.\n",
            short(&new),
            short(&old)
        ),
        json!({ "format": "propagule.key_rotate/1", "fresh": true, "old": old, "new": new, "record": null }),
    ))
}

fn preview(text: &str, what: &str, old: &str) -> Reply {
    let json = json!({ "format": "propagule.key_rotate/1", what: false, "old": old });
    Reply::Preview(Report { text: text.to_owned(), json })
}
