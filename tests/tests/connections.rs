//! A node takes no more connections than its limits say, and those that it has go on.

use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};
use std::time::Duration;

use anyhow::{Context, ensure};
use libp2p::identity::Keypair;
use propagule_network::limits::{
    ANTEROOM, CONNECT_TIME, CONNECTIONS, CONNECTIONS_IN, CONNECTIONS_PER_PEER, PENDING_IN, PENDING_OUT,
};
use propagule_network::timing::Timing;
use propagule_tests::Grower;
use propagule_tests::handmade::{Handmade, Manner, Told, patience_of_the_library};
use propagule_tests::inside::Inside;
use propagule_tests::knocking::{Greeting, Knocking};
use propagule_tests::stores::Watched;
use tokio::io::AsyncReadExt;
use tokio::net::TcpStream;

/// Connections beyond a limit that are tried.
const BEYOND: usize = 6;
/// The longest that a test waits for what must happen.
const PATIENCE: Duration = Duration::from_mins(1);

async fn node() -> anyhow::Result<Inside> {
    Inside::start(1, Arc::new(Watched::default()), Timing::home()).await
}

#[test]
fn a_node_that_may_open_too_few_files_says_what_to_do() -> anyhow::Result<()> {
    let refused =
        Grower::new()?.serve_with_open_files(64).map(drop).expect_err("it does not start").to_string();
    ensure!(refused.contains("only 64 files") && refused.contains("ulimit -n 256"), "{refused}");
    Ok(())
}

/// Waits until as many connections are shut as are tried beyond a limit.
async fn shut_beyond(knocking: &mut Knocking) -> anyhow::Result<()> {
    let all_shut = async {
        while knocking.shut < BEYOND {
            knocking.hear().await;
        }
    };
    tokio::time::timeout(PATIENCE, all_shut).await.context("connections beyond the limit are shut")
}

#[tokio::test]
async fn strangers_get_as_many_connections_as_the_limit_says() -> anyhow::Result<()> {
    let (node, mut knocking) = (node().await?, Knocking::default());
    for _ in 0..CONNECTIONS_IN as usize + BEYOND {
        knocking.knock(Keypair::generate_ed25519(), Greeting::Network, &node.address).await?;
    }
    shut_beyond(&mut knocking).await?;
    node.until(|status| status.peers.len() == CONNECTIONS_IN as usize).await?;
    ensure!(knocking.open == CONNECTIONS_IN as usize, "{} stand", knocking.open);
    Ok(())
}

/// Whoever says nothing takes none of their places, and is shut out when its time is over.
#[tokio::test]
async fn peers_that_say_nothing_are_in_nobodys_way_and_do_not_stay() -> anyhow::Result<()> {
    // As long as the handshakes of a slow machine take, and far less than the library would wait.
    let timing = Timing { greeting: Duration::from_secs(3), ..Timing::home() };
    let node = Inside::start(1, Arc::new(Watched::default()), timing).await?;
    let mut silent = Knocking::default();
    for _ in 0..ANTEROOM as usize + BEYOND {
        silent.knock(Keypair::generate_ed25519(), Greeting::Nothing, &node.address).await?;
    }
    let newcomer = Inside::start(2, Arc::new(Watched::default()), Timing::home()).await?;
    newcomer.dial(&node.address).await?;
    node.until(|status| status.peers.len() == 1).await?;
    let all_shut = async {
        while silent.open > 0 {
            silent.hear().await;
        }
    };
    tokio::time::timeout(PATIENCE, all_shut).await.context("silent peers are shut out")?;
    ensure!(node.status().await?.peers.len() == 1, "who has spoken stays");
    Ok(())
}

#[tokio::test]
async fn a_node_that_is_full_keeps_no_connection_that_it_opens_itself() -> anyhow::Result<()> {
    let (node, mut knocking) = (node().await?, Knocking::default());
    for _ in 0..CONNECTIONS_IN {
        knocking.knock(Keypair::generate_ed25519(), Greeting::Network, &node.address).await?;
    }
    let own = propagule_network::net::peer_of(&node.address).context("an address with an id")?;
    let mut peers = Vec::new();
    let own_share = CONNECTIONS - CONNECTIONS_IN - ANTEROOM;
    for number in 0..=own_share {
        let mut peer = Handmade::new("/made-by-hand/1", Manner::Silent)?;
        node.dial(&peer.listen_here().await?).await?;
        if number < own_share {
            peer.hear(|told| *told == Told::Open(own)).await?;
        } else {
            peer.hear(|told| matches!(told, Told::Shut(_) | Told::NotReached)).await?;
        }
        peers.push(peer);
    }
    let connected = node.status().await?.peers.len();
    ensure!(connected == (CONNECTIONS_IN + own_share) as usize, "{connected} peers are connected");
    Ok(())
}

