//! A network that is a group's own: which nodes may connect.

use std::sync::Arc;

use super::outcome::Outcome;
use super::outcome::peers::{AllowedChange, PeersAllowed};
use super::peers::net_ended;
use super::{App, Reply};
use propagule_files::fault::Fault;
use propagule_network::net::{AllowedList, node_named};

/// Lets a node connect, and from the first on only such nodes.
pub(super) async fn allow(app: &Arc<App>, node: &str, name: &str) -> Result<Reply, Fault> {
    let peer = node_named(node, app.home.network_name())?;
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    list.allow(peer, name)?;
    let is_first = list.nodes().is_some_and(|nodes| nodes.len() == 1);
    settled(app, &list, AllowedChange::Allowed { peer: peer.to_string(), is_first }).await
}

/// Lets a node connect no more.
pub(super) async fn disallow(app: &Arc<App>, node: &str) -> Result<Reply, Fault> {
    let peer = node_named(node, app.home.network_name())?;
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    let mut before = list.nodes().unwrap_or_default().to_vec();
    if !list.disallow(peer)? {
        return Err(Fault::user("node-not-on-list").with("peer", peer));
    }
    let peer = peer.to_string();
    before.retain(|node| node.peer_id == peer);
    settled(app, &list, AllowedChange::Disallowed { peer, before }).await
}

/// Does without a list.
pub(super) async fn allow_all(app: &Arc<App>) -> Result<Reply, Fault> {
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    let before = list.nodes().unwrap_or_default().to_vec();
    list.allow_all()?;
    settled(app, &list, AllowedChange::AllAllowed { before }).await
}

/// Tells the running node, and says how things stand.
async fn settled(app: &Arc<App>, list: &AllowedList, change: AllowedChange) -> Result<Reply, Fault> {
    if let Some(net) = app.net.get() {
        net.allow_only(list.peers()).await.map_err(net_ended)?;
    }
    let allowed = list.nodes().map(<[_]>::to_vec);
    Ok(Reply::done(Outcome::PeersAllowed(PeersAllowed { allowed, change })))
}
