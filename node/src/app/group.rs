//! A network that is a group's own: which nodes may connect.

use std::sync::Arc;

use serde_json::json;

use super::{App, Reply, undo};
use crate::answer::words::only_allowed;
use propagule_files::fault::Fault;
use propagule_network::net::{Allowed, AllowedList, node_named};

/// Lets a node connect, and from the first on only such nodes.
pub(super) async fn allow(app: &Arc<App>, node: &str, name: &str) -> Result<Reply, Fault> {
    let peer = node_named(node, app.home.network_name())?;
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    list.allow(peer, name)?;
    let is_first = list.nodes().is_some_and(|nodes| nodes.len() == 1);
    let id = peer.to_string();
    let back =
        if is_first { undo::by(&["peers", "allow", "--all"]) } else { undo::by(&["peers", "disallow", &id]) };
    settled(app, &list, &format!("{peer} may connect."), &back).await
}

/// Lets a node connect no more.
pub(super) async fn disallow(app: &Arc<App>, node: &str) -> Result<Reply, Fault> {
    let peer = node_named(node, app.home.network_name())?;
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    let before = list.nodes().unwrap_or_default().to_vec();
    if !list.disallow(peer)? {
        return Err(Fault::user("node-not-on-list").with("peer", peer));
    }
    let id = peer.to_string();
    let back: String = before.iter().filter(|node| node.peer_id == id).map(allow_again).collect();
    settled(app, &list, &format!("{peer} may connect no more."), &back).await
}

/// Does without a list.
pub(super) async fn allow_all(app: &Arc<App>) -> Result<Reply, Fault> {
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    let back: String = list.nodes().unwrap_or_default().iter().map(allow_again).collect();
    list.allow_all()?;
    settled(app, &list, "Every node of the network may connect.", &back).await
}

/// The line that puts a node on the list again.
fn allow_again(node: &Allowed) -> String {
    let words = ["peers", "allow", &node.peer_id, "--as", &node.name];
    undo::by(if node.name.is_empty() { &words[..3] } else { &words })
}

/// Tells the running node, and says how things stand.
async fn settled(app: &Arc<App>, list: &AllowedList, done: &str, back: &str) -> Result<Reply, Fault> {
    if let Some(net) = app.net.get() {
        net.allow_only(list.peers()).await.map_err(|e| {
            Fault::said_of_use(e.to_string())
                .hint("stop the node with Ctrl-C and start it again: propagule serve")
        })?;
    }
    let all = list.nodes().map(|nodes| format!(" {}", only_allowed(nodes.len()))).unwrap_or_default();
    let json = json!({ "format": "propagule.peers_allowed/1", "allowed": list.nodes() });
    Ok(Reply::report(format!("{done}{all}\n{back}"), json))
}
