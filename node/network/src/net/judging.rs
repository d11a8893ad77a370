//! Judging gossip off the event loop: a bounded queue, batches, verdicts back to the loop.

use std::sync::Arc;

use libp2p::PeerId;
use libp2p::gossipsub::{MessageAcceptance, MessageId};
use propagule_protocol::RecordId;
use tokio::sync::mpsc;
use tokio::task::spawn_blocking;

use super::Client;
use super::client::Command;
use crate::intake::{Gate, Verdict, Way};
use crate::limits::{GOSSIP_BATCH, GOSSIP_QUEUE};
use crate::store::Records;

/// A gossip message that waits for its verdict.
#[derive(Debug)]
pub(super) struct Waiting {
    pub message: MessageId,
    pub from: PeerId,
    pub bytes: Vec<u8>,
}

/// The verdict on one message.
#[derive(Debug)]
pub struct Judgement {
    pub message: MessageId,
    pub from: PeerId,
    pub acceptance: MessageAcceptance,
    /// The record, when it is here now: then everybody may have it.
    pub id: Option<RecordId>,
}

/// Starts the judging task; messages go in by the returned queue.
pub(super) fn start(client: Client, store: Arc<dyn Records>, gate: Arc<Gate>) -> mpsc::Sender<Waiting> {
    let (queue, mut waiting) = mpsc::channel(GOSSIP_QUEUE);
    tokio::spawn(async move {
        let mut batch = Vec::new();
        while waiting.recv_many(&mut batch, GOSSIP_BATCH).await > 0 {
            let (store, gate) = (Arc::clone(&store), Arc::clone(&gate));
            let taken = std::mem::take(&mut batch);
            let judged = spawn_blocking(move || judge(&*store, &gate, taken)).await;
            let judged = judged.expect("judging does not panic");
            if client.send(Command::Judged(judged)).await.is_err() {
                break;
            }
        }
    });
    queue
}

fn judge(store: &dyn Records, gate: &Gate, mut batch: Vec<Waiting>) -> Vec<Judgement> {
    let bytes: Vec<Vec<u8>> = batch.iter_mut().map(|waiting| std::mem::take(&mut waiting.bytes)).collect();
    let verdicts = gate.take(store, &bytes, Way::Gossip).unwrap_or_else(|error| {
        tracing::error!(%error, "records from gossip could not be kept");
        Vec::new()
    });
    // Where the store failed, nobody is to blame: such messages are ignored and come again by exchange.
    let verdicts = verdicts.into_iter().map(Some).chain(std::iter::repeat(None));
    let judgement = |(waiting, verdict): (Waiting, Option<Verdict>)| Judgement {
        message: waiting.message,
        from: waiting.from,
        acceptance: verdict.map_or(MessageAcceptance::Ignore, acceptance),
        id: verdict.and_then(|verdict| verdict.id()),
    };
    batch.into_iter().zip(verdicts).map(judgement).collect()
}

fn acceptance(verdict: Verdict) -> MessageAcceptance {
    match verdict {
        Verdict::New(_) => MessageAcceptance::Accept,
        Verdict::Known(_) | Verdict::Aside(_) | Verdict::Delayed | Verdict::Dropped => {
            MessageAcceptance::Ignore
        }
        Verdict::Refused(_) => MessageAcceptance::Reject,
    }
}
