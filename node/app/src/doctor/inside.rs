//! The open home: its records, bench, disk, clock, ports and peers.

use std::path::Path;
use std::sync::Arc;

use jiff::Timestamp;

use super::{Check, Finding, Fix, FixCommand, Fixes, Found, machine, ports};
use crate::outcome::doctor::{Connected, DiskUse};
use crate::peers::{Standing, standing};
use crate::store::damage_at_opening;
use crate::{App, blocking};
use propagule_files::fault::Fault;
use propagule_files::journal::SEGMENT_BYTES;
use propagule_network::store::check_bench;

/// Everything that can be said of an open home; `is_full` reads and judges every record again.
pub(crate) async fn inside(app: &Arc<App>, is_full: bool) -> Result<Vec<Finding>, Fault> {
    let standing = standing(app).await?;
    let fixes = Fixes::of(app.home.path());
    let of_files = fixes.clone();
    let (records, bench) =
        blocking(app, move |app| Ok((store(app, is_full, &of_files)?, bench(app, is_full, &of_files)?)))
            .await?;
    let held = standing.running.as_ref().map(|status| &status.addresses[..]);
    Ok(vec![
        machine::clock(app.clock, newest(app)),
        node(&standing),
        records,
        bench,
        super::archive::archive(app)?,
        disk(app.home.path(), standing.disk, &fixes),
        ports::listen(&app.config.listen, held, &fixes),
        ports::page(app.config.page_port, held.is_some()),
        peers(&standing, &fixes),
    ])
}

/// When the newest entry at the bench was typed.
fn newest(app: &App) -> Option<Timestamp> {
    let bench = app.bench();
    bench.recorded().filter_map(|(_, recorded)| recorded.at.parse().ok()).max()
}

fn node(standing: &Standing) -> Finding {
    let peer_id = standing.running.as_ref().map(|status| status.peer_id.clone());
    Finding::ok(Check::Node, Found::Node { peer_id, waiting: standing.on_the_way.all() })
}

fn store(app: &App, is_full: bool, fixes: &Fixes) -> Result<Finding, Fault> {
    let mut damage = damage_at_opening(app);
    let verified = if is_full { Some(app.store.verify()?) } else { None };
    let unsound = match &verified {
        Some(all) => {
            damage.extend(all.damage.iter().cloned());
            all.unsound.iter().chain(&all.index).cloned().collect()
        }
        None => app.store.glance(),
    };
    if !damage.is_empty() || !unsound.is_empty() {
        let found = Found::Damaged { damage, unsound };
        return Ok(Finding::problem(Check::Store, found, fixes.by(FixCommand::StoreRepair)));
    }
    let losses = app.store.losses()?;
    if !losses.is_empty() {
        return Ok(Finding::problem(Check::Store, Found::Lost { losses }, fixes.by(FixCommand::Serve)));
    }
    let frames = verified.map(|all| all.frames);
    Ok(Finding::ok(Check::Store, Found::Store { records: app.store.count(), frames }))
}

fn bench(app: &App, is_full: bool, fixes: &Fixes) -> Result<Finding, Fault> {
    let bench = app.bench();
    if is_full {
        let found = check_bench(app.home.path(), app.home.id())?;
        if !found.damage.is_empty() || !found.unsound.is_empty() {
            let found = Found::Damaged { damage: found.damage, unsound: found.unsound };
            return Ok(Finding::problem(Check::Bench, found, fixes.by(FixCommand::StoreRepair)));
        }
    }
    Ok(match bench.unread() {
        0 => {
            let (trials, entries) = (bench.trials().count(), bench.entries().count());
            Finding::ok(Check::Bench, Found::Bench { trials, entries })
        }
        entries => {
            let found = Found::UnreadEntries { entries };
            Finding::problem(Check::Bench, found, fixes.by(FixCommand::StoreVerify))
        }
    })
}

fn disk(home: &Path, (bytes, quota): (u64, u64), fixes: &Fixes) -> Finding {
    let room = propagule_files::system::free_bytes(home);
    let used = DiskUse { bytes, quota };
    let problem = |found, fix| Finding::problem(Check::Disk, found, fix);
    if bytes >= quota {
        return problem(Found::QuotaUsedUp { used }, fixes.by(FixCommand::StoreCompact));
    }
    match room {
        Err(e) => problem(Found::FreeSpaceUnknown { used, why: e.to_string() }, Fix::LookAtSpace),
        // A journal goes on in a new segment of this size.
        Ok(free) if free < SEGMENT_BYTES => {
            problem(Found::LittleSpace { used, free }, fixes.by(FixCommand::StoreCompactAndFree))
        }
        Ok(free) => Finding::ok(Check::Disk, Found::Disk { used, free }),
    }
}

fn peers(standing: &Standing, fixes: &Fixes) -> Finding {
    let (book, running) = (standing.book.len(), standing.running.as_ref());
    let is_met = running.is_some_and(|status| !status.peers.is_empty());
    if book == 0 && !is_met {
        return Finding::ok(Check::Peers, Found::NoPeers);
    }
    let last_met = standing.book.iter().filter_map(|entry| entry.last_met.clone()).max();
    let connected = running.map(|status| Connected {
        peers: status.peers.len(),
        last_exchange: last_exchanged(status.peers.iter().map(|peer| peer.last_exchange.as_deref())),
    });
    let is_alone = connected.as_ref().is_some_and(|now| now.peers == 0);
    let found = Found::Peers { book, last_met, connected };
    if is_alone {
        return Finding::problem(Check::Peers, found, fixes.by(FixCommand::PeersList));
    }
    Finding::ok(Check::Peers, found)
}

/// When records were last exchanged with any of the peers that are connected.
fn last_exchanged<'a>(peers: impl Iterator<Item = Option<&'a str>>) -> Option<String> {
    peers.flatten().max().map(str::to_owned)
}

#[cfg(test)]
mod tests {
    #[test]
    fn the_latest_exchange_with_any_peer_counts() {
        let last = |peers: &[Option<&str>]| super::last_exchanged(peers.iter().copied());
        assert_eq!(last(&[]), None);
        assert_eq!(last(&[None]), None);
        let (early, late) = ("2026-11-25T12:00:00Z", "2026-11-26T09:30:00Z");
        assert_eq!(last(&[Some(late), None, Some(early)]).as_deref(), Some(late));
    }
}
