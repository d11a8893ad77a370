//! Judging gossip off the event loop: a bounded queue, batches, verdicts back to the loop.

use std::sync::Arc;

use libp2p::PeerId;
use libp2p::gossipsub::{MessageAcceptance, MessageId};
use tokio::sync::mpsc;
use tokio::task::spawn_blocking;

use super::limits::{GOSSIP_BATCH, GOSSIP_QUEUE};
use super::{Client, Command};
use crate::intake::{Gate, Verdict, Way};
use crate::store::Store;

/// A gossip message that waits for its verdict.
#[derive(Debug)]
pub(crate) struct Waiting {
    pub(crate) message: MessageId,
    pub(crate) from: PeerId,
    pub(crate) bytes: Vec<u8>,
}

/// The verdict on one message.
#[derive(Debug)]
pub(crate) struct Judgement {
    pub(crate) message: MessageId,
    pub(crate) from: PeerId,
    pub(crate) acceptance: MessageAcceptance,
}

/// Starts the judging task; messages go in by the returned queue.
pub(crate) fn start(client: Client, store: Arc<Store>, gate: Arc<Gate>) -> mpsc::Sender<Waiting> {
    let (queue, mut waiting) = mpsc::channel(GOSSIP_QUEUE);
    tokio::spawn(async move {
        let mut batch = Vec::new();
        while waiting.recv_many(&mut batch, GOSSIP_BATCH).await > 0 {
            let (store, gate) = (Arc::clone(&store), Arc::clone(&gate));
            let taken = std::mem::take(&mut batch);
            let judged = spawn_blocking(move || judge(&store, &gate, taken)).await;
            let judged = judged.expect("judging does not panic");
            if client.send(Command::Judged(judged)).await.is_err() {
                break;
            }
        }
    });
    queue
}

fn judge(store: &Store, gate: &Gate, mut batch: Vec<Waiting>) -> Vec<Judgement> {
    let bytes: Vec<Vec<u8>> = batch.iter_mut().map(|waiting| std::mem::take(&mut waiting.bytes)).collect();
    let verdicts = gate.take(store, &bytes, Way::Gossip).unwrap_or_else(|error| {
        tracing::error!(%error, "records from gossip could not be kept");
        Vec::new()
    });
    // Where the store failed, nobody is to blame: such messages are ignored and come again by exchange.
    let acceptances = verdicts.into_iter().map(acceptance).chain(std::iter::repeat(MessageAcceptance::Ignore));
    let judgement = |(waiting, acceptance): (Waiting, MessageAcceptance)| Judgement {
        message: waiting.message,
        from: waiting.from,
        acceptance,
    };
    batch.into_iter().zip(acceptances).map(judgement).collect()
}

fn acceptance(verdict: Verdict) -> MessageAcceptance {
    match verdict {
        Verdict::New(_) => MessageAcceptance::Accept,
        Verdict::Known(_) | Verdict::Aside(_) => MessageAcceptance::Ignore,
        Verdict::Refused(_) => MessageAcceptance::Reject,
    }
}
