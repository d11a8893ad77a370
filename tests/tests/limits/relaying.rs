//! What a node that relays lets others take of its line.

use std::sync::Arc;
use std::time::Duration;

use anyhow::ensure;
use libp2p::Multiaddr;
use libp2p::multiaddr::Protocol;
use propagule_network::limits::{
    RELAY_CIRCUIT_BYTES, RELAY_CIRCUIT_TIME, RELAY_CIRCUITS, RELAY_CIRCUITS_PER_PEER, RELAY_PLACES,
};
use propagule_network::net::{RelayForOthers, Ways};
use propagule_network::timing::Timing;
use propagule_tests::handmade::{Handmade, Manner, Told};
use propagule_tests::inside::Inside;
use propagule_tests::stores::Watched;

const PROTOCOL: &str = "/made-by-hand/1";

/// A node that relays.
async fn relay(timing: &Timing) -> anyhow::Result<Inside> {
    let ways = Ways { relay: RelayForOthers::Always, ..Ways::default() };
    let node = Inside::start_with(1, Arc::new(Watched::default()), *timing, ways).await?;
    node.until(|status| status.is_relaying).await?;
    Ok(node)
}

/// Asks for a place; says whether it was given.
async fn place(node: &Inside, peer: &mut Handmade) -> anyhow::Result<bool> {
    peer.listen(&node.address.clone().with(Protocol::P2pCircuit)).await?;
    let told = peer.hear(|told| matches!(told, Told::Listening(_) | Told::NotListening)).await?;
    Ok(matches!(told, Told::Listening(_)))
}

/// Peers with a place each.
async fn placed(node: &Inside, count: usize) -> anyhow::Result<Vec<Handmade>> {
    let mut peers = Vec::new();
    for _ in 0..count {
        let mut peer = Handmade::new(PROTOCOL, Manner::Answers)?;
        ensure!(place(node, &mut peer).await?, "place {}", peers.len());
        peers.push(peer);
    }
    Ok(peers)
}

fn circuit(node: &Inside, to: &Handmade) -> Multiaddr {
    node.address.clone().with(Protocol::P2pCircuit).with(Protocol::P2p(to.id))
}

/// Dials another peer through the node; says whether that came about.
async fn reaches(node: &Inside, from: &mut Handmade, to: &Handmade) -> anyhow::Result<bool> {
    from.dial(&circuit(node, to)).await?;
    let told = from.hear(|told| *told == Told::Open(to.id) || *told == Told::NotReached).await?;
    Ok(told == Told::Open(to.id))
}

#[tokio::test]
async fn places_at_a_relay_have_an_end() -> anyhow::Result<()> {
    let node = relay(&Timing::home()).await?;
    let peers = placed(&node, RELAY_PLACES).await?;
    let mut late = Handmade::new(PROTOCOL, Manner::Answers)?;
    ensure!(!place(&node, &mut late).await?, "one more place than {}", peers.len());
    ensure!(node.status().await?.places == RELAY_PLACES);
    Ok(())
}

#[tokio::test]
async fn one_peer_gets_a_few_circuits() -> anyhow::Result<()> {
    let node = relay(&Timing::home()).await?;
    let peers = placed(&node, RELAY_CIRCUITS_PER_PEER + 1).await?;
    let mut greedy = Handmade::new(PROTOCOL, Manner::Answers)?;
    let mut reached = 0;
    for peer in &peers {
        reached += usize::from(reaches(&node, &mut greedy, peer).await?);
    }
    ensure!(reached == RELAY_CIRCUITS_PER_PEER, "{reached} circuits");
    let mut other = Handmade::new(PROTOCOL, Manner::Answers)?;
    ensure!(reaches(&node, &mut other, &peers[0]).await?, "another peer has its own");
    Ok(())
}

#[tokio::test]
async fn circuits_through_a_node_have_an_end() -> anyhow::Result<()> {
    let node = relay(&Timing::home()).await?;
    let peers = placed(&node, RELAY_CIRCUITS_PER_PEER).await?;
    let (mut reached, mut callers) = (0, Vec::new());
    while reached < RELAY_CIRCUITS {
        let mut caller = Handmade::new(PROTOCOL, Manner::Answers)?;
        for peer in &peers {
            ensure!(reaches(&node, &mut caller, peer).await?, "circuit {reached}");
            reached += 1;
        }
        callers.push(caller);
    }
    let mut late = Handmade::new(PROTOCOL, Manner::Answers)?;
    ensure!(!reaches(&node, &mut late, &peers[0]).await?, "one more circuit than {reached}");
    ensure!(node.status().await?.circuits == RELAY_CIRCUITS as u64);
    Ok(())
}

#[tokio::test]
async fn a_circuit_ends_when_its_bytes_are_used_up() -> anyhow::Result<()> {
    let node = relay(&Timing::home()).await?;
    let peers = placed(&node, 1).await?;
    let mut caller = Handmade::new(PROTOCOL, Manner::Answers)?;
    ensure!(reaches(&node, &mut caller, &peers[0]).await?);
    let most = RELAY_CIRCUIT_BYTES as usize;
    caller.ask(peers[0].id, vec![7; most / 2]).await?;
    ensure!(caller.hear(|told| *told != Told::NotReached).await? == Told::Answer(vec![1]));
    caller.ask(peers[0].id, vec![7; most / 2]).await?;
    let told = caller.hear(|told| matches!(told, Told::Answer(_) | Told::Shut(_))).await?;
    ensure!(told == Told::Shut(peers[0].id), "{told:?}");
    ensure!(node.status().await?.peers.len() == 2, "the connections to the relay stand");
    Ok(())
}

#[tokio::test]
async fn a_circuit_ends_when_its_time_is_over() -> anyhow::Result<()> {
    ensure!(Timing::home().circuit == RELAY_CIRCUIT_TIME && Timing::quick().circuit == RELAY_CIRCUIT_TIME);
    let node = relay(&Timing { circuit: Duration::from_millis(500), ..Timing::home() }).await?;
    let peers = placed(&node, 1).await?;
    let mut caller = Handmade::new(PROTOCOL, Manner::Answers)?;
    // On a slow machine it may end before the two have greeted each other.
    if reaches(&node, &mut caller, &peers[0]).await? {
        caller.hear(|told| *told == Told::Shut(peers[0].id)).await?;
    }
    let status = node.status().await?;
    ensure!((status.circuits, status.peers.len()) == (1, 2), "the connections to the relay stand");
    Ok(())
}
