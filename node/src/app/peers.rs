//! Whom this node exchanges records with.

use std::fmt::Write;
use std::sync::Arc;

use serde_json::json;

use super::{App, Reply, reached};
use crate::answer::words::{counted, only_allowed};
use propagule_files::fault::Fault;
use propagule_network::intake::Counts;
use propagule_network::net;
use propagule_network::net::{Allowed, AllowedList, Book, NetStatus, invite};
use propagule_network::spread::{Entry, Stage};

/// Adds a peer by address or invite, and dials it when the node is running.
pub(super) async fn add(app: &Arc<App>, text: &str) -> Result<Reply, Fault> {
    let addresses = invite::read(text, app.home.network_name())?;
    if let Some(net) = app.net.get() {
        // The running loop owns the book, so it adds; the check here is for the answer's sake.
        addresses.iter().try_for_each(net::check_names_peer)?;
        net.dial(addresses.clone()).await.map_err(|e| net_ended(&e))?;
    } else {
        let mut book = Book::open(&app.home.peer_book())?;
        for address in &addresses {
            book.add(address)?;
        }
    }
    let how =
        if app.net.get().is_some() { "dialling now" } else { "dialled when the node runs: propagule serve" };
    let list: Vec<String> = addresses.iter().map(ToString::to_string).collect();
    Ok(Reply::report(
        format!("added {}; {how}\n", list.join(", ")),
        json!({ "format": "propagule.peers_added/1", "added": list }),
    ))
}

/// How this node stands on the network.
#[derive(Clone, Debug)]
pub(crate) struct Standing {
    /// None while the node is not running.
    pub(crate) running: Option<NetStatus>,
    pub(crate) book: Vec<Entry>,
    /// The nodes that may connect; all where there is no list.
    pub(crate) allowed: Option<Vec<Allowed>>,
    pub(crate) records: u64,
    /// Records kept aside for a later version or month.
    pub(crate) aside: usize,
    /// Own records on their way out.
    pub(crate) outbox: Vec<Stage>,
    /// Bytes of records on disk, and the most there may be.
    pub(crate) disk: (u64, u64),
    /// What came in since the node started.
    pub(crate) counts: Counts,
}

/// How this node stands on the network.
pub(super) async fn standing(app: &Arc<App>) -> Result<Standing, Fault> {
    Ok(Standing {
        running: status(app).await?,
        book: Book::open(&app.home.peer_book())?.entries().to_vec(),
        allowed: AllowedList::open(&app.home.allowed_nodes())?.nodes().map(<[Allowed]>::to_vec),
        records: app.store.count(),
        aside: app.store.count_aside()?,
        outbox: app.store.outbox()?.into_iter().map(|(_, stage)| stage).collect(),
        disk: app.store.disk(),
        counts: app.gate.counts(),
    })
}

/// Connected peers and the book.
pub(super) async fn list(app: &Arc<App>) -> Result<Reply, Fault> {
    let Standing { running: status, book, allowed, records, aside: held, outbox: stages, disk, counts } =
        standing(app).await?;
    let mut text = String::new();
    match &status {
        Some(status) => write_connected(&mut text, status),
        None => text.push_str("The node is not running; start it with: propagule serve\n"),
    }
    write_allowed(&mut text, allowed.as_deref());
    let _ = writeln!(text, "Peer book: {}.", counted(book.len(), "address", "addresses"));
    let _ = writeln!(text, "Records: {records} held, {held} kept aside for a later version or month.");
    let _ = writeln!(
        text,
        "Since the node started: {} new by gossip, {} by stem, {} by exchange, {} from bundles.",
        counts.by_gossip, counts.by_stem, counts.by_exchange, counts.by_bundle
    );
    if counts.delayed > 0 {
        let _ = writeln!(text, "Over a quota for gossip, to come by exchange: {}.", counts.delayed);
    }
    write_disk(&mut text, disk, counts.dropped);
    for (reason, count) in &counts.refused {
        let _ = writeln!(text, "Refused: {count} × {reason}.");
    }
    let outbox = stages.len();
    write_outbox(&mut text, &stages);
    Ok(Reply::report(
        text,
        json!({
            "format": "propagule.peers/1",
            "running": status,
            "how_reached": status.as_ref().map(reached::words),
            "allowed": allowed,
            "book": book,
            "records": records,
            "aside": held,
            "outbox": outbox,
            "hidden": stages.iter().filter(|stage| stage.is_hidden()).count(),
            "disk_bytes": disk.0,
            "quota_bytes": disk.1,
            "counts": counts,
        }),
    ))
}

