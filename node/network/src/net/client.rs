//! The handle on the event loop, and what it can be asked to do.

use std::collections::HashSet;

use libp2p::{Multiaddr, PeerId};
use propagule_protocol::RecordId;
use tokio::sync::{mpsc, oneshot};

use super::NetStatus;
use super::exchange::Answered;
use super::judging::Judgement;
use super::stems::Handed;
use crate::limits::COMMANDS;
use crate::spread::Answer;
use crate::sync::{Outcome, Question, Reply};

/// The event loop has ended.
#[derive(Clone, Copy, Debug, thiserror::Error)]
#[error("the network part of this node has stopped")]
pub struct NetClosed;

/// What the event loop is asked to do.
#[derive(Debug)]
pub enum Command {
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
    Answered(Answered),
    Judged(Vec<Judgement>),
    /// Addresses that a peer told of.
    Told {
        by: PeerId,
        addresses: Vec<String>,
    },
    /// A record that a peer handed over has been judged.
    Handed(Handed),
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
        outcome: Outcome,
        /// Records that the peer delivered and that failed.
        failed: Vec<RecordId>,
        /// Own records, hidden here, that the peer has in its set.
        offered: Vec<RecordId>,
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
    pub(super) fn new() -> (Self, mpsc::Receiver<Command>) {
        let (commands, inbox) = mpsc::channel(COMMANDS);
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

    /// Asks a peer; none where it does not reply.
    pub async fn ask(&self, peer: PeerId, question: Question) -> Option<Reply> {
        let (reply, wait) = oneshot::channel();
        self.send(Command::Ask { peer, question, reply }).await.ok()?;
        wait.await.ok().flatten()
    }

    /// Hands a command to the loop.
    pub async fn send(&self, command: Command) -> Result<(), NetClosed> {
        self.commands.send(command).await.map_err(|_| NetClosed)
    }
}
