//! The task that owns the swarm. It never waits for the store: such work is sent away and comes back
//! as a command.

use std::collections::{BTreeSet, HashMap, HashSet};
use std::sync::Arc;

use futures::{FutureExt, StreamExt};
use libp2p::gossipsub::{self, MessageAcceptance};
use libp2p::request_response::OutboundRequestId;
use libp2p::swarm::{ConnectionId, SwarmEvent};
use libp2p::{Multiaddr, PeerId, Swarm, ping};
use propagule_protocol::RecordId;
use tokio::sync::{Semaphore, mpsc};

use super::behaviour::{Behaviour, BehaviourEvent};
use super::client::Command;
use super::exchange::Waited;
use super::judging::{self, Judgement, Waiting};
use super::nearby::Nearby;
use super::peers::{Group, Origin, Peers};
use super::reach::Reached;
use super::relays::Relays;
use super::session::{self, Session};
use super::{Client, Setup, cannot_listen};
use crate::limits;
use crate::spread::{Consequence, Dice, GossipQuota, Ledger, Offence, Spread, SystemDice, Visitors};
use crate::sync::{Allowances, Answerer, Budget, Outcome, Schedule};
use propagule_files::clock::{Moment, Ticker};
use propagule_files::fault::Fault;

/// The swarm and all that belongs to it.
pub(super) struct EventLoop {
    pub(super) swarm: Swarm<Behaviour>,
    pub(super) setup: Setup,
    pub(super) client: Client,
    ticker: Ticker,
    judging: mpsc::Sender<Waiting>,
    pub(super) answerer: Arc<Answerer>,
    pub(super) answers: Arc<Semaphore>,
    pub(super) asked: HashMap<OutboundRequestId, Waited>,
    /// Peers that want to be left alone, and until when.
    pub(super) hushed: HashMap<PeerId, Moment>,
    pub(super) allowances: Allowances<PeerId>,
    pub(super) peers: Peers,
    pub(super) doors: Visitors<ConnectionId, Group>,
    pub(super) schedule: Schedule<PeerId>,
    gossip_quota: GossipQuota<PeerId>,
    pub(super) spread: Spread<PeerId>,
    pub(super) dice: SystemDice,
    pub(super) ledger: Ledger<PeerId, Origin>,
    pub(super) reached: Reached,
    pub(super) relays: Relays,
    /// Peers that have a place at this node.
    pub(super) places: BTreeSet<PeerId>,
    /// Circuits that went through this node.
    pub(super) circuits: u64,
    pub(super) is_relaying: bool,
    pub(super) nearby: Nearby,
    pub(super) next_dial: Moment,
    /// When to ask for addresses once more.
    pub(super) next_question: Moment,
}

impl EventLoop {
    pub(super) fn new(swarm: Swarm<Behaviour>, setup: Setup, client: Client) -> Self {
        let judging = judging::start(client.clone(), Arc::clone(&setup.store), Arc::clone(&setup.gate));
        let ticker = Ticker::new(setup.clock);
        let timing = setup.timing;
        // Of the network key, so that next hops stay the same over restarts and nobody can tell them.
        let secret = u64::from_be_bytes(setup.key[..8].try_into().expect("a key is longer than that"));
        Self {
            ticker,
            judging,
            answerer: Arc::new(Answerer::new(setup.network)),
            answers: Arc::new(Semaphore::new(limits::ANSWERS)),
            asked: HashMap::new(),
            hushed: HashMap::new(),
            allowances: Allowances::new(u64::from(setup.share_kib_s) << 10),
            peers: Peers::new(setup.loopback_exempt),
            doors: Visitors::new(super::visiting::room(setup.connections), SystemDice.roll()),
            schedule: Schedule::new(timing),
            gossip_quota: GossipQuota::default(),
            spread: Spread::new(timing, secret, Box::new(SystemDice)).guarded(setup.guards.read().clone()),
            dice: SystemDice,
            ledger: Ledger::new(timing.block),
            reached: Reached::default(),
            relays: Relays::default(),
            places: BTreeSet::new(),
            circuits: 0,
            is_relaying: false,
            nearby: Nearby::default(),
            next_question: ticker.now().plus(timing.back_off),
            next_dial: ticker.now().plus(super::dialling::jitter(timing.dial_jitter, &mut SystemDice)),
            swarm,
            setup,
            client,
        }
    }

    pub(super) fn now(&self) -> Moment {
        self.ticker.now()
    }

