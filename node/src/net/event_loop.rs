//! The task that owns the swarm. It never waits for the store: such work is sent away and comes back
//! as a command.

use std::collections::HashMap;
use std::sync::Arc;
use std::time::{Duration, Instant};

use futures::StreamExt;
use libp2p::gossipsub::{self, MessageAcceptance};
use libp2p::multiaddr::Protocol;
use libp2p::request_response::{self, InboundFailure, OutboundRequestId, ResponseChannel};
use libp2p::swarm::SwarmEvent;
use libp2p::swarm::dial_opts::{DialOpts, PeerCondition};
use libp2p::{Multiaddr, PeerId, Swarm};
use tokio::sync::{Semaphore, mpsc, oneshot};
use tokio::task::spawn_blocking;

use super::behaviour::{Behaviour, BehaviourEvent, topic};
use super::conduct::Conduct;
use super::judging::{self, Judgement, Waiting};
use super::peers::Peers;
use super::{Client, Command, NetStatus, PeerStatus, Setup, cannot_listen, limits, peer_of, session};
use crate::error::Failure;
use crate::sync::{Answerer, Outcome, Question, Reply};

/// A reply that is ready to go out.
#[derive(Debug)]
pub(crate) struct Answered {
    channel: ResponseChannel<Reply>,
    reply: Reply,
}

type ExchangeEvent = request_response::Event<Question, Reply>;

/// The swarm and all that belongs to it.
pub(crate) struct EventLoop {
    swarm: Swarm<Behaviour>,
    setup: Setup,
    client: Client,
    judging: mpsc::Sender<Waiting>,
    answerer: Arc<Answerer>,
    answers: Arc<Semaphore>,
    asked: HashMap<OutboundRequestId, oneshot::Sender<Option<Reply>>>,
    peers: Peers,
    conduct: Conduct,
    listening: Vec<Multiaddr>,
    next_dial: Instant,
}

impl EventLoop {
    pub(crate) fn new(swarm: Swarm<Behaviour>, setup: Setup, client: Client) -> Self {
        let judging = judging::start(client.clone(), Arc::clone(&setup.store), Arc::clone(&setup.gate));
        Self {
            judging,
            answerer: Arc::new(Answerer::new(setup.network)),
            answers: Arc::new(Semaphore::new(limits::ANSWERS)),
            asked: HashMap::new(),
            peers: Peers::new(setup.timing, setup.loopback_exempt),
            conduct: Conduct::new(setup.timing.block),
            listening: Vec::new(),
            next_dial: Instant::now() + jitter(setup.timing.dial_jitter),
            swarm,
            setup,
            client,
        }
    }

    /// Waits until every address to listen on is bound.
    pub(crate) async fn wait_for_listeners(&mut self) -> Result<(), Failure> {
        while self.listening.len() < self.setup.listen.len() {
            match self.swarm.select_next_some().await {
                SwarmEvent::NewListenAddr { address, .. } => self.listening.push(address),
                SwarmEvent::ListenerClosed { addresses, reason: Err(e), .. } => {
                    let address = addresses.first().or(self.setup.listen.first());
                    return Err(cannot_listen(address.unwrap_or(&Multiaddr::empty()), &e));
                }
                other => self.on_event(other),
            }
        }
        Ok(())
    }

    /// Runs until told to stop, or until nobody is left to command.
    pub(crate) async fn run(mut self, mut commands: mpsc::Receiver<Command>) {
        let mut tick = tokio::time::interval(self.setup.timing.heartbeat);
        loop {
            tokio::select! {
                event = self.swarm.select_next_some() => self.on_event(event),
                command = commands.recv() => match command {
                    Some(Command::Stop(done)) => {
                        let _ = done.send(());
                        break;
                    }
                    Some(command) => self.on_command(command),
                    None => break,
                },
                _ = tick.tick() => self.on_tick(),
            }
        }
    }

    fn on_command(&mut self, command: Command) {
        match command {
            Command::Announce => self.announce(),
            Command::Dial(address) => self.add_peer(&address),
            Command::Status(answer) => {
                let _ = answer.send(self.status());
            }
            Command::Ask { peer, question, reply } => {
                let id = self.swarm.behaviour_mut().exchange.send_request(&peer, question);
                self.asked.insert(id, reply);
            }
            Command::Answered(Answered { channel, reply }) => {
                // A peer that left meanwhile needs no reply.
                let _ = self.swarm.behaviour_mut().exchange.send_response(channel, reply);
            }
            Command::Judged(judgements) => judgements.into_iter().for_each(|one| self.on_judgement(&one)),
            Command::SessionOver { peer, outcome } => self.on_session_over(peer, outcome),
            Command::Stop(_) => {}
        }
    }