/// Nobody answers where the node dials, so that every handshake takes its place until it is given up.
#[tokio::test]
async fn a_node_begins_a_few_handshakes_at_a_time() -> anyhow::Result<()> {
    let timing = Timing { dial_jitter: Duration::ZERO, ..Timing::home() };
    let node = Inside::start(1, Arc::new(Watched::default()), timing).await?;
    let (tell, mut told) = tokio::sync::mpsc::channel(64);
    let (begun, mut addresses) = (Arc::new(AtomicU32::new(0)), Vec::new());
    for _ in 0..PENDING_OUT as usize + BEYOND {
        let listener = tokio::net::TcpListener::bind("127.0.0.1:0").await?;
        let port = listener.local_addr()?.port();
        addresses.push(format!("/ip4/127.0.0.1/tcp/{port}/p2p/{}", libp2p::PeerId::random()).parse()?);
        let (tell, begun) = (tell.clone(), Arc::clone(&begun));
        tokio::spawn(async move {
            while let Ok((mut stream, _)) = listener.accept().await {
                begun.fetch_add(1, Ordering::Relaxed);
                // Ends when the node gives the handshake up.
                let _ = stream.read_to_end(&mut Vec::new()).await;
                let _ = tell.send(()).await;
            }
        });
    }
    node.client.dial(addresses).await?;
    for _ in 0..PENDING_OUT {
        tokio::time::timeout(PATIENCE, told.recv()).await.context("handshakes are given up in the end")?;
    }
    let begun = begun.load(Ordering::Relaxed);
    ensure!(begun == PENDING_OUT, "{begun} were begun");
    Ok(())
}

#[tokio::test]
async fn one_peer_gets_as_many_connections_as_the_limit_says() -> anyhow::Result<()> {
    let (node, mut knocking) = (node().await?, Knocking::default());
    let key = Keypair::generate_ed25519();
    for _ in 0..CONNECTIONS_PER_PEER as usize + BEYOND {
        knocking.knock(key.clone(), Greeting::Network, &node.address).await?;
    }
    shut_beyond(&mut knocking).await?;
    ensure!(knocking.open == CONNECTIONS_PER_PEER as usize, "{} stand", knocking.open);
    node.until(|status| status.peers.len() == 1).await?;
    Ok(())
}

/// Whoever connects and does not go on with the handshake takes one of few places, for a short time.
#[tokio::test]
async fn handshakes_that_do_not_go_on_take_few_places() -> anyhow::Result<()> {
    let (node, mut patience) = (node().await?, tokio::spawn(patience_of_the_library()));
    let mut parts = node.address.iter();
    let port = parts.find_map(|part| match part {
        libp2p::multiaddr::Protocol::Tcp(port) => Some(port),
        _ => None,
    });
    let port = port.context("it listens on a port")?;
    let (tell, mut told) = tokio::sync::mpsc::channel(64);
    for _ in 0..PENDING_IN as usize + BEYOND {
        let mut stream = TcpStream::connect(("127.0.0.1", port)).await?;
        let tell = tell.clone();
        tokio::spawn(async move {
            // Ends when the node shuts the connection.
            let _ = stream.read_to_end(&mut Vec::new()).await;
            let _ = tell.send(()).await;
        });
    }
    let mut are_shut = async |count: usize| {
        for _ in 0..count {
            tokio::select! {
                biased;
                _ = told.recv() => {},
                _ = &mut patience => anyhow::bail!("connections are shut after {CONNECT_TIME:?}"),
            }
        }
        anyhow::Ok(())
    };
    are_shut(BEYOND).await?;
    let mut knocking = Knocking::default();
    knocking.knock(Keypair::generate_ed25519(), Greeting::Network, &node.address).await?;
    ensure!(knocking.open == 0, "every place is taken");
    are_shut(PENDING_IN as usize).await?;
    knocking.knock(Keypair::generate_ed25519(), Greeting::Network, &node.address).await?;
    ensure!(knocking.open == 1, "who goes on with the handshake is let in");
    Ok(())
}
