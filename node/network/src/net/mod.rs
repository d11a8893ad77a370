//! The network shell: the only place that knows libp2p. A cheap [`Client`] talks to one event loop.

mod address;
mod allowed;
mod behaviour;
mod book_file;
mod client;
mod codec;
mod dialling;
mod discreet;
mod doorkeeper;
mod event_loop;
mod exchange;
mod guard_file;
pub mod invite;
mod judging;
mod nearby;
mod peers;
#[cfg(test)]
mod queue_tests;
mod reach;
mod reaching;
mod relays;
mod session;
mod status;
mod stems;
mod visiting;

use std::collections::HashSet;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

use libp2p::identity::Keypair;
use libp2p::multiaddr::Protocol;
use libp2p::{Multiaddr, PeerId, Swarm, noise, tcp, yamux};
use propagule_protocol::NetworkId;
use serde::{Deserialize, Serialize};

pub use address::socket_address;
pub use allowed::{Allowed, AllowedList, node_named};
pub use book_file::{Book, check_names_peer, peer_of};
pub use client::{Client, NetClosed};
pub use guard_file::GuardFile;
pub use reach::ReachedFrom;
pub use status::{NetStatus, PeerStatus};

use crate::intake::Gate;
use crate::limits;
use crate::store::Records;
use crate::timing::Timing;
use behaviour::Behaviour;
use event_loop::EventLoop;
use propagule_files::clock::Clock;
use propagule_files::fault::Fault;
use zeroize::Zeroizing;

/// Whether a node relays for others that cannot be reached.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RelayForOthers {
    /// While it is reached at a public address itself.
    #[default]
    WhenReached,
    /// Never.
    Never,
    /// Always, at the addresses it listens on: for a network of its own, such as a tunnel between homes.
    Always,
}

/// How a node finds peers and lets them in.
#[derive(Clone, Debug, Default)]
pub struct Ways {
    /// Announces itself in the local network, and looks for others there.
    pub find_nearby: bool,
    /// Whether it relays for others.
    pub relay: RelayForOthers,
    /// The peers that may connect; all where there is no list.
    pub allowed: Option<HashSet<PeerId>>,
}

/// What a node needs to go on the network.
#[derive(Debug)]
pub struct Setup {
    /// The key that other nodes know this node by.
    pub key: NetworkKey,
    /// The network to join.
    pub network: NetworkId,
    /// Addresses to listen on.
    pub listen: Vec<Multiaddr>,
    /// All waiting.
    pub timing: Timing,
    /// Whether limits per IP address leave loopback out.
    pub loopback_exempt: bool,
    /// Connections to peers, [`limits::CONNECTIONS`] at most.
    pub connections: u32,
    /// Answers to all peers together, in KiB a second, once a burst is used up.
    pub share_kib_s: u32,
    /// How it finds peers and lets them in.
    pub ways: Ways,
    /// Peers to dial.
    pub book: Book,
    /// Peers that get own records first.
    pub guards: GuardFile,
    /// Where records are kept.
    pub store: Arc<dyn Records>,
    /// Judge of what comes in.
    pub gate: Arc<Gate>,
    /// Where "now" comes from.
    pub clock: Clock,
}

/// Secret bytes of the key that other nodes know a node by.
pub type NetworkKey = Zeroizing<[u8; 32]>;

/// How long a connection that nobody uses is kept.
const IDLE: Duration = Duration::from_mins(2);

/// The id that a node with this key has on the network.
pub fn peer_id(key: &NetworkKey) -> PeerId {
    keypair(key).public().to_peer_id()
}

fn keypair(key: &NetworkKey) -> Keypair {
    Keypair::ed25519_from_bytes(**key).expect("any 32 bytes are an Ed25519 secret key")
}

fn swarm(setup: &Setup) -> Result<Swarm<Behaviour>, Fault> {
    fn cannot_start(why: impl std::fmt::Display) -> Fault {
        Fault::environment("network-not-started").because(why)
    }
    let builder = libp2p::SwarmBuilder::with_existing_identity(keypair(&setup.key))
        .with_tokio()
        .with_tcp(tcp::Config::default().nodelay(true), noise::Config::new, yamux::Config::default)
        .map_err(cannot_start)?;
    #[cfg(feature = "quic")]
    let builder = builder.with_quic();
    let builder = builder
        .with_relay_client(noise::Config::new, yamux::Config::default)
        .map_err(cannot_start)?
        .with_behaviour(|key, relay_client| Ok(Behaviour::new(key, setup, relay_client)?))
        .map_err(|e| cannot_start(e).hint_named("do-not-look-nearby"))?;
    Ok(builder
        .with_swarm_config(|config| config.with_idle_connection_timeout(IDLE))
        .with_connection_timeout(limits::CONNECT_TIME)
        .build())
}

/// Goes on the network: binds the listeners, then returns a client while the loop runs on.
///
/// # Errors
/// When an address cannot be listened on.
pub async fn start(setup: Setup) -> Result<Client, Fault> {
    let mut swarm = swarm(&setup)?;
    for address in &setup.listen {
        check_free(address)?;
        swarm.listen_on(address.clone()).map_err(|e| cannot_listen(address, &e))?;
    }
    let (client, inbox) = Client::new();
    let mut event_loop = Box::new(EventLoop::new(swarm, setup, client.clone()));
    event_loop.wait_for_listeners().await?;
    event_loop.load_outbox();
    tokio::spawn(event_loop.run(inbox));
    Ok(client)
}

/// Refuses a port that another program listens on.
///
/// The transport shares ports, so that it can dial from the one it listens on; two nodes would then
/// get each other's connections at random, without any error.
fn check_free(address: &Multiaddr) -> Result<(), Fault> {
    let Some(socket) = socket_address(address) else { return Ok(()) };
    TcpListener::bind(socket).map(drop).map_err(|e| cannot_listen(address, &e))
}

fn cannot_listen(address: &Multiaddr, why: &dyn std::fmt::Display) -> Fault {
    if cfg!(not(feature = "quic")) && address.iter().any(|part| part == Protocol::QuicV1) {
        return Fault::environment("listen-unsupported")
            .with("address", address)
            .because("this program was built without QUIC");
    }
    Fault::environment("listen-refused").with("address", address).because(why)
}
