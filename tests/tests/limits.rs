//! Every limit has a test that breaks it: those over real connections stand here, and a table says where each is.

#[path = "limits/gossip.rs"]
mod gossip;
#[path = "limits/questions.rs"]
mod questions;
#[path = "limits/relaying.rs"]
mod relaying;
#[path = "limits/table.rs"]
mod table;

use std::time::Duration;

use anyhow::Context;
use propagule_network::intake::Counts;
use propagule_network::net::NetStatus;
use propagule_tests::inside::Inside;

/// The longest that a test waits for what must happen.
const PATIENCE: Duration = Duration::from_mins(1);
/// Between two looks.
const LOOK: Duration = Duration::from_millis(10);

/// Waits until a node stands as wanted.
async fn until(node: &Inside, is_so: impl Fn(&NetStatus) -> bool) -> anyhow::Result<NetStatus> {
    let look = async {
        let mut looks = tokio::time::interval(LOOK);
        loop {
            looks.tick().await;
            let status = node.status().await?;
            if is_so(&status) {
                return anyhow::Ok(status);
            }
        }
    };
    tokio::time::timeout(PATIENCE, look).await.context("the node does not come to stand so")?
}

/// Waits until a node has counted as wanted.
async fn until_counted(node: &Inside, is_so: impl Fn(&Counts) -> bool) -> anyhow::Result<Counts> {
    until(node, |_| is_so(&node.gate.counts())).await?;
    Ok(node.gate.counts())
}
