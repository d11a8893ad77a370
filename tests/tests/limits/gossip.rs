//! Gossip that is longer than its limits, byte by byte on the wire.

use std::sync::Arc;

use anyhow::{Context, ensure};
use libp2p::PeerId;
use propagule_network::intake::Counts;
use propagule_network::limits::{AUTHOR_PER_HOUR, GOSSIP_BURST, GOSSIP_READ_BYTES};
use propagule_network::net::peer_of;
use propagule_network::timing::Timing;
use propagule_protocol::limits::GOSSIP_BYTES;
use propagule_tests::handmade::{Handmade, Manner, Told};
use propagule_tests::inside::Inside;
use propagule_tests::invented::{network, record};
use propagule_tests::protobuf::{field, frame};
use propagule_tests::stores::Watched;

fn topic() -> String {
    format!("propagule/1/{}", &network().to_string()[..8])
}

fn record_frame(series: u64) -> Vec<u8> {
    frame(&topic(), &record(1, series, 3).bytes)
}

struct Gossiper {
    peer: Handmade,
    node: Inside,
    to: PeerId,
}

impl Gossiper {
    async fn new() -> anyhow::Result<Self> {
        let node = Inside::start(1, Arc::new(Watched::default()), Timing::home()).await?;
        let to = peer_of(&node.address).context("an address with an id")?;
        let mut peer = Handmade::new("/propagule/gossip/1.1.0", Manner::Silent)?;
        peer.connect(&node.address).await?;
        Ok(Self { peer, node, to })
    }

    /// Writes all frames on a stream of its own, and waits until the node has read it or left it.
    async fn write(&mut self, frames: &[Vec<u8>]) -> anyhow::Result<()> {
        self.peer.ask(self.to, frames.concat()).await?;
        self.peer.hear(|told| matches!(told, Told::Answer(_) | Told::NoAnswer)).await.map(drop)
    }

    /// What has come once a record did that was sent last: judging keeps the order.
    async fn counts_after(&mut self, series: u64, count: u64) -> anyhow::Result<Counts> {
        self.write(&[record_frame(series)]).await?;
        self.node.until_counted(|counts| counts.by_gossip >= count).await
    }
}

#[tokio::test]
async fn a_stream_with_more_at_once_than_may_be_read_is_left() -> anyhow::Result<()> {
    let mut gossiper = Gossiper::new().await?;
    // Of another topic, so that no limit of a topic is in the way.
    let filler = |bytes: usize| frame("elsewhere", &vec![7; bytes]);
    gossiper.write(&[filler(GOSSIP_READ_BYTES / 2), record_frame(1)]).await?;
    gossiper.write(&[filler(GOSSIP_READ_BYTES + 1), record_frame(2)]).await?;
    let counts = gossiper.counts_after(3, 2).await?;
    ensure!(counts.by_gossip == 2, "what follows is lost with the stream: {counts:?}");
    ensure!(gossiper.counts_after(2, 3).await?.by_gossip == 3, "it was another record");
    Ok(())
}

#[tokio::test]
async fn more_gossip_of_one_peer_than_its_quota_comes_later() -> anyhow::Result<()> {
    let mut gossiper = Gossiper::new().await?;
    // As many of each author as an author may have in an hour.
    let records: Vec<_> = (0..GOSSIP_BURST * 2)
        .map(|number| frame(&topic(), &record((number / AUTHOR_PER_HOUR) as u8, u64::from(number), 3).bytes))
        .collect();
    // A node takes no more than four streams of gossip from one peer.
    for part in records.chunks(GOSSIP_BURST as usize / 2) {
        gossiper.write(part).await?;
    }
    let all = records.len() as u64;
    let counts = gossiper.node.until_counted(|counts| counts.by_gossip + counts.delayed == all).await?;
    ensure!(counts.by_gossip >= u64::from(GOSSIP_BURST) && counts.delayed > 0, "{counts:?}");
    Ok(())
}

#[tokio::test]
async fn a_message_longer_than_the_longest_is_not_judged() -> anyhow::Result<()> {
    let mut gossiper = Gossiper::new().await?;
    // The topic counts too, and number and length of the field with the data.
    let around = field(4, topic().as_bytes()).len() + 3;
    let message = |bytes: usize| frame(&topic(), &vec![7; bytes - around]);
    gossiper.write(&[message(GOSSIP_BYTES)]).await?;
    gossiper.write(&[message(GOSSIP_BYTES + 1)]).await?;
    let counts = gossiper.counts_after(1, 1).await?;
    ensure!(counts.refused == [("oversized".to_owned(), 1)].into(), "{counts:?}");
    Ok(())
}
