//! The network shell: the only place that knows libp2p. A cheap [`Client`] talks to one event loop.

mod address;
mod allowed;
mod behaviour;
mod book_file;
mod codec;
mod dialling;
mod discreet;
mod doorkeeper;
mod event_loop;
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
mod stems;

use std::collections::HashSet;
use std::net::TcpListener;
use std::sync::Arc;
use std::time::Duration;

use libp2p::identity::Keypair;
use libp2p::multiaddr::Protocol;
use libp2p::{Multiaddr, PeerId, Swarm, noise, tcp, yamux};
use propagule_protocol::{NetworkId, RecordId};
use serde::{Deserialize, Serialize};
use tokio::sync::{mpsc, oneshot};

pub(crate) use address::socket_address;
pub use allowed::{Allowed, AllowedList, node_named};
pub use book_file::{Book, check_names_peer, peer_of};
pub use reach::ReachedFrom;

use crate::clock::{Clock, Timing};
use crate::error::Failure;
use crate::home::NetworkKey;
use crate::intake::Gate;
use crate::limits;
use crate::spread::Answer;
use crate::store::Records;
use crate::sync::{Question, Reply};
use behaviour::Behaviour;
use event_loop::EventLoop;

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
    /// How it finds peers and lets them in.
    pub ways: Ways,
    /// Peers to dial.
    pub book: Book,
    /// Where records are kept.
    pub store: Arc<dyn Records>,
    /// Judge of what comes in.
    pub gate: Arc<Gate>,
    /// Where "now" comes from.
    pub clock: Clock,
}

/// How long a connection that nobody uses is kept.
const IDLE: Duration = Duration::from_mins(2);

/// The event loop has ended.
#[derive(Clone, Copy, Debug, thiserror::Error)]
#[error("the network part of this node has stopped")]
pub struct NetClosed;

/// How the network stands, for `peers list` and tests.
#[derive(Clone, Debug, Default, Serialize, Deserialize)]
pub struct NetStatus {
    /// This node's id on the network.
    pub peer_id: String,
    /// Addresses that it listens on, each with the id at its end.
    pub addresses: Vec<String>,
    /// From where others reach it.
    #[serde(default)]
    pub reached_from: ReachedFrom,
    /// Addresses at which it is known to be reached from elsewhere: its own that were tried, and those at
    /// relays.
    #[serde(default)]
    pub external: Vec<String>,
    /// Addresses for an invite.
    #[serde(default)]
    pub to_hand_out: Vec<String>,
    /// Relays at which it has a place.
    #[serde(default)]
    pub relays: Vec<String>,
    /// Whether it relays for others.
    #[serde(default)]
    pub is_relaying: bool,
    /// Peers that have a place here.
    #[serde(default)]
    pub places: usize,
    /// Circuits that went through this node so far.
    #[serde(default)]
    pub circuits: u64,
    /// Peers that are connected now.
    pub peers: Vec<PeerStatus>,
    /// Peers that are blocked for a while.
    pub blocked: usize,
    /// Records of others that pass through on a stem.
    pub relaying: usize,
}

/// One connected peer.
#[derive(Clone, Debug, Serialize, Deserialize)]
pub struct PeerStatus {
    /// Its id on the network.
    pub peer_id: String,
    /// When the last session of pulling from it ended, as an RFC 3339 timestamp.
    pub last_exchange: Option<String>,
    /// Whether that session found nothing left to fetch.
    pub is_in_step: bool,
    /// Whether a relay stands between.
    #[serde(default)]
    pub is_relayed: bool,
}

/// What the event loop is asked to do.
#[derive(Debug)]
pub(crate) enum Command {
    Announce,
    Hurry,
    Dial(Vec<Multiaddr>),
    /// Lets only these peers connect, or all.
    Allow(Option<HashSet<PeerId>>),
    Status(oneshot::Sender<NetStatus>),
    Ask {
        peer: PeerId,
        question: Question,
        reply: oneshot::Sender<Option<Reply>>,
    },
    Answered(event_loop::Answered),
    Judged(Vec<judging::Judgement>),
    /// Addresses that a peer told of.
    Told {
        by: PeerId,
        addresses: Vec<String>,
    },
    /// A record that a peer handed over has been judged.
    Handed(stems::Handed),
    /// A peer has answered to a record that was handed to it.
    HandedOn {
        to: PeerId,
        id: RecordId,
        answer: Answer,
    },
    /// A stem ended here, and its record is in the set.
    Released(Vec<u8>),
    SessionOver {
        peer: PeerId,
        outcome: crate::sync::Outcome,
    },
    Stop(oneshot::Sender<()>),
}

