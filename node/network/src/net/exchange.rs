//! The exchange protocol on the wire: who is asked what, what goes back, and how much each peer may have.

use std::sync::Arc;
use std::time::{Duration, Instant};

use libp2p::PeerId;
use libp2p::request_response::{self, OutboundRequestId, ResponseChannel};
use tokio::sync::oneshot;
use tokio::task::spawn_blocking;

use super::client::Command;
use super::event_loop::EventLoop;
use crate::spread::Offence;
use crate::sync::{Admission, Asked, Broken, Decline, Familiarity, Granted, Question, Reply};

/// A reply that is ready to go out.
#[derive(Debug)]
pub struct Answered {
    pub(super) to: PeerId,
    pub(super) channel: ResponseChannel<Result<Reply, Broken>>,
    pub(super) reply: Reply,
    /// What it was granted, and the time that it took to make.
    pub(super) granted: Granted,
    pub(super) took: Duration,
}

/// A question of this node's own that waits for its reply.
#[derive(Debug)]
pub(super) struct Waited {
    question: Question,
    asker: oneshot::Sender<Option<Reply>>,
}

type ExchangeEvent = request_response::Event<Result<Question, Broken>, Result<Reply, Broken>>;

impl EventLoop {
    pub(super) fn on_exchange(&mut self, event: ExchangeEvent) {
        match event {
            ExchangeEvent::Message { peer, message, connection_id } => match message {
                request_response::Message::Request { request: Ok(question), channel, .. } => {
                    self.has_spoken(peer, connection_id, true);
                    self.on_question(peer, question, channel);
                }
                // Whoever sends no question gets no answer.
                request_response::Message::Request { request: Err(broken), .. } => {
                    self.offend(peer, broken.offence(), 1);
                }
                request_response::Message::Response { request_id, response } => {
                    self.on_reply(peer, request_id, response);
                }
            },
            ExchangeEvent::OutboundFailure { request_id, .. } => {
                if let Some(waited) = self.asked.remove(&request_id) {
                    waited.hand_back(None);
                }
            }
            _ => {}
        }
    }

    /// Asks a peer, unless it has said that it is to be left alone for now.
    pub(super) fn ask(&mut self, peer: PeerId, question: Question, asker: oneshot::Sender<Option<Reply>>) {
        let waited = Waited { question, asker };
        if let Some(seconds) = self.hushed_for(&peer) {
            waited.hand_back(Some(Reply::Declined(Decline::OverBudget(seconds))));
            return;
        }
        let question = waited.question.clone();
        let id = self.swarm.behaviour_mut().exchange.send_request(&peer, Ok(question));
        self.asked.insert(id, waited);
    }

    fn hushed_for(&mut self, peer: &PeerId) -> Option<u32> {
        let now = self.now();
        self.hushed.retain(|_, until| *until > now);
        self.hushed.get(peer).map(|until| whole_seconds(until.since(now)))
    }

    fn on_reply(&mut self, peer: PeerId, request: OutboundRequestId, reply: Result<Reply, Broken>) {
        let Some(waited) = self.asked.remove(&request) else { return };
        let offence = match &reply {
            Ok(reply) if waited.question.is_answered_by(reply) => None,
            Ok(_) => Some(Offence::Garbled),
            Err(broken) => Some(broken.offence()),
        };
        if let Ok(Reply::Declined(Decline::OverBudget(seconds))) = &reply {
            let wait = Duration::from_secs((*seconds).into()).min(self.setup.timing.back_off_limit);
            self.hushed.insert(peer, self.now().plus(wait));
        }
        if let Some(offence) = offence {
            self.offend(peer, offence, 1);
        }
        if offence.is_none() {
            self.has_answered(&peer);
        }
        waited.hand_back(reply.ok().filter(|_| offence.is_none()));
    }

    fn on_question(
        &mut self,
        peer: PeerId,
        question: Question,
        channel: ResponseChannel<Result<Reply, Broken>>,
    ) {
        let now = self.now();
        let asked = Asked::new(&question, self.budget_with(&peer));
        let granted = match self.allowances.ask(peer, self.familiarity(&peer), asked, now) {
            Admission::Answer(granted) => granted,
            Admission::Wait { wait, is_impatient } => {
                if is_impatient {
                    self.offend(peer, Offence::Impatient, 1);
                }
                self.reply(channel, Reply::Declined(Decline::OverBudget(whole_seconds(wait))));
                return;
            }
        };
        match question {
            Question::Stem(record) => {
                self.settle(peer, granted, &Reply::Taken, Duration::ZERO);
                self.take_over(peer, record, channel);
            }
            Question::Peers => {
                let reply = self.addresses_for(peer);
                self.settle(peer, granted, &reply, Duration::ZERO);
                self.reply(channel, reply);
            }
            other => self.answer(peer, other, granted, channel),
        }
    }

    /// Answers a question on another thread; with too many under way the peer is left to ask again.
    fn answer(
        &mut self,
        peer: PeerId,
        question: Question,
        granted: Granted,
        channel: ResponseChannel<Result<Reply, Broken>>,
    ) {
        let Ok(permit) = Arc::clone(&self.answers).try_acquire_owned() else {
            self.settle(peer, granted, &Reply::Declined(Decline::Busy), Duration::ZERO);
            return;
        };
        let (answerer, store) = (Arc::clone(&self.answerer), Arc::clone(&self.setup.store));
        answerer.keep_to(self.setup.gate.admission().range());
        let (client, budget) = (self.client.clone(), self.budget_with(&peer));
        tokio::spawn(async move {
            let answer = spawn_blocking(move || {
                let begun = Instant::now();
                (answerer.reply(&question, &*store, budget), begun.elapsed())
            });
            let (reply, took) = answer.await.expect("answering does not panic");
            let answered = Answered { to: peer, channel, reply, granted, took };
            let _ = client.send(Command::Answered(answered)).await;
            drop(permit);
        });
    }

    pub(super) fn on_answered(&mut self, answered: Answered) {
        let Answered { to, channel, reply, granted, took } = answered;
        self.settle(to, granted, &reply, took);
        self.reply(channel, reply);
    }

    fn settle(&mut self, peer: PeerId, granted: Granted, reply: &Reply, took: Duration) {
        let now = self.now();
        self.allowances.answered(&peer, granted, reply.bytes() as u64, took, now);
    }

    /// Sends a reply; a peer that left meanwhile needs none.
    pub(super) fn reply(&mut self, channel: ResponseChannel<Result<Reply, Broken>>, reply: Reply) {
        let _ = self.swarm.behaviour_mut().exchange.send_response(channel, Ok(reply));
    }

    /// Whom the grower added or allowed, or who is in the same local network. An address of this machine says nothing:
    /// a tunnel may end there.
    fn familiarity(&self, peer: &PeerId) -> Familiarity {
        if self.is_friend(peer) || self.peers.is_neighbour(peer) {
            Familiarity::Friend
        } else {
            Familiarity::Stranger
        }
    }

    /// Whether the grower added or allowed a peer.
    pub(super) fn is_friend(&self, peer: &PeerId) -> bool {
        self.swarm.behaviour().doorkeeper.is_named(peer) || self.setup.book.is_growers(peer)
    }
}

impl Waited {
    fn hand_back(self, reply: Option<Reply>) {
        // Whoever asked may have given up.
        let _ = self.asker.send(reply);
    }
}

/// Never less than there is to wait.
fn whole_seconds(wait: Duration) -> u32 {
    u32::try_from(wait.as_millis().div_ceil(1_000)).unwrap_or(u32::MAX).max(1)
}
