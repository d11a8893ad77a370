//! The open home: its records, bench, disk, clock, ports and peers.

use std::path::Path;
use std::sync::{Arc, PoisonError};

use jiff::Timestamp;

use super::{Check, Finding, machine, ports};
use crate::answer::words::counted;
use crate::app::peers::{Standing, standing};
use crate::app::store::{damage_note, loss_notes};
use crate::app::{App, blocking};
use crate::home::home_flag;
use propagule_files::fault::Fault;
use propagule_files::journal::SEGMENT_BYTES;
use propagule_network::spread::Entry;
use propagule_network::store::check_bench;

/// Everything that can be said of an open home; `is_full` reads and judges every record again.
pub(in crate::app) async fn inside(app: &Arc<App>, is_full: bool) -> Result<Vec<Finding>, Fault> {
    let standing = standing(app).await?;
    let flag = home_flag(app.home.path());
    let store_flag = flag.clone();
    let (records, bench) =
        blocking(app, move |app| Ok((store(app, is_full, &store_flag)?, bench(app, is_full, &store_flag)?)))
            .await?;
    let held = standing.running.as_ref().map(|status| &status.addresses[..]);
    Ok(vec![
        machine::clock(app.clock, newest(app)),
        node(&standing),
        records,
        bench,
        super::archive::archive(app)?,
        disk(app.home.path(), standing.disk, &flag),
        ports::listen(&app.config.listen, held, &flag),
        ports::page(app.config.page_port, held.is_some()),
        peers(&standing, &flag),
    ])
}

/// When the newest entry at the bench was typed.
fn newest(app: &App) -> Option<Timestamp> {
    let bench = app.bench();
    bench.recorded().filter_map(|(_, recorded)| recorded.at.parse().ok()).max()
}

fn node(standing: &Standing) -> Finding {
    let waiting = match standing.outbox.len() {
        0 => String::new(),
        many => format!("; {} on the way out", counted(many, "own record", "own records")),
    };
    let says = match &standing.running {
        Some(status) => format!("running as {}{waiting}", status.peer_id),
        None => format!("not running{waiting} (propagule serve)"),
    };
    Finding::ok(Check::Node, says)
}

fn store(app: &App, is_full: bool, flag: &str) -> Result<Finding, Fault> {
    let damage: Vec<String> = {
        let opened = app.opened.lock().unwrap_or_else(PoisonError::into_inner);
        opened.damage.iter().filter(|one| one.is_loss || one.to == 0).map(damage_note).collect()
    };
    let verified = if is_full { Some(app.store.verify()?) } else { None };
    let wrong: Vec<String> = match &verified {
        Some(all) => {
            let found = all.damage.iter().map(damage_note);
            found.chain(all.unsound.iter().chain(&all.index).cloned()).collect()
        }
        None => app.store.glance(),
    };
    let wrong: Vec<String> = damage.into_iter().chain(wrong).collect();
    if !wrong.is_empty() {
        return Ok(Finding::problem(Check::Store, wrong.join("; "), format!("propagule{flag} store repair")));
    }
    let losses = loss_notes(&app.store.losses()?);
    if !losses.is_empty() {
        let says = format!("lost and not come back: {}", losses.join("; "));
        return Ok(Finding::problem(Check::Store, says, format!("propagule{flag} serve")));
    }
    let records = counted(app.store.count() as usize, "public record", "public records");
    Ok(Finding::ok(
        Check::Store,
        match verified {
            Some(all) => format!(
                "{records} in {}, every signature checked again",
                counted(all.frames, "frame", "frames")
            ),
            None => format!("{records}, as many as the index counts; --full reads each"),
        },
    ))
}