/// Handle on the event loop; cheap to clone.
#[derive(Clone, Debug)]
pub struct Client {
    commands: mpsc::Sender<Command>,
}

impl Client {
    /// A handle, and what is sent by it.
    fn new() -> (Self, mpsc::Receiver<Command>) {
        let (commands, inbox) = mpsc::channel(limits::COMMANDS);
        (Self { commands }, inbox)
    }

    /// Takes up own records that are new in the outbox.
    ///
    /// # Errors
    /// When the event loop has ended.
    pub async fn announce(&self) -> Result<(), NetClosed> {
        self.send(Command::Announce).await
    }

    /// Begins a session with every connected peer now.
    ///
    /// # Errors
    /// When the event loop has ended.
    pub async fn hurry(&self) -> Result<(), NetClosed> {
        self.send(Command::Hurry).await
    }

    /// Adds addresses of peers to the book and dials them.
    ///
    /// # Errors
    /// When the event loop has ended.
    pub async fn dial(&self, addresses: Vec<Multiaddr>) -> Result<(), NetClosed> {
        self.send(Command::Dial(addresses)).await
    }

    /// Lets only these peers connect from now on, or all; others that are connected are cut off.
    ///
    /// # Errors
    /// When the event loop has ended.
    pub async fn allow_only(&self, allowed: Option<HashSet<PeerId>>) -> Result<(), NetClosed> {
        self.send(Command::Allow(allowed)).await
    }

    /// How the network stands.
    ///
    /// # Errors
    /// When the event loop has ended.
    pub async fn status(&self) -> Result<NetStatus, NetClosed> {
        let (answer, wait) = oneshot::channel();
        self.send(Command::Status(answer)).await?;
        wait.await.map_err(|_| NetClosed)
    }

    /// Ends the event loop and closes all connections.
    pub async fn stop(&self) {
        let (answer, wait) = oneshot::channel();
        if self.send(Command::Stop(answer)).await.is_ok() {
            let _ = wait.await;
        }
    }

    pub(crate) async fn ask(&self, peer: PeerId, question: Question) -> Option<Reply> {
        let (reply, wait) = oneshot::channel();
        self.send(Command::Ask { peer, question, reply }).await.ok()?;
        wait.await.ok().flatten()
    }

    pub(crate) async fn send(&self, command: Command) -> Result<(), NetClosed> {
        self.commands.send(command).await.map_err(|_| NetClosed)
    }
}

/// The id that a node with this key has on the network.
pub fn peer_id(key: &NetworkKey) -> PeerId {
    keypair(key).public().to_peer_id()
}

fn keypair(key: &NetworkKey) -> Keypair {
    Keypair::ed25519_from_bytes(**key).expect("any 32 bytes are an Ed25519 secret key")
}

fn swarm(setup: &Setup) -> Result<Swarm<Behaviour>, Failure> {
    fn cannot_start(why: impl std::fmt::Display) -> Failure {
        Failure::environment("the network part cannot start", why)
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
        .map_err(|e| {
            cannot_start(e)
                .hint("without looking for nodes nearby it may: set find_nearby = false in config.toml")
        })?;
    Ok(builder
        .with_swarm_config(|config| config.with_idle_connection_timeout(IDLE))
        .with_connection_timeout(limits::CONNECT_TIME)
        .build())
}

/// Goes on the network: binds the listeners, then returns a client while the loop runs on.
///
/// # Errors
/// When an address cannot be listened on.
pub async fn start(setup: Setup) -> Result<Client, Failure> {
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
fn check_free(address: &Multiaddr) -> Result<(), Failure> {
    let Some(socket) = socket_address(address) else { return Ok(()) };
    TcpListener::bind(socket).map(drop).map_err(|e| cannot_listen(address, &e))
}

fn cannot_listen(address: &Multiaddr, why: &dyn std::fmt::Display) -> Failure {
    if cfg!(not(feature = "quic")) && address.iter().any(|part| part == Protocol::QuicV1) {
        return Failure::environment(
            format!("cannot listen on {address}"),
            "this program was built without QUIC",
        )
        .hint("listen by TCP, or build it with QUIC: cargo install --path node --features quic");
    }
    Failure::environment(format!("cannot listen on {address}"), why)
        .hint("another program may use that port; let the system choose one: propagule serve --listen /ip4/127.0.0.1/tcp/0")
}
