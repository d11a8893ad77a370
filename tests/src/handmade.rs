//! Peers made by hand: bytes of any kind on streams of any protocol, places at relays and circuits.

use std::io;
use std::time::Duration;

use anyhow::Context;
use futures::{AsyncRead, AsyncReadExt, AsyncWrite, AsyncWriteExt, StreamExt};
use libp2p::request_response::{self, ProtocolSupport, ResponseChannel};
use libp2p::swarm::{NetworkBehaviour, SwarmEvent};
use libp2p::{Multiaddr, PeerId, StreamProtocol, Swarm, identify, noise, relay, tcp, yamux};
use tokio::sync::mpsc;

use crate::invented::network;

/// The longest that a test waits for what must happen.
const PATIENCE: Duration = Duration::from_mins(1);
/// How long the peer itself waits for anything: longer than any test.
const FOR_EVER: Duration = Duration::from_hours(1);

/// The bytes that a peer answers to the bytes of a question, or that it keeps silent.
pub type AnswersWith = Box<dyn Fn(&[u8]) -> Option<Vec<u8>> + Send>;

/// What a peer does with streams that others open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Manner {
    /// It does not speak the protocol; it only opens streams.
    Asks,
    /// It reads what is asked and never answers.
    Silent,
    /// It answers everything with one byte.
    Answers,
}

/// What happened to a peer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Told {
    /// It listens there.
    Listening(Multiaddr),
    /// It does not listen, or no more.
    NotListening,
    /// A connection stands.
    Open(PeerId),
    /// A connection has ended.
    Shut(PeerId),
    /// A connection did not come about.
    NotReached,
    /// What came back on a stream before the other side ended it.
    Answer(Vec<u8>),
    /// A stream was ended without a byte.
    NoAnswer,
}

#[derive(Debug)]
enum Order {
    Dial(Multiaddr),
    Listen(Multiaddr),
    Ask(PeerId, Vec<u8>),
}

/// A peer that does as it is told, in a task that goes on until this is dropped.
#[derive(Debug)]
pub struct Handmade {
    /// Its id.
    pub id: PeerId,
    orders: mpsc::Sender<Order>,
    told: mpsc::Receiver<Told>,
}

impl Handmade {
    /// One that opens streams of a protocol.
    ///
    /// # Errors
    /// When the network part cannot be made.
    pub fn new(protocol: &str, manner: Manner) -> anyhow::Result<Self> {
        let one_byte: AnswersWith = Box::new(move |_| (manner == Manner::Answers).then(|| vec![1]));
        Ok(Self::with(swarm(protocol, manner != Manner::Asks)?, one_byte))
    }

    /// One that answers with bytes of its own choice.
    ///
    /// # Errors
    /// When the network part cannot be made.
    pub fn answering(protocol: &str, answer: AnswersWith) -> anyhow::Result<Self> {
        Ok(Self::with(swarm(protocol, true)?, answer))
    }

    fn with(swarm: Swarm<Behaviour>, answer: AnswersWith) -> Self {
        let id = *swarm.local_peer_id();
        let ((orders, inbox), (tell, told)) = (mpsc::channel(64), mpsc::channel(1_024));
        tokio::spawn(run(swarm, answer, inbox, tell));
        Self { id, orders, told }
    }

    /// Connects to `address`, which ends in an id, and waits until that is done.
    ///
    /// # Errors
    /// When there was no connection.
    pub async fn connect(&mut self, address: &Multiaddr) -> anyhow::Result<()> {
        let peer = propagule_network::net::peer_of(address).context("an address with an id")?;
        self.dial(address).await?;
        self.hear(|told| *told == Told::Open(peer)).await.map(drop)
    }

    /// Begins to dial.
    ///
    /// # Errors
    /// When the peer has ended.
    pub async fn dial(&self, address: &Multiaddr) -> anyhow::Result<()> {
        Ok(self.orders.send(Order::Dial(address.clone())).await?)
    }

    /// Begins to listen.
    ///
    /// # Errors
    /// When the peer has ended.
    pub async fn listen(&self, address: &Multiaddr) -> anyhow::Result<()> {
        Ok(self.orders.send(Order::Listen(address.clone())).await?)
    }

    /// Listens on this machine and gives the address, with the id at its end.
    ///
    /// # Errors
    /// When it cannot.
    pub async fn listen_here(&mut self) -> anyhow::Result<Multiaddr> {
        self.listen(&"/ip4/127.0.0.1/tcp/0".parse()?).await?;
        match self.hear(|told| matches!(told, Told::Listening(_) | Told::NotListening)).await? {
            Told::Listening(address) => Ok(address.with_p2p(self.id).unwrap_or_else(|address| address)),
            other => anyhow::bail!("{other:?}"),
        }
    }

    /// Opens a stream to a connected peer, writes and ends its own side.
    ///
    /// # Errors
    /// When the peer has ended.
    pub async fn ask(&self, peer: PeerId, bytes: Vec<u8>) -> anyhow::Result<()> {
        Ok(self.orders.send(Order::Ask(peer, bytes)).await?)
    }

    /// Waits for something, whatever else happens before.
    ///
    /// # Errors
    /// When it does not happen.
    pub async fn hear(&mut self, is_meant: impl Fn(&Told) -> bool) -> anyhow::Result<Told> {
        let heard = async {
            loop {
                let told = self.told.recv().await.context("the peer has ended")?;
                if is_meant(&told) {
                    return anyhow::Ok(told);
                }
            }
        };
        tokio::time::timeout(PATIENCE, heard).await.context("it does not happen")?
    }
}

