//! What this home knows of other growers and tells nobody.

use propagule_protocol::AuthorKey;
use propagule_protocol::state::Resolved;

use super::Change;
use super::meant::{other_grower, same_name, short};
use super::vouching::stands;
use crate::outcome::Outcome;
use crate::outcome::circle::GrowerKept;
use crate::place::check_name;
use crate::{App, Reply};
use propagule_bench::{Event, KnownGrower};
use propagule_files::fault::Fault;

/// Writes down what changes at home.
pub(super) fn keep(
    app: &App,
    resolved: &Resolved<'_>,
    text: &str,
    change: Change,
    name: Option<String>,
) -> Result<Reply, Fault> {
    let key = other_grower(app, resolved, text)?;
    let grower = remember(app, &key, Some(change), name)?;
    let vouched = stands(app, resolved, &key);
    Ok(Reply::done(Outcome::GrowerKept(GrowerKept { grower, change, vouched })))
}

/// What this home knows of the grower, after the change; written only where something changes.
pub(super) fn remember(
    app: &App,
    key: &AuthorKey,
    change: Option<Change>,
    name: Option<String>,
) -> Result<KnownGrower, Fault> {
    if let Some(name) = &name {
        check_name("grower", name)?;
    }
    let mut bench = app.bench();
    let before = bench.grower(key);
    let mut known = before.clone();
    match change {
        Some(Change::Trust) => known.trusted = true,
        Some(Change::Untrust) => known.trusted = false,
        Some(Change::Mute) => known.muted = true,
        Some(Change::Unmute) => known.muted = false,
        None => {}
    }
    if let Some(name) = name {
        let taken = bench.growers().find(|other| other.key != *key && same_name(other, &name));
        if let Some(other) = taken {
            return Err(Fault::user("grower-name-taken").with("name", &name).with("key", short(&other.key)));
        }
        known.name = Some(name);
    }
    if known != before {
        bench.record(Event::GrowerKnown { grower: known.clone() })?;
    }
    Ok(known)
}
