//! The keys of this home, and what the records say of them.

use super::revoke::months_signed;
use crate::outcome::Outcome;
use crate::outcome::key::{KeyFacts, Keys};
use crate::{App, Reply};
use propagule_files::fault::Fault;

/// Every key with its author, its state and how much it signed.
pub(super) fn show(app: &App) -> Result<Reply, Fault> {
    let own = app.own()?;
    let facts = |(at, key)| {
        Ok(KeyFacts {
            key,
            current: at == 0,
            author: own.author_of(&key),
            results: months_signed(app, &key)?.len(),
            revoked_from: own.revoked_from(&key),
        })
    };
    let keys = app.keys().public().into_iter().enumerate().map(facts).collect::<Result<_, Fault>>()?;
    Ok(Reply::done(Outcome::Keys(Keys { keys })))
}