fn bench(app: &App, is_full: bool, flag: &str) -> Result<Finding, Fault> {
    let bench = app.bench();
    if is_full {
        let found = check_bench(app.home.path(), app.home.id())?;
        let wrong: Vec<String> =
            found.damage.iter().map(damage_note).chain(found.unsound.iter().cloned()).collect();
        if !wrong.is_empty() {
            return Ok(Finding::problem(
                Check::Bench,
                wrong.join("; "),
                format!("propagule{flag} store repair"),
            ));
        }
    }
    let trials = counted(bench.trials().count(), "trial", "trials");
    let entries = counted(bench.entries().count(), "entry", "entries");
    match bench.unread() {
        0 => Ok(Finding::ok(Check::Bench, format!("{trials}, {entries}"))),
        unread => Ok(Finding::problem(
            Check::Bench,
            format!(
                "{} cannot be understood: damaged, or written by a newer version; nothing of it is lost",
                counted(unread, "entry", "entries")
            ),
            format!("propagule{flag} store verify"),
        )),
    }
}

fn disk(home: &Path, (bytes, quota): (u64, u64), flag: &str) -> Finding {
    let room = propagule_files::system::free_bytes(home);
    let used = format!("records use {} of {} MB", bytes.div_ceil(1 << 20), quota >> 20);
    let compact = format!("propagule{flag} store compact");
    if bytes >= quota {
        let says = format!("{used}: those of others are not kept; raise quota_mb in config.toml, or");
        return Finding::problem(Check::Disk, says, compact);
    }
    match room {
        Err(e) => Finding::problem(Check::Disk, format!("{used}; free space is not known: {e}"), "df -h"),
        // A journal goes on in a new segment of this size.
        Ok(room) if room < SEGMENT_BYTES => Finding::problem(
            Check::Disk,
            format!("{used}; only {} MB are free on that disk", room >> 20),
            format!("{compact}  # and free some space"),
        ),
        Ok(room) => Finding::ok(Check::Disk, format!("{used}; {} MB are free", room >> 20)),
    }
}

fn peers(standing: &Standing, flag: &str) -> Finding {
    let book = &standing.book;
    let Some(met) = book.iter().filter_map(|entry| entry.last_met.as_deref()).max() else {
        return strangers(book, standing, flag);
    };
    let known = format!("{} in the book, last met {met}", book.len());
    reached(&known, standing, flag)
}

fn strangers(book: &[Entry], standing: &Standing, flag: &str) -> Finding {
    let is_met = standing.running.as_ref().is_some_and(|status| !status.peers.is_empty());
    if book.is_empty() && is_met {
        return reached("none in the book", standing, flag);
    }
    if book.is_empty() {
        let says = "none known; add one with: propagule peers add INVITE";
        return Finding::ok(Check::Peers, says);
    }
    reached(&format!("{} in the book, none met yet", book.len()), standing, flag)
}

fn reached(known: &str, standing: &Standing, flag: &str) -> Finding {
    let Some(status) = &standing.running else { return Finding::ok(Check::Peers, known) };
    match status.peers.len() {
        0 => Finding::problem(
            Check::Peers,
            format!(
                "{known}; none can be reached now: this machine or theirs is off the network, or they moved"
            ),
            format!("propagule{flag} peers list"),
        ),
        now => {
            let exchanged = last_exchanged(status.peers.iter().map(|peer| peer.last_exchange.as_deref()));
            Finding::ok(Check::Peers, format!("{known}; connected to {now} now, {exchanged}"))
        }
    }
}

/// When records were last exchanged with any of the peers that are connected.
fn last_exchanged<'a>(peers: impl Iterator<Item = Option<&'a str>>) -> String {
    peers.flatten().max().map_or("not exchanged yet".to_owned(), |last| format!("last exchanged {last}"))
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_latest_exchange_with_any_peer_counts() {
        let said = |peers: &[Option<&str>]| super::last_exchanged(peers.iter().copied());
        assert_eq!(said(&[]), "not exchanged yet");
        assert_eq!(said(&[None]), "not exchanged yet");
        let (early, late) = ("2026-11-25T12:00:00Z", "2026-11-26T09:30:00Z");
        assert_eq!(said(&[Some(late), None, Some(early)]), format!("last exchanged {late}"));
    }
}
