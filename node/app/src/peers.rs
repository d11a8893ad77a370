//! Whom this node exchanges records with.

use std::sync::Arc;

use super::outcome::Outcome;
use super::outcome::peers::{Health, Invite, OnTheWay, Peers, PeersAdded};
use super::outcome::said::Said;
use super::{App, Reply, reached};
use propagule_files::fault::Fault;
use propagule_network::intake::Counts;
use propagule_network::net;
use propagule_network::net::{Allowed, AllowedList, Book, NetClosed, NetStatus, invite};
use propagule_network::spread::{Entry, Stage};

/// Adds a peer by address or invite, and dials it when the node is running.
pub(super) async fn add(app: &Arc<App>, text: &str) -> Result<Reply, Fault> {
    let addresses = invite::read(text, app.home.network_name())?;
    if let Some(net) = app.net.get() {
        // The running loop owns the book, so it adds; the check here is for the answer's sake.
        addresses.iter().try_for_each(net::check_names_peer)?;
        net.dial(addresses.clone()).await.map_err(net_ended)?;
    } else {
        let mut book = Book::open(&app.home.peer_book())?;
        for address in &addresses {
            book.add(address)?;
        }
    }
    let added = addresses.iter().map(ToString::to_string).collect();
    let is_running = app.net.get().is_some();
    Ok(Reply::done(Outcome::PeersAdded(PeersAdded { added, is_running })))
}

/// How this node stands on the network.
#[derive(Clone, Debug)]
pub struct Standing {
    /// None while the node is not running.
    pub running: Option<NetStatus>,
    pub book: Vec<Entry>,
    /// The nodes that may connect; all where there is no list.
    pub allowed: Option<Vec<Allowed>>,
    pub records: u64,
    /// Records kept aside for a later version or month.
    pub aside: usize,
    /// Own records on their way out.
    pub on_the_way: OnTheWay,
    /// Bytes of records on disk, and the most there may be.
    pub disk: (u64, u64),
    /// What came in since the node started.
    pub counts: Counts,
}

impl Standing {
    /// Whether exchange with others works.
    pub fn health(&self) -> Health {
        Health::of(self.running.as_ref(), self.book.len())
    }
}

/// How this node stands on the network.
pub(super) async fn standing(app: &Arc<App>) -> Result<Standing, Fault> {
    Ok(Standing {
        running: status(app).await?,
        book: Book::open(&app.home.peer_book())?.entries().to_vec(),
        allowed: AllowedList::open(&app.home.allowed_nodes())?.nodes().map(<[Allowed]>::to_vec),
        records: app.store.count(),
        aside: app.store.count_aside()?,
        on_the_way: on_the_way(app)?,
        disk: app.store.disk(),
        counts: app.gate.counts(),
    })
}

/// Own records that are not known to be with others.
fn on_the_way(app: &App) -> Result<OnTheWay, Fault> {
    let stages: Vec<Stage> = app.store.outbox()?.into_iter().map(|(_, stage)| stage).collect();
    Ok(OnTheWay::of(&stages, app.clock.moment(), &app.config.timing()))
}

/// Connected peers and the book.
pub(crate) async fn list(app: &Arc<App>) -> Result<Reply, Fault> {
    let standing = standing(app).await?;
    let health = standing.health();
    let Standing { running, book, allowed, records, aside, on_the_way, disk, counts } = standing;
    let how_reached =
        running.as_ref().map(|status| reached::lines(status).into_iter().map(Said::Reach).collect());
    let peers = Peers {
        health,
        running,
        how_reached,
        allowed,
        book,
        records,
        aside,
        outbox: on_the_way.all(),
        hidden: on_the_way.hidden(),
        on_the_way,
        disk_bytes: disk.0,
        quota_bytes: disk.1,
        counts,
    };
    Ok(Reply::done(Outcome::Peers(Box::new(peers))))
}

/// Text that lets a friend's node find this one.
pub(super) async fn invite(app: &Arc<App>) -> Result<Reply, Fault> {
    let Some(status) = status(app).await? else {
        return Err(Fault::user("invite-needs-node"));
    };
    let invite = invite::write(app.home.network_name(), &status.to_hand_out);
    Ok(Reply::done(Outcome::Invite(Invite { invite, reached_from: status.reached_from })))
}

async fn status(app: &Arc<App>) -> Result<Option<NetStatus>, Fault> {
    match app.net.get() {
        Some(net) => net.status().await.map(Some).map_err(net_ended),
        None => Ok(None),
    }
}

/// The network part of the running node has stopped.
pub(super) fn net_ended(NetClosed: NetClosed) -> Fault {
    Fault::usage("network-stopped")
}
