//! The exchange protocol on the wire: who is asked what, and what goes back.

use std::sync::Arc;

use libp2p::PeerId;
use libp2p::request_response::{self, InboundFailure, OutboundRequestId, ResponseChannel};
use tokio::task::spawn_blocking;

use super::client::Command;
use super::event_loop::EventLoop;
use crate::sync::{Question, Reply};

/// A reply that is ready to go out.
#[derive(Debug)]
pub struct Answered {
    pub(super) channel: ResponseChannel<Reply>,
    pub(super) reply: Reply,
}

type ExchangeEvent = request_response::Event<Question, Reply>;

impl EventLoop {
    pub(super) fn on_exchange(&mut self, event: ExchangeEvent) {
        match event {
            ExchangeEvent::Message { peer, message, .. } => match message {
                request_response::Message::Request { request, channel, .. } => match request {
                    Question::Stem { must_pass, record } => self.take_over(peer, record, must_pass, channel),
                    Question::Peers => self.tell_peers(peer, channel),
                    other => self.answer(peer, other, channel),
                },
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
    fn answer(&mut self, peer: PeerId, question: Question, channel: ResponseChannel<Reply>) {
        let Ok(permit) = Arc::clone(&self.answers).try_acquire_owned() else { return };
        let (answerer, store) = (Arc::clone(&self.answerer), Arc::clone(&self.setup.store));
        let (client, budget) = (self.client.clone(), self.budget_with(&peer));
        tokio::spawn(async move {
            let reply = spawn_blocking(move || answerer.reply(&question, &*store, budget)).await;
            let reply = reply.expect("answering does not panic");
            let _ = client.send(Command::Answered(Answered { channel, reply })).await;
            drop(permit);
        });
    }
}
