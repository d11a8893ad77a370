//! Looking after the files of a home: verify, repair, compact.

use std::sync::PoisonError;

use super::outcome::Outcome;
use super::outcome::store::{StoreOutcome, StoreRepaired, StoreTidied, StoreVerified};
use super::{App, Reply};
use propagule_files::fault::Fault;
use propagule_files::journal::Damage;
use propagule_network::store::{Tidied, check_bench};

/// Reads everything and names all damage.
pub(super) fn verify(app: &App) -> Result<Reply, Fault> {
    let records = app.store.verify()?;
    // Held, so that no entry is half written while it is looked at.
    let bench = {
        let _bench = app.bench();
        check_bench(app.home.path(), app.home.id())?
    };
    let found_at_opening = damage_at_opening(app);
    let verified = StoreVerified {
        is_sound: records.is_sound() && bench.is_sound() && found_at_opening.is_empty(),
        is_complete: records.losses.is_empty(),
        found_at_opening,
        kept_aside: kept_aside(app)?,
        records,
        bench,
    };
    Ok(done(StoreOutcome::Verify(Box::new(verified))))
}

/// What opening the home found damaged and nobody has repaired.
pub(super) fn damage_at_opening(app: &App) -> Vec<Damage> {
    let opened = app.opened.lock().unwrap_or_else(PoisonError::into_inner);
    opened.damage.iter().filter(|damage| damage.is_loss || damage.to == 0).cloned().collect()
}

/// Files with damaged bytes that were moved aside at some time.
fn kept_aside(app: &App) -> Result<Vec<String>, Fault> {
    let mut found = Vec::new();
    for folder in ["bench", "records"] {
        let path = app.home.path().join(folder);
        for entry in std::fs::read_dir(&path).map_err(|e| Fault::file("list", &path, e))?.flatten() {
            let name = entry.file_name().to_string_lossy().into_owned();
            if [".bytes", ".damaged"].iter().any(|ending| name.ends_with(ending)) {
                found.push(format!("{folder}/{name}"));
            }
        }
    }
    found.sort_unstable();
    Ok(found)
}

/// Salvages what is whole.
pub(super) fn repair(app: &App) -> Result<Reply, Fault> {
    let tidied = app.store.repair()?;
    let opened = std::mem::take(&mut app.opened.lock().unwrap_or_else(PoisonError::into_inner).damage);
    let is_bench_damaged = !check_bench(app.home.path(), app.home.id())?.damage.is_empty();
    let bench_aside = if is_bench_damaged { app.bench().repair()? } else { Vec::new() };
    Ok(done(StoreOutcome::Repair(StoreRepaired {
        tidied: facts(tidied, bench_aside),
        is_bench_poorer: is_bench_damaged
            || opened.iter().any(|damage| damage.is_loss && damage.file.starts_with("bench")),
        is_running: app.net.get().is_some(),
    })))
}

/// Leaves out what is not needed.
pub(super) fn compact(app: &App) -> Result<Reply, Fault> {
    Ok(done(StoreOutcome::Compact(facts(app.store.compact()?, Vec::new()))))
}

fn facts(tidied: Tidied, bench_aside: Vec<String>) -> StoreTidied {
    let Tidied { bytes_before, bytes, mut kept_aside, losses } = tidied;
    kept_aside.extend(bench_aside);
    StoreTidied { bytes_before, bytes, kept_aside, losses }
}

fn done(outcome: StoreOutcome) -> Reply {
    Reply::done(Outcome::Store(outcome))
}
