//! Looking after the files of a home: verify, repair, compact.

use std::fmt::Write;
use std::sync::PoisonError;

use serde_json::json;

use super::{App, Reply};
use crate::answer::words::counted;
use propagule_files::fault::Fault;
use propagule_files::journal::Damage;
use propagule_network::store::{Loss, Tidied, check_bench};

/// Lost records that are told one by one; JSON has them all.
const MOST_TOLD: usize = 10;

/// Reads everything and names all damage.
pub(super) fn verify(app: &App) -> Result<Reply, Fault> {
    let records = app.store.verify()?;
    // Held, so that no entry is half written while it is looked at.
    let bench = {
        let _bench = app.bench();
        check_bench(app.home.path(), app.home.id())?
    };
    let found_at_opening: Vec<Damage> = {
        let opened = app.opened.lock().unwrap_or_else(PoisonError::into_inner);
        opened.damage.iter().filter(|damage| damage.is_loss || damage.to == 0).cloned().collect()
    };
    let is_sound = records.is_sound() && bench.is_sound() && found_at_opening.is_empty();
    let kept_aside = kept_aside(app)?;
    let is_complete = records.losses.is_empty();
    let mut text = format!(
        "Records: {} in {}, {} KB; every signature checked again.\nBench: {}.\n",
        records.records,
        counted(records.frames, "frame", "frames"),
        records.bytes.div_ceil(1_024),
        counted(bench.frames, "entry", "entries")
    );
    for damage in found_at_opening.iter().chain(&records.damage).chain(&bench.damage) {
        let _ = writeln!(text, "Damaged: {}.", damage_note(damage));
    }
    for what in records.unsound.iter().chain(&bench.unsound) {
        let _ = writeln!(text, "Unsound: {what}.");
    }
    for what in &records.index {
        let _ = writeln!(text, "Index: {what}.");
    }
    for note in loss_notes(&records.losses) {
        let _ = writeln!(text, "Lost: {note}.");
    }
    for file in &kept_aside {
        let _ = writeln!(text, "Kept aside from damage: {file}");
    }
    if is_sound && is_complete {
        text.push_str("All is well.\n");
    }
    let json = json!({
        "format": "propagule.store/1",
        "is_sound": is_sound,
        "is_complete": is_complete,
        "found_at_opening": found_at_opening,
        "kept_aside": kept_aside,
        "records": records,
        "bench": bench,
    });
    Ok(Reply::report(text, json))
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
    let is_bench_poorer =
        is_bench_damaged || opened.iter().any(|damage| damage.is_loss && damage.file.starts_with("bench"));
    let bench_aside = if is_bench_damaged { app.bench().repair()? } else { Vec::new() };
    let mut text =
        "The journal is written anew from everything that is whole, and the index with it.\n".to_owned();
    for file in tidied.kept_aside.iter().chain(&bench_aside) {
        let _ = writeln!(text, "Kept aside, as it was: {file}");
    }
    if is_bench_poorer {
        text.push_str("The bench record was damaged too: look through your trials for what is missing.\n");
    }
    for note in loss_notes(&tidied.losses) {
        let _ = writeln!(text, "Lost: {note}.");
    }
    if !tidied.losses.is_empty() {
        let how = if app.net.get().is_some() { "now" } else { "when the node runs (propagule serve)" };
        let _ = writeln!(text, "What peers hold of it is fetched {how}; see it with: propagule store verify");
    }
    Ok(Reply::report(text, tidied_json(&tidied, &bench_aside)))
}

/// Leaves out what is not needed.
pub(super) fn compact(app: &App) -> Result<Reply, Fault> {
    let tidied = app.store.compact()?;
    let kilobytes = |bytes: u64| bytes.div_ceil(1_024);
    let text = format!(
        "The journal had {} KB and has {} KB now; every record of the set is still there.\n",
        kilobytes(tidied.bytes_before),
        kilobytes(tidied.bytes)
    );
    Ok(Reply::report(text, tidied_json(&tidied, &[])))
}

fn tidied_json(tidied: &Tidied, bench_aside: &[String]) -> serde_json::Value {
    json!({
        "format": "propagule.store/1",
        "bytes_before": tidied.bytes_before,
        "bytes": tidied.bytes,
        "kept_aside": tidied.kept_aside.iter().chain(bench_aside).collect::<Vec<_>>(),
        "losses": tidied.losses,
    })
}

/// One damaged stretch in words.
pub(super) fn damage_note(damage: &Damage) -> String {
    let bytes = damage.to - damage.from;
    let file = &damage.file;
    let damaged = || counted(bytes, "damaged byte", "damaged bytes");
    let unfinished = || counted(bytes, "byte that was", "bytes that were");
    match &damage.moved_to {
        _ if damage.to == u64::from(u32::MAX) && damage.from == 0 => format!("{file} is gone"),
        Some(aside) if damage.is_loss => {
            format!("{file} ends in {} where something acknowledged stood; moved to {aside}", damaged())
        }
        Some(aside) => format!(
            "{file} ended in {} never finished; moved to {aside}, and nothing that had been acknowledged is gone",
            unfinished()
        ),
        None if bytes == 0 => {
            format!(
                "{file} could not be read; it only says how far the journal had come, and is written anew"
            )
        }
        None if !damage.is_loss => format!("{file} ends in {} never finished", unfinished()),
        None => format!(
            "{file} is damaged from byte {} to {}; everything before and behind that is kept",
            damage.from, damage.to
        ),
    }
}

/// What is lost, in words.
pub(super) fn loss_notes(losses: &[Loss]) -> Vec<String> {
    losses.iter().map(loss_note).collect()
}

fn loss_note(loss: &Loss) -> String {
    let place = format!("{} from byte {}", loss.file, loss.from);
    if loss.records.is_empty() {
        return format!("what stood in {place}; which records that were is not known");
    }
    let told: Vec<String> = loss.records.iter().take(MOST_TOLD).map(ToString::to_string).collect();
    let more = match loss.records.len() - told.len() {
        0 => String::new(),
        more => format!(" and {more} more"),
    };
    format!("{} of {place}: {}{more}", counted(loss.records.len(), "record", "records"), told.join(", "))
}