    /// Waits until every address to listen on is bound, and what is known of them by then has been noted.
    pub(super) async fn wait_for_listeners(&mut self) -> Result<(), Fault> {
        while self.reached.listening().len() < self.setup.listen.len() {
            match self.swarm.select_next_some().await {
                SwarmEvent::ListenerClosed { addresses, reason: Err(e), .. } => {
                    let address = addresses.first().or(self.setup.listen.first());
                    return Err(cannot_listen(address.unwrap_or(&Multiaddr::empty()), &e));
                }
                other => self.on_event(other),
            }
        }
        // One that stands for every address of the machine has them told one after the other.
        while let Some(event) = self.swarm.select_next_some().now_or_never() {
            self.on_event(event);
        }
        Ok(())
    }

    /// Runs until told to stop, or until nobody is left to command.
    pub(super) async fn run(mut self, mut commands: mpsc::Receiver<Command>) {
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

    pub(super) fn on_command(&mut self, command: Command) {
        match command {
            Command::Announce => self.load_outbox(),
            Command::Hurry => self.schedule.hurry(self.now()),
            Command::Dial(addresses) => self.add_peers(&addresses),
            Command::Allow(allowed) => self.allow_only(allowed),
            Command::Status(answer) => {
                let _ = answer.send(self.status());
            }
            Command::Ask { peer, question, reply } => self.ask(peer, question, reply),
            Command::Answered(answered) => self.on_answered(answered),
            Command::Judged(judgements) => judgements.into_iter().for_each(|one| self.on_judgement(&one)),
            Command::Told { by, addresses } => self.on_told(by, &addresses),
            Command::Handed(handed) => self.on_handed(handed),
            Command::HandedOn { to, id, answer } => self.on_handed_on(to, id, answer),
            // Alone, the record is in the set, and comes by exchange.
            Command::Released(bytes) => {
                let _ = self.gossip(bytes);
            }
            Command::SessionOver { peer, outcome, failed, offered } => {
                self.on_offered(peer, &offered);
                self.on_session_over(peer, outcome, failed);
            }
            Command::Stop(_) => {}
        }
    }

    fn on_tick(&mut self) {
        let now = self.now();
        for peer in self.ledger.released(now) {
            self.swarm.behaviour_mut().blocked.unblock_peer(peer);
        }
        self.close_overdue(now);
        for peer in self.schedule.due(now) {
            let (store, gate) = (Arc::clone(&self.setup.store), Arc::clone(&self.setup.gate));
            let session = Session {
                peer,
                network: self.setup.network,
                budget: self.budget_with(&peer),
                longest: self.setup.timing.session,
                shunned: self.ledger.shunned(peer, now).collect(),
            };
            tokio::spawn(session::run(self.client.clone(), session, store, gate));
        }
        self.look_after_reach(now);
        self.dial_when_due(now);
        self.spread_when_due(now);
    }

    fn on_event(&mut self, event: SwarmEvent<BehaviourEvent>) {
        let Some(event) = self.on_reach_event(event) else { return };
        match event {
            SwarmEvent::Behaviour(BehaviourEvent::Gossip(event)) => self.on_gossip(event),
            SwarmEvent::Behaviour(BehaviourEvent::Exchange(event)) => self.on_exchange(event),
            // A peer without the protocol is no dead one.
            SwarmEvent::Behaviour(BehaviourEvent::Ping(ping::Event { connection, result, .. })) => {
                match result {
                    Ok(took) => self.doors.answered(connection, took),
                    Err(ping::Failure::Unsupported) => {}
                    Err(_) => drop(self.swarm.close_connection(connection)),
                }
            }
            SwarmEvent::ConnectionEstablished { peer_id, connection_id, endpoint, .. } => {
                self.on_connected(peer_id, connection_id, &endpoint);
            }
            SwarmEvent::ConnectionClosed { peer_id, connection_id, .. } => {
                self.doors.left(connection_id);
                if self.peers.disconnected(peer_id, connection_id) {
                    self.schedule.gone(&peer_id);
                    self.spread.gone(&peer_id);
                    self.places.remove(&peer_id);
                    self.lose_relay(peer_id);
                }
            }
            SwarmEvent::OutgoingConnectionError { peer_id: Some(peer), error, .. }
                if !self.peers.is_connected(&peer) =>
            {
                tracing::debug!(%peer, %error, "a peer could not be reached");
                self.setup.book.failed(peer);
            }
            _ => {}
        }
    }

    /// Keeps to a list of peers from now on, or to none.
    fn allow_only(&mut self, allowed: Option<HashSet<PeerId>>) {
        self.swarm.behaviour_mut().doorkeeper.set_allowed(allowed);
        let connected: Vec<PeerId> = self.swarm.connected_peers().copied().collect();
        for peer in connected {
            if !self.swarm.behaviour().doorkeeper.is_allowed(&peer) {
                // It may have gone by itself.
                let _ = self.swarm.disconnect_peer_id(peer);
            }
        }
    }

    /// How much may go over what connects us to a peer.
    pub(super) fn budget_with(&self, peer: &PeerId) -> Budget {
        if self.peers.is_relayed(peer) { Budget::RELAYED } else { Budget::DIRECT }
    }

    fn on_gossip(&mut self, event: gossipsub::Event) {
        match event {
            gossipsub::Event::Message { propagation_source, message_id, message } => {
                let now = self.now();
                if let Some(consequence) = self.ledger.gossiped(propagation_source, now) {
                    self.setup.gate.refuse(Offence::Flood.reason());
                    self.follow(propagation_source, consequence);
                }
                if !self.gossip_quota.admit(propagation_source, now) {
                    self.setup.gate.delay();
                    self.report(&message_id, &propagation_source, MessageAcceptance::Ignore);
                    return;
                }
                let waiting = Waiting { message: message_id, from: propagation_source, bytes: message.data };
                if let Err(mpsc::error::TrySendError::Full(waiting)) = self.judging.try_send(waiting) {
                    self.setup.gate.refuse("too many at once");
                    self.report(&waiting.message, &waiting.from, MessageAcceptance::Ignore);
                }
            }
            gossipsub::Event::Subscribed { .. } => self.spread_when_due(self.now()),
            _ => {}
        }
    }

    fn on_judgement(&mut self, judgement: &Judgement) {
        if matches!(judgement.acceptance, MessageAcceptance::Reject) {
            self.charge(judgement.from, Offence::Refused, 1);
        }
        if let Some(id) = judgement.id {
            let acts = self.spread.seen(&id);
            self.act(acts);
        }
        let acceptance = judgement.acceptance;
        self.report(&judgement.message, &judgement.from, acceptance);
    }

    fn report(&mut self, message: &gossipsub::MessageId, from: &PeerId, acceptance: MessageAcceptance) {
        self.swarm.behaviour_mut().gossip.report_message_validation_result(message, from, acceptance);
    }

    /// Counts an offence that no verdict on a record has counted, and charges it.
    pub(super) fn offend(&mut self, peer: PeerId, offence: Offence, times: u32) {
        self.setup.gate.refuse(offence.reason());
        self.charge(peer, offence, times);
    }

    /// Charges an offence.
    pub(super) fn charge(&mut self, peer: PeerId, offence: Offence, times: u32) {
        tracing::debug!(%peer, ?offence, times, "charged");
        let consequence = self.ledger.charge(peer, offence, times, self.now());
        self.follow(peer, consequence);
    }

    fn follow(&mut self, peer: PeerId, consequence: Consequence<Origin>) {
        if consequence.is_blocked {
            tracing::info!(%peer, "a peer did too much that it must not do and is blocked for a while");
            self.swarm.behaviour_mut().blocked.block_peer(peer);
        }
        if let Some(origin) = consequence.narrowed {
            tracing::info!(
                ?origin,
                "too many peers of one place were blocked: it gets one connection for a while"
            );
            for surplus in self.peers.from(origin).into_iter().skip(1) {
                self.swarm.close_connection(surplus);
            }
        }
    }

    fn on_session_over(&mut self, peer: PeerId, outcome: Outcome, failed: Vec<RecordId>) {
        let now = self.now();
        for id in failed {
            self.ledger.shun(peer, id, now);
        }
        match outcome.offence {
            // The verdicts on its records have counted it.
            Some((offence @ Offence::Forged, times)) => self.charge(peer, offence, times),
            Some((offence, times)) => self.offend(peer, offence, times),
            None => {}
        }
        tracing::debug!(%peer, ?outcome, "session over");
        self.schedule.over(peer, outcome, self.now());
        self.peers.session_over(peer, outcome, self.setup.clock.now().to_string());
        if outcome.came > 0 {
            self.peers.connections(&peer).into_iter().for_each(|one| self.doors.brought(one, now));
        }
    }

    /// Hands a record to gossip; false when nobody listens.
    pub(super) fn gossip(&mut self, bytes: Vec<u8>) -> bool {
        let topic = super::behaviour::topic(self.setup.network).hash();
        let published = self.swarm.behaviour_mut().gossip.publish(topic, bytes);
        matches!(published, Ok(_) | Err(gossipsub::PublishError::Duplicate))
    }
}