/// Waits until the network library by itself gives up a connection that nobody answers: ten seconds. What a limit
/// of ours ends has to end before.
///
/// # Errors
/// When it does not give up.
pub async fn patience_of_the_library() -> anyhow::Result<()> {
    let silent = tokio::net::TcpListener::bind("127.0.0.1:0").await?;
    let mut caller = Handmade::new("/made-by-hand/1", Manner::Asks)?;
    caller.dial(&format!("/ip4/127.0.0.1/tcp/{}", silent.local_addr()?.port()).parse()?).await?;
    caller.hear(|told| *told == Told::NotReached).await.map(drop)
}

#[derive(NetworkBehaviour)]
struct Behaviour {
    streams: request_response::Behaviour<Bytes>,
    relay: relay::client::Behaviour,
    /// Who does not say to which network it belongs has no place for long.
    identify: identify::Behaviour,
}

fn swarm(protocol: &str, listens: bool) -> anyhow::Result<Swarm<Behaviour>> {
    let protocol = StreamProtocol::try_from_owned(protocol.to_owned())?;
    let support = if listens { ProtocolSupport::Full } else { ProtocolSupport::Outbound };
    let version = format!("/propagule/1/{}", &network().to_string()[..8]);
    let config = request_response::Config::default().with_request_timeout(FOR_EVER);
    let streams = request_response::Behaviour::with_codec(Bytes, [(protocol, support)], config);
    Ok(libp2p::SwarmBuilder::with_new_identity()
        .with_tokio()
        .with_tcp(tcp::Config::default().nodelay(true), noise::Config::new, yamux::Config::default)?
        .with_relay_client(noise::Config::new, yamux::Config::default)?
        .with_behaviour(|key, relay| Behaviour {
            streams,
            relay,
            identify: identify::Behaviour::new(identify::Config::new(version, key.public())),
        })?
        .with_swarm_config(|config| config.with_idle_connection_timeout(FOR_EVER))
        .build())
}

async fn run(
    mut swarm: Swarm<Behaviour>,
    answer: AnswersWith,
    mut orders: mpsc::Receiver<Order>,
    tell: mpsc::Sender<Told>,
) {
    // Streams whose other side waits in vain.
    let mut waiting = Vec::new();
    loop {
        let told = tokio::select! {
            order = orders.recv() => match order {
                Some(order) => obey(&mut swarm, order),
                None => return,
            },
            event = swarm.select_next_some() => heard(&mut swarm, event, &answer, &mut waiting),
        };
        if let Some(told) = told
            && tell.send(told).await.is_err()
        {
            return;
        }
    }
}

fn obey(swarm: &mut Swarm<Behaviour>, order: Order) -> Option<Told> {
    match order {
        Order::Dial(address) => swarm.dial(address).is_err().then_some(Told::NotReached),
        Order::Listen(address) => swarm.listen_on(address).is_err().then_some(Told::NotListening),
        Order::Ask(peer, bytes) => {
            swarm.behaviour_mut().streams.send_request(&peer, bytes);
            None
        }
    }
}

fn heard(
    swarm: &mut Swarm<Behaviour>,
    event: SwarmEvent<BehaviourEvent>,
    answer: &AnswersWith,
    waiting: &mut Vec<ResponseChannel<Vec<u8>>>,
) -> Option<Told> {
    use request_response::{Event, Message};
    Some(match event {
        SwarmEvent::NewListenAddr { address, .. } => Told::Listening(address),
        SwarmEvent::ListenerClosed { .. } => Told::NotListening,
        SwarmEvent::ConnectionEstablished { peer_id, .. } => Told::Open(peer_id),
        SwarmEvent::ConnectionClosed { peer_id, .. } => Told::Shut(peer_id),
        SwarmEvent::OutgoingConnectionError { .. } | SwarmEvent::IncomingConnectionError { .. } => {
            Told::NotReached
        }
        SwarmEvent::Behaviour(BehaviourEvent::Streams(event)) => match event {
            Event::Message { message: Message::Request { request, channel, .. }, .. } => {
                match answer(&request) {
                    Some(bytes) => {
                        // Whoever asked may have left.
                        let _ = swarm.behaviour_mut().streams.send_response(channel, bytes);
                    }
                    None => waiting.push(channel),
                }
                return None;
            }
            Event::Message { message: Message::Response { response, .. }, .. } if !response.is_empty() => {
                Told::Answer(response)
            }
            Event::Message { .. } | Event::OutboundFailure { .. } => Told::NoAnswer,
            _ => return None,
        },
        _ => return None,
    })
}

/// Bytes as they are, to the end of the stream.
#[derive(Clone, Copy, Debug)]
struct Bytes;

impl request_response::Codec for Bytes {
    type Protocol = StreamProtocol;
    type Request = Vec<u8>;
    type Response = Vec<u8>;

    async fn read_request<T>(&mut self, _: &StreamProtocol, io: &mut T) -> io::Result<Vec<u8>>
    where
        T: AsyncRead + Unpin + Send,
    {
        let mut bytes = Vec::new();
        io.read_to_end(&mut bytes).await?;
        Ok(bytes)
    }

    async fn read_response<T>(&mut self, protocol: &StreamProtocol, io: &mut T) -> io::Result<Vec<u8>>
    where
        T: AsyncRead + Unpin + Send,
    {
        self.read_request(protocol, io).await
    }

    async fn write_request<T>(&mut self, _: &StreamProtocol, io: &mut T, bytes: Vec<u8>) -> io::Result<()>
    where
        T: AsyncWrite + Unpin + Send,
    {
        io.write_all(&bytes).await
    }

    async fn write_response<T>(
        &mut self,
        protocol: &StreamProtocol,
        io: &mut T,
        bytes: Vec<u8>,
    ) -> io::Result<()>
    where
        T: AsyncWrite + Unpin + Send,
    {
        self.write_request(protocol, io, bytes).await
    }
}