/// Own records on their way out, by how far they have come.
fn write_outbox(text: &mut String, stages: &[Stage]) {
    let count = |wanted: fn(&Stage) -> bool| stages.iter().filter(|stage| wanted(stage)).count();
    for (count, what) in [
        (count(|stage| matches!(stage, Stage::Waiting(_))), "waiting for its random time to leave"),
        (count(|stage| matches!(stage, Stage::Stemmed(_))), "travelling by stem, not public yet"),
        (count(|stage| matches!(stage, Stage::Open)), "public, waiting for a peer that listens"),
    ] {
        if count > 0 {
            let _ = writeln!(text, "Outbox: {} {what}.", counted(count, "own record", "own records"));
        }
    }
}

/// A quota that is used up, and what was not kept for it.
fn write_disk(text: &mut String, (bytes, quota): (u64, u64), dropped: u64) {
    if bytes >= quota {
        let _ = writeln!(
            text,
            "The disk quota of {} MB is used up: records of others are not kept, and none are asked for. Raise \
             quota_mb in config.toml, or run: propagule store compact",
            quota >> 20
        );
    }
    if dropped > 0 {
        let _ = writeln!(text, "Dropped since the node started, for want of room: {dropped}.");
    }
}

fn write_connected(text: &mut String, status: &NetStatus) {
    let _ = writeln!(text, "This node: {}", status.peer_id);
    for address in &status.to_hand_out {
        let _ = writeln!(text, "  {address}");
    }
    for line in reached::words(status) {
        let _ = writeln!(text, "{line}");
    }
    let _ = writeln!(text, "Connected to {}.", counted(status.peers.len(), "peer", "peers"));
    if status.relaying > 0 {
        let _ = writeln!(text, "Passing on by stem: {} of others.", status.relaying);
    }
    for peer in &status.peers {
        let exchange = peer.last_exchange.as_deref().unwrap_or("not yet");
        let step = if peer.is_in_step { ", nothing left to fetch" } else { "" };
        let way = if peer.is_relayed { ", by a relay" } else { "" };
        let _ = writeln!(text, "  {}  last exchanged {exchange}{step}{way}", peer.peer_id);
    }
}

fn write_allowed(text: &mut String, allowed: Option<&[Allowed]>) {
    let Some(nodes) = allowed else { return };
    let _ = writeln!(text, "{}", only_allowed(nodes.len()));
    for node in nodes {
        let _ = writeln!(text, "  {}  {}", node.peer_id, node.name);
    }
}

/// Text that lets a friend's node find this one.
pub(super) async fn invite(app: &Arc<App>) -> Result<Reply, Fault> {
    let Some(status) = status(app).await? else {
        return Err(Fault::user("invite-needs-node"));
    };
    let text = invite::write(app.home.network_name(), &status.to_hand_out);
    let json = json!({ "format": "propagule.invite/1", "invite": text, "reached_from": status.reached_from });
    Ok(Reply::report(format!("{text}\n"), json))
}

async fn status(app: &Arc<App>) -> Result<Option<NetStatus>, Fault> {
    match app.net.get() {
        Some(net) => net.status().await.map(Some).map_err(|e| net_ended(&e)),
        None => Ok(None),
    }
}

fn net_ended(error: &impl ToString) -> Fault {
    Fault::said_of_use(error.to_string())
        .hint("stop the node with Ctrl-C and start it again: propagule serve")
}
