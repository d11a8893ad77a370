//! Peers that ask more than a node answers at once, and such that never answer.

use std::sync::Arc;
use std::time::Duration;

use anyhow::{Context, ensure};
use propagule_network::limits::{ANSWERS, REPLY_TIME, SESSION_TIME, STREAMS_PER_PEER};
use propagule_network::net::peer_of;
use propagule_network::store::{Arrival, Records};
use propagule_network::sync::{Question, Reply};
use propagule_network::timing::Timing;
use propagule_tests::handmade::{Handmade, Manner, Told, patience_of_the_library};
use propagule_tests::inside::Inside;
use propagule_tests::invented::{network, record};
use propagule_tests::stores::Gated;
use propagule_tests::stores::Watched;

/// Questions beyond a limit that are asked.
const BEYOND: usize = 3;

fn peer(manner: Manner) -> anyhow::Result<Handmade> {
    let short = &network().to_string()[..8];
    Handmade::new(&format!("/propagule/exchange/1/{short}"), manner)
}

/// A question on the wire: its length, then its bytes.
fn question() -> Vec<u8> {
    let question = Question::Months(network()).encode();
    [&(question.len() as u32).to_be_bytes()[..], &question].concat()
}

/// A peer that has asked so many questions.
async fn asking(node: &Inside, count: usize) -> anyhow::Result<Handmade> {
    let mut peer = peer(Manner::Asks)?;
    peer.connect(&node.address).await?;
    let to = peer_of(&node.address).context("an address with an id")?;
    for _ in 0..count {
        peer.ask(to, question()).await?;
    }
    Ok(peer)
}

fn is_about_a_question(told: &Told) -> bool {
    matches!(told, Told::Answer(_) | Told::NoAnswer)
}

/// Waits until so many questions were answered.
async fn answered(peer: &mut Handmade, count: usize) -> anyhow::Result<()> {
    for number in 0..count {
        match peer.hear(is_about_a_question).await? {
            Told::Answer(bytes) => ensure!(Reply::decode(&bytes[4..]) == Ok(Reply::Months(Vec::new()))),
            other => anyhow::bail!("question {number}: {other:?}"),
        }
    }
    Ok(())
}

#[tokio::test]
async fn one_peer_has_a_few_questions_answered_at_a_time() -> anyhow::Result<()> {
    let (store, key) = Gated::new();
    let node = Inside::start(1, Arc::<Gated>::clone(&store), Timing::home()).await?;
    let mut greedy = asking(&node, STREAMS_PER_PEER + BEYOND).await?;
    store.has_asked(STREAMS_PER_PEER).await;
    for _ in 0..BEYOND {
        ensure!(greedy.hear(is_about_a_question).await? == Told::NoAnswer);
    }
    ensure!(store.asked() == STREAMS_PER_PEER, "{} are being answered", store.asked());
    drop(key);
    answered(&mut greedy, STREAMS_PER_PEER).await
}

#[tokio::test]
async fn a_node_answers_a_few_questions_at_a_time() -> anyhow::Result<()> {
    let (store, key) = Gated::new();
    let node = Inside::start(1, Arc::<Gated>::clone(&store), Timing::home()).await?;
    let mut peers = Vec::new();
    for count in 1..=ANSWERS / STREAMS_PER_PEER {
        peers.push(asking(&node, STREAMS_PER_PEER).await?);
        store.has_asked(count * STREAMS_PER_PEER).await;
    }
    let mut late = asking(&node, 1).await?;
    ensure!(late.hear(is_about_a_question).await? == Told::NoAnswer);
    ensure!(store.asked() == ANSWERS, "{} are being answered", store.asked());
    drop(key);
    for peer in &mut peers {
        answered(peer, STREAMS_PER_PEER).await?;
    }
    let to = peer_of(&node.address).context("an address with an id")?;
    late.ask(to, question()).await?;
    answered(&mut late, 1).await
}

#[tokio::test]
async fn a_peer_that_does_not_reply_is_given_up() -> anyhow::Result<()> {
    ensure!(Timing::home().reply == REPLY_TIME && Timing::quick().reply == REPLY_TIME);
    let timing = Timing { reply: Duration::from_millis(200), ..Timing::home() };
    let node = Inside::start(1, Arc::new(Watched::default()), timing).await?;
    let mut silent = peer(Manner::Silent)?;
    let patience = tokio::spawn(patience_of_the_library());
    silent.connect(&node.address).await?;
    let status = tokio::select! {
        biased;
        status = node.until(|status| status.peers.iter().any(|peer| peer.last_exchange.is_some())) => status?,
        _ = patience => anyhow::bail!("it is given up when the library would"),
    };
    ensure!(status.peers.len() == 1 && !status.peers[0].is_in_step, "{status:?}");
    Ok(())
}

#[tokio::test]
async fn a_session_whose_time_is_over_asks_nothing_more() -> anyhow::Result<()> {
    ensure!(Timing::home().session == SESSION_TIME && Timing::quick().session == SESSION_TIME);
    let theirs = Arc::new(Watched::default());
    theirs.append(&[Arrival::Accepted { signed: Box::new(record(1, 1, 3)), own: None }])?;
    let other = Inside::start(1, theirs, Timing::home()).await?;
    for (number, session, comes) in [(2, Duration::ZERO, 0), (3, SESSION_TIME, 1)] {
        let store = Arc::new(Watched::default());
        let timing = Timing { session, ..Timing::home() };
        let node = Inside::start(number, Arc::<Watched>::clone(&store), timing).await?;
        node.dial(&other.address).await?;
        let is_over = |peer: &propagule_network::net::PeerStatus| peer.last_exchange.is_some();
        let status = node.until(|status| status.peers.iter().any(is_over)).await?;
        ensure!(store.count() == comes, "{session:?}: {status:?}");
    }
    Ok(())
}
