//! The key that signs records: shown, changed, ended.

mod revoke;
mod rotate;
mod sheet;
mod show;
#[cfg(test)]
mod tests;

use std::sync::PoisonError;

use propagule_protocol::{AuthorKey, Body, Month, Signed, sign};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::{App, Reply};
use crate::home::{AuthorKeys, Home};
use propagule_files::fault::Fault;
use propagule_network::store::{Arrival, Store};

/// Digits by which people tell keys apart.
const SHORT_DIGITS: usize = 16;

/// What can be asked about keys.
#[derive(Clone, Debug, Serialize, Deserialize, JsonSchema)]
#[serde(tag = "about_keys", rename_all = "snake_case")]
pub enum KeyRequest {
    /// Show the keys of this home.
    Show,
    /// Go on with a new key, or say what that means.
    Rotate {
        /// With a key that nothing links to the old one.
        fresh: bool,
        /// The grower knows what it does.
        confirmed: bool,
        /// Skip the delay and the other nodes that hide where the record came from.
        at_once: bool,
    },
    /// End a key of this home from a month on, or say what that means.
    Revoke {
        /// How its public half begins; none means the current one.
        key: Option<String>,
        /// The first month in which nothing of it counts.
        from: Month,
        /// Records that do not stand although they say an earlier month: how the ids of a thief's begin.
        except: Vec<String>,
        /// The grower knows what it does.
        confirmed: bool,
    },
    /// The cancellation of the current key to be printed.
    WriteSheet,
    /// Publish a printed cancellation, or say what that means.
    ReadSheet {
        /// What stands on the sheet.
        sheet: String,
        /// The grower knows what it does.
        confirmed: bool,
    },
}

/// Does what is asked.
pub(super) fn handle(app: &App, request: KeyRequest) -> Result<Reply, Fault> {
    let _turn = app.publishing.lock().unwrap_or_else(PoisonError::into_inner);
    match request {
        KeyRequest::Show => show::show(app),
        KeyRequest::Rotate { fresh: false, confirmed, at_once } => rotate::rotate(app, confirmed, at_once),
        KeyRequest::Rotate { fresh: true, confirmed, .. } => rotate::start_afresh(app, confirmed),
        KeyRequest::Revoke { key, from, except, confirmed } => {
            revoke::revoke(app, &revoke::Wish { key: key.as_deref(), from, except: &except }, confirmed)
        }
        KeyRequest::WriteSheet => sheet::write(app),
        KeyRequest::ReadSheet { sheet, confirmed } => sheet::read(app, &sheet, confirmed),
    }
}

/// The keys of a home, after a change that a crash left half done has been completed.
///
/// # Errors
/// When the files cannot be used.
pub(super) fn complete_change(home: &Home, store: &Store) -> Result<AuthorKeys, Fault> {
    let keys = home.author_keys()?;
    let Some(next) = home.next_key()? else { return Ok(keys) };
    if is_told(store, &keys.current().author(), &next.author())? {
        home.switch_to_next_key()
    } else {
        Ok(keys)
    }
}

/// Whether a kept record says that `next` follows the current key, or that the current key is ended.
fn is_told(store: &Store, current: &AuthorKey, next: &AuthorKey) -> Result<bool, Fault> {
    let records = store.records(&store.signer_ids()?)?;
    Ok(records.iter().filter(|record| record.author == *current).any(|record| match &record.body {
        Body::Rotation(rotation) => rotation.new_key == *next,
        Body::Revocation(_) => true,
        _ => false,
    }))
}

/// Puts the next key in the place of the current one, on disk and in this process.
fn switch(app: &App) -> Result<AuthorKey, Fault> {
    let keys = app.home.switch_to_next_key()?;
    let current = keys.current().author();
    *app.keys.write().unwrap_or_else(PoisonError::into_inner) = keys;
    Ok(current)
}

/// Signs with the current key or a former one.
fn signed(app: &App, body: &Body, key: &AuthorKey) -> Result<Signed, Fault> {
    let keys = app.keys();
    let secret = keys.secret_of(key).expect("keys that sign here are keys of this home");
    sign(body, secret, &app.network).map_err(|e| Fault::environment("record-not-signed").because(e))
}

/// Keeps records for the network, all of them or none.
fn keep(app: &App, signed: Vec<Signed>, at_once: bool) -> Result<(), Fault> {
    let own = Some(app.first_stage(at_once));
    let arrival = |signed| Arrival::Accepted { signed: Box::new(signed), own };
    app.store.append(&signed.into_iter().map(arrival).collect::<Vec<_>>())?;
    Ok(())
}

/// Keeps the revocations of any one key; a home that thereby loses its current key goes on with a fresh one, which is
/// returned.
fn end(app: &App, key: AuthorKey, revocations: Vec<Signed>) -> Result<Option<AuthorKey>, Fault> {
    if key != app.keys().current().author() {
        // A thief does not wait either.
        keep(app, revocations, true)?;
        return Ok(None);
    }
    app.home.make_next_key()?;
    keep(app, revocations, true)?;
    switch(app).map(Some)
}

/// A key as people tell it from others.
fn short(key: &AuthorKey) -> String {
    key.to_string()[..SHORT_DIGITS].to_owned()
}
