//! A network that is a group's own: which nodes may connect.

use std::sync::Arc;

use serde_json::json;

use super::{App, Reply};
use crate::answer::words::only_allowed;
use crate::error::Failure;
use crate::net::{AllowedList, node_named};

/// Lets a node connect, and from the first on only such nodes.
pub(super) async fn allow(app: &Arc<App>, node: &str, name: &str) -> Result<Reply, Failure> {
    let peer = node_named(node, app.home.network_name())?;
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    list.allow(peer, name)?;
    settled(app, &list, &format!("{peer} may connect.")).await
}

/// Lets a node connect no more.
pub(super) async fn disallow(app: &Arc<App>, node: &str) -> Result<Reply, Failure> {
    let peer = node_named(node, app.home.network_name())?;
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    if !list.disallow(peer)? {
        return Err(Failure::expected(format!("{peer} is not on the list of allowed nodes"))
            .hint("see who is: propagule peers list"));
    }
    settled(app, &list, &format!("{peer} may connect no more.")).await
}

/// Does without a list.
pub(super) async fn allow_all(app: &Arc<App>) -> Result<Reply, Failure> {
    let mut list = AllowedList::open(&app.home.allowed_nodes())?;
    list.allow_all()?;
    settled(app, &list, "Every node of the network may connect.").await
}

/// Tells the running node, and says how things stand.
async fn settled(app: &Arc<App>, list: &AllowedList, done: &str) -> Result<Reply, Failure> {
    if let Some(net) = app.net.get() {
        net.allow_only(list.peers()).await.map_err(|e| {
            Failure::usage(e.to_string())
                .hint("stop the node with Ctrl-C and start it again: propagule serve")
        })?;
    }
    let all = list.nodes().map(|nodes| format!(" {}", only_allowed(nodes.len()))).unwrap_or_default();
    let json = json!({ "format": "propagule.peers_allowed/1", "allowed": list.nodes() });
    Ok(Reply::report(format!("{done}{all}\n"), json))
}