    fn on_tick(&mut self) {
        let now = Instant::now();
        for peer in self.conduct.released(now) {
            self.swarm.behaviour_mut().blocked.unblock_peer(peer);
        }
        for peer in self.peers.due(now) {
            let (store, gate) = (Arc::clone(&self.setup.store), Arc::clone(&self.setup.gate));
            tokio::spawn(session::run(self.client.clone(), peer, self.setup.network, store, gate));
        }
        if now >= self.next_dial {
            self.next_dial = now + self.setup.timing.redial + jitter(self.setup.timing.dial_jitter);
            self.dial_known();
        }
        self.announce();
    }

    fn on_event(&mut self, event: SwarmEvent<BehaviourEvent>) {
        match event {
            SwarmEvent::Behaviour(BehaviourEvent::Gossip(event)) => self.on_gossip(event),
            SwarmEvent::Behaviour(BehaviourEvent::Exchange(event)) => self.on_exchange(event),
            SwarmEvent::NewListenAddr { address, .. } => self.listening.push(address),
            SwarmEvent::ConnectionEstablished { peer_id, connection_id, endpoint, .. } => {
                let address = endpoint.get_remote_address();
                if self.peers.connected(peer_id, connection_id, address, Instant::now()) {
                    self.on_met(peer_id);
                } else {
                    self.swarm.close_connection(connection_id);
                }
            }
            SwarmEvent::ConnectionClosed { peer_id, connection_id, .. } => {
                self.peers.disconnected(peer_id, connection_id);
            }
            SwarmEvent::OutgoingConnectionError { peer_id: Some(peer), error, .. } => {
                tracing::debug!(%peer, %error, "a peer could not be reached");
                self.setup.book.failed(peer);
            }
            _ => {}
        }
    }

    fn on_gossip(&mut self, event: gossipsub::Event) {
        match event {
            gossipsub::Event::Message { propagation_source, message_id, message } => {
                let waiting = Waiting { message: message_id, from: propagation_source, bytes: message.data };
                if let Err(mpsc::error::TrySendError::Full(waiting)) = self.judging.try_send(waiting) {
                    self.setup.gate.refuse("too many at once");
                    self.report(&waiting.message, &waiting.from, MessageAcceptance::Ignore);
                }
            }
            gossipsub::Event::Subscribed { .. } => self.announce(),
            _ => {}
        }
    }

    fn on_judgement(&mut self, judgement: &Judgement) {
        if matches!(judgement.acceptance, MessageAcceptance::Reject) {
            self.offend(judgement.from);
        }
        let acceptance = judgement.acceptance;
        self.report(&judgement.message, &judgement.from, acceptance);
    }

    fn report(&mut self, message: &gossipsub::MessageId, from: &PeerId, acceptance: MessageAcceptance) {
        self.swarm.behaviour_mut().gossip.report_message_validation_result(message, from, acceptance);
    }

    fn on_exchange(&mut self, event: ExchangeEvent) {
        match event {
            ExchangeEvent::Message { message, .. } => match message {
                request_response::Message::Request { request, channel, .. } => self.answer(request, channel),
                request_response::Message::Response { request_id, response } => {
                    self.hand_back(request_id, Some(response));
                }
            },
            ExchangeEvent::OutboundFailure { request_id, .. } => self.hand_back(request_id, None),
            // A link that breaks is nobody's fault; bytes that are no message are.
            ExchangeEvent::InboundFailure { peer, error: InboundFailure::Io(error), .. }
                if error.kind() == std::io::ErrorKind::InvalidData =>
            {
                self.setup.gate.refuse("not a message");
                self.offend(peer);
            }
            _ => {}
        }
    }

    fn hand_back(&mut self, request: OutboundRequestId, reply: Option<Reply>) {
        if let Some(asker) = self.asked.remove(&request) {
            let _ = asker.send(reply);
        }
    }

