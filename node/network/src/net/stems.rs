//! Own records on their way out, and records of others that pass through.

use std::sync::Arc;

use libp2p::PeerId;
use libp2p::request_response::ResponseChannel;
use propagule_protocol::RecordId;
use tokio::task::spawn_blocking;

use super::Client;
use super::client::Command;
use super::event_loop::EventLoop;
use crate::intake::{Verdict, Way};
use crate::spread::{Act, Answer, Offence, Stage};
use crate::store::Records;
use crate::sync::{Broken, Decline, Question, Reply};
use propagule_files::clock::Moment;

/// A judged record that a peer handed over.
#[derive(Debug)]
pub struct Handed {
    from: PeerId,
    channel: ResponseChannel<Result<Reply, Broken>>,
    bytes: Vec<u8>,
    judged: Result<(RecordId, bool), Option<&'static str>>,
}

impl EventLoop {
    /// Takes up what the store has of own records.
    pub(super) fn load_outbox(&mut self) {
        let now = self.now();
        match self.setup.store.outbox() {
            Ok(rows) => self.spread.load(rows, now),
            Err(error) => tracing::error!(%error, "the outbox could not be read"),
        }
        self.setup.book.seek(self.spread.sought(now));
        self.spread_when_due(now);
    }

    pub(super) fn spread_when_due(&mut self, now: Moment) {
        let acts = self.spread.tick(now);
        self.act(acts);
    }

    /// Does what the state machine says: what has to be written down is, before anything is sent.
    pub(super) fn act(&mut self, acts: Vec<Act<PeerId>>) {
        let mut notes = Vec::new();
        for act in acts {
            match act {
                Act::Note(id, stage) => notes.push((id, Some(stage))),
                Act::Done(id) => notes.push((id, None)),
                Act::SendOwn(to, id) => self.send_own(std::mem::take(&mut notes), to, id),
                Act::SendOn { to, id, bytes } => {
                    tokio::spawn(hand_on(self.client.clone(), to, id, bytes));
                }
                Act::KeepGuards => self.keep_guards(),
                Act::GossipOwn(id) => self.gossip_own(std::mem::take(&mut notes), &id),
                Act::Release(bytes) => self.release(bytes),
            }
        }
        if !notes.is_empty() {
            let store = Arc::clone(&self.setup.store);
            spawn_blocking(move || write_notes(&*store, &notes));
        }
    }

    /// Writes the guards down, and seeks them from now on.
    fn keep_guards(&mut self) {
        let now = self.now();
        self.setup.book.seek(self.spread.sought(now));
        if let Err(failure) = self.setup.guards.keep(self.spread.guards()) {
            tracing::error!(%failure, "the guards could not be written down");
        }
    }

    fn send_own(&self, notes: Vec<(RecordId, Option<Stage>)>, to: PeerId, id: RecordId) {
        let (store, client) = (Arc::clone(&self.setup.store), self.client.clone());
        tokio::spawn(async move {
            let read = spawn_blocking(move || {
                write_notes(&*store, &notes).then(|| store.own_bytes(&id).ok().flatten()).flatten()
            });
            // Where it could not be written down or read, it is handed on again in a day or two.
            let Some(bytes) = read.await.expect("work on the store does not panic") else { return };
            hand_on(client, to, id, bytes).await;
        });
    }

    /// An open record is in the set already; alone, it stays in the outbox.
    fn gossip_own(&mut self, notes: Vec<(RecordId, Option<Stage>)>, id: &RecordId) {
        if !notes.is_empty() {
            let store = Arc::clone(&self.setup.store);
            spawn_blocking(move || write_notes(&*store, &notes));
        }
        let Ok(Some(bytes)) = self.setup.store.own_bytes(id) else { return };
        let is_taken = self.gossip(bytes);
        let acts = self.spread.gossiped(id, is_taken);
        self.act(acts);
    }

    /// Takes a record whose stem ends here into the set, and then gossips it.
    fn release(&self, bytes: Vec<u8>) {
        let (store, gate) = (Arc::clone(&self.setup.store), Arc::clone(&self.setup.gate));
        let client = self.client.clone();
        tokio::spawn(async move {
            let taken = spawn_blocking(move || {
                let verdicts = gate.take(&*store, std::slice::from_ref(&bytes), Way::Stem);
                (verdicts, bytes)
            });
            let (verdicts, bytes) = taken.await.expect("work on the store does not panic");
            if verdicts.is_ok_and(|verdicts| matches!(verdicts[..], [Verdict::New(_) | Verdict::Known(_)])) {
                let _ = client.send(Command::Released(bytes)).await;
            }
        });
    }

    /// Judges a record that a peer hands over, away from this task.
    pub(super) fn take_over(
        &mut self,
        from: PeerId,
        bytes: Vec<u8>,
        channel: ResponseChannel<Result<Reply, Broken>>,
    ) {
        if !self.spread.admits(from, self.now()) {
            self.reply(channel, Reply::Declined(Decline::Busy));
            return;
        }
        let (store, gate) = (Arc::clone(&self.setup.store), Arc::clone(&self.setup.gate));
        let client = self.client.clone();
        tokio::spawn(async move {
            let judged = spawn_blocking(move || {
                let judged = gate.judge_stemmed(&bytes).and_then(|id| {
                    let is_public = store.bytes(&id).map_err(|_| None)?.is_some();
                    Ok((id, is_public))
                });
                Handed { from, channel, bytes, judged }
            });
            let handed = judged.await.expect("judging does not panic");
            let _ = client.send(Command::Handed(handed)).await;
        });
    }

    pub(super) fn on_handed(&mut self, handed: Handed) {
        let Handed { from, channel, bytes, judged } = handed;
        let now = self.now();
        let (reply, acts) = match judged {
            Ok((id, is_public)) => match self.spread.handed(from, id, bytes, is_public, now) {
                (Answer::Taken, acts) => (Reply::Taken, acts),
                (Answer::Busy, acts) => (Reply::Declined(Decline::Busy), acts),
            },
            Err(blame) => {
                if blame.is_some() {
                    self.charge(from, Offence::Refused, 1);
                }
                (Reply::Declined(Decline::Busy), Vec::new())
            }
        };
        self.reply(channel, reply);
        self.act(acts);
    }

    /// A peer has own records in its set that are hidden here.
    pub(super) fn on_offered(&mut self, by: PeerId, ids: &[RecordId]) {
        let acts = self.spread.offered(&by, ids);
        self.act(acts);
    }

    pub(super) fn on_handed_on(&mut self, to: PeerId, id: RecordId, answer: Answer) {
        let now = self.now();
        let acts = self.spread.answered(to, id, answer, now);
        self.act(acts);
    }
}

async fn hand_on(client: Client, to: PeerId, id: RecordId, bytes: Vec<u8>) {
    let reply = client.ask(to, Question::Stem(bytes)).await;
    let answer = if reply == Some(Reply::Taken) { Answer::Taken } else { Answer::Busy };
    let _ = client.send(Command::HandedOn { to, id, answer }).await;
}

/// Writes stages down in their order; false when one could not be written.
fn write_notes(store: &dyn Records, notes: &[(RecordId, Option<Stage>)]) -> bool {
    notes.iter().all(|(id, stage)| {
        let written = match stage {
            Some(stage) => store.note_stage(id, *stage),
            None => store.mark_handed_on(id),
        };
        if let Err(error) = &written {
            tracing::error!(%error, "how far an own record has come could not be written down");
        }
        written.is_ok()
    })
}
