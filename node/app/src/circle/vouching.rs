//! Vouches: signed, shown before they are, and ended.

use std::collections::BTreeSet;

use propagule_protocol::record::{Extensions, Head, Vouch};
use propagule_protocol::state::Resolved;
use propagule_protocol::{AuthorKey, Body, RecordId, Signed, sign};

use super::at_home::remember;
use super::meant::{called, other_grower, short};
use crate::outcome::Outcome;
use crate::outcome::circle::{VouchStep, Vouched};
use crate::signing_day::check_clock;
use crate::{App, Reply};
use propagule_files::fault::Fault;
use propagule_network::store::Arrival;

/// What a new vouch is signed from.
#[derive(Clone, Copy)]
pub(super) struct Signing<'a> {
    pub(super) records: &'a [Signed],
    pub(super) resolved: &'a Resolved<'a>,
    pub(super) at_once: bool,
}

/// A vouch as it would be and what it takes, or with a yes the signed record.
pub(super) fn vouch(
    app: &App,
    signing: Signing<'_>,
    text: &str,
    name: Option<String>,
    confirmed: bool,
) -> Result<Reply, Fault> {
    let resolved = signing.resolved;
    check_clock(app)?;
    let subject = other_grower(app, resolved, text)?;
    if stands(app, resolved, &subject) {
        remember(app, &subject, None, name)?;
        return Ok(Reply::done(outcome(app, subject, None, VouchStep::Stands)));
    }
    if !confirmed {
        return Ok(Reply::proposed(outcome(app, subject, None, VouchStep::Preview)));
    }
    let author = resolved.author_of(&app.keys().current().author());
    let id = publish(app, signing, &author, &subject, true)?;
    remember(app, &subject, None, name)?;
    let departure = app.departure(signing.at_once);
    Ok(Reply::done(outcome(app, subject, Some(id), VouchStep::Signed { departure })))
}

pub(super) fn unvouch(app: &App, signing: Signing<'_>, text: &str) -> Result<Reply, Fault> {
    let resolved = signing.resolved;
    check_clock(app)?;
    let subject = other_grower(app, resolved, text)?;
    let own = own_authors(app, resolved);
    let standing: Vec<AuthorKey> = resolved
        .vouches()
        .filter(|pair| own.contains(&pair.author) && pair.subject == subject)
        .map(|pair| pair.author)
        .collect();
    let [others @ .., last] = standing.as_slice() else {
        let known = called(app, &subject);
        let shown = known.name.unwrap_or_else(|| short(&subject));
        return Err(Fault::user("vouch-missing").with("grower", shown));
    };
    for author in others {
        publish(app, signing, author, &subject, false)?;
    }
    let id = publish(app, signing, last, &subject, false)?;
    let departure = app.departure(signing.at_once);
    Ok(Reply::done(outcome(app, subject, Some(id), VouchStep::Ended { departure })))
}

fn outcome(app: &App, grower: AuthorKey, record: Option<RecordId>, step: VouchStep) -> Outcome {
    let vouches = matches!(step, VouchStep::Stands | VouchStep::Signed { .. });
    Outcome::Vouched(Vouched { grower, vouches, record, called: called(app, &grower), step })
}

/// Whether the reader's vouch for `subject` stands.
pub(super) fn stands(app: &App, resolved: &Resolved<'_>, subject: &AuthorKey) -> bool {
    let own = own_authors(app, resolved);
    resolved.vouches().any(|pair| own.contains(&pair.author) && pair.subject == *subject)
}

/// Every author that is this home.
pub(super) fn own_authors(app: &App, resolved: &Resolved<'_>) -> BTreeSet<AuthorKey> {
    app.keys().public().iter().map(|key| resolved.author_of(key)).collect()
}

/// Signs a vouch of one of this home's authors, or its end, above every sequence that it has used for the subject.
fn publish(
    app: &App,
    signing: Signing<'_>,
    author: &AuthorKey,
    subject: &AuthorKey,
    vouches: bool,
) -> Result<RecordId, Fault> {
    let keys = app.keys();
    let Signing { records, resolved, at_once } = signing;
    let used = records.iter().filter_map(|signed| match &signed.body {
        Body::Vouch(vouch) => {
            let same = resolved.author_of(&signed.author) == *author
                && resolved.author_of(&vouch.subject) == *subject;
            same.then_some(vouch.sequence)
        }
        _ => None,
    });
    let sequence = used
        .max()
        .map_or(Some(0), |last| last.checked_add(1))
        .ok_or_else(|| Fault::user("vouch-changes-used-up").with("subject", short(subject)))?;
    let body = Vouch {
        head: Head::new(app.clock.month()),
        subject: *subject,
        sequence,
        vouches,
        extensions: Extensions::new(),
    };
    let of_author = keys.public().into_iter().rfind(|key| resolved.author_of(key) == *author);
    let is_current = resolved.author_of(&keys.current().author()) == *author;
    let other = of_author.filter(|_| !is_current).and_then(|key| keys.secret_of(&key));
    let key = other.unwrap_or_else(|| keys.current());
    let signed = sign(&Body::Vouch(body), key, &app.network)
        .map_err(|e| Fault::environment("record-not-signed").because(e))?;
    let id = signed.id;
    app.store
        .append(&[Arrival::Accepted { signed: Box::new(signed), own: Some(app.first_stage(at_once)) }])?;
    Ok(id)
}