    /// Answers a question on another thread; with too many under way the peer is left to ask again.
    fn answer(&mut self, question: Question, channel: ResponseChannel<Reply>) {
        let Ok(permit) = Arc::clone(&self.answers).try_acquire_owned() else { return };
        let (answerer, store) = (Arc::clone(&self.answerer), Arc::clone(&self.setup.store));
        let client = self.client.clone();
        tokio::spawn(async move {
            let reply = spawn_blocking(move || answerer.reply(&question, &*store)).await;
            let reply = reply.expect("answering does not panic");
            let _ = client.send(Command::Answered(Answered { channel, reply })).await;
            drop(permit);
        });
    }

    fn offend(&mut self, peer: PeerId) {
        if self.conduct.offend(peer, Instant::now()) {
            tracing::info!(%peer, "a peer sent too much that was refused and is blocked for a while");
            self.swarm.behaviour_mut().blocked.block_peer(peer);
        }
    }

    fn on_session_over(&mut self, peer: PeerId, outcome: Outcome) {
        if outcome.is_peer_at_fault {
            self.setup.gate.refuse("broken exchange");
            self.offend(peer);
        }
        tracing::debug!(%peer, ?outcome, "session over");
        self.peers.session_over(peer, outcome, Instant::now(), self.setup.clock.now().to_string());
    }

    /// Hands own waiting records to gossip; alone, they stay in the outbox.
    fn announce(&mut self) {
        let waiting = self.setup.store.outbox().unwrap_or_default();
        let topic = topic(self.setup.network).hash();
        let mut handed_on = Vec::new();
        for id in waiting {
            let Ok(Some(bytes)) = self.setup.store.bytes(&id) else { continue };
            match self.swarm.behaviour_mut().gossip.publish(topic.clone(), bytes) {
                Ok(_) | Err(gossipsub::PublishError::Duplicate) => handed_on.push(id),
                Err(_) => break,
            }
        }
        if handed_on.is_empty() {
            return;
        }
        let store = Arc::clone(&self.setup.store);
        spawn_blocking(move || {
            for id in handed_on {
                if let Err(error) = store.mark_handed_on(&id) {
                    tracing::error!(%error, "a published record could not be marked; it is published again");
                }
            }
        });
    }

    fn on_met(&mut self, peer: PeerId) {
        let when = self.setup.clock.now().to_string();
        if let Err(failure) = self.setup.book.met(peer, when) {
            tracing::warn!(%failure, "the peer book could not be written");
        }
    }

    fn add_peer(&mut self, address: &Multiaddr) {
        if let Err(failure) = self.setup.book.add(address) {
            tracing::warn!(%failure, "a peer could not be added to the book");
        }
        if let Some(peer) = peer_of(address) {
            self.dial(peer, address.clone());
        }
    }

    fn dial_known(&mut self) {
        for (peer, address) in self.setup.book.dialable() {
            if !self.peers.is_connected(&peer) {
                self.dial(peer, address);
            }
        }
    }

    fn dial(&mut self, peer: PeerId, address: Multiaddr) {
        let options = DialOpts::peer_id(peer)
            .condition(PeerCondition::DisconnectedAndNotDialing)
            .addresses(vec![address])
            .build();
        if let Err(error) = self.swarm.dial(options) {
            tracing::debug!(%peer, %error, "not dialled");
        }
    }

    fn status(&self) -> NetStatus {
        let own = *self.swarm.local_peer_id();
        let with_id = |address: &Multiaddr| address.clone().with(Protocol::P2p(own)).to_string();
        let peer = |(id, peer): (&PeerId, &super::peers::Peer)| PeerStatus {
            peer_id: id.to_string(),
            last_exchange: peer.last_exchange.clone(),
            is_in_step: peer.is_in_step,
        };
        let mut peers: Vec<PeerStatus> = self.peers.iter().map(peer).collect();
        peers.sort_unstable_by(|a, b| a.peer_id.cmp(&b.peer_id));
        NetStatus {
            peer_id: own.to_string(),
            addresses: self.listening.iter().map(with_id).collect(),
            peers,
            blocked: self.conduct.blocked(),
        }
    }
}

/// A random part of `most`.
fn jitter(most: Duration) -> Duration {
    let mut random = [0; 4];
    // Without random numbers the full wait is as good.
    let share = match getrandom::fill(&mut random) {
        Ok(()) => f64::from(u32::from_be_bytes(random)) / f64::from(u32::MAX),
        Err(_) => 1.0,
    };
    most.mul_f64(share)
}
