//! Drives one pulling session: asks over the network, takes in through the gate.

use std::sync::Arc;
use std::time::{Duration, Instant};

use libp2p::PeerId;
use propagule_protocol::{NetworkId, RecordId};
use tokio::task::spawn_blocking;

use super::Client;
use super::client::Command;
use crate::intake::{Gate, Verdict, Way};
use crate::spread::SystemDice;
use crate::store::Records;
use crate::sync::{Budget, Decline, Outcome, Pull, Question, Receipt, Reply, Step};
use propagule_files::journal::StoreError;

/// Whom to pull from, and what limits the session.
#[derive(Debug)]
pub(super) struct Session {
    pub(super) peer: PeerId,
    pub(super) network: NetworkId,
    pub(super) budget: Budget,
    pub(super) longest: Duration,
    /// Records not to ask of this peer.
    pub(super) shunned: Vec<RecordId>,
}

/// Pulls until the session ends or has gone on for as long as it may, then reports to the event loop.
pub(super) async fn run(client: Client, session: Session, store: Arc<dyn Records>, gate: Arc<Gate>) {
    let peer = session.peer;
    let pulled = pull(&client, session, &store, &gate).await.unwrap_or_else(|error| {
        tracing::error!(%error, "records from a peer could not be kept");
        Pulled::default()
    });
    let Pulled { outcome, failed, offered } = pulled;
    // An ended loop needs no report.
    let _ = client.send(Command::SessionOver { peer, outcome, failed, offered }).await;
}

/// How a session ended.
#[derive(Debug, Default)]
struct Pulled {
    outcome: Outcome,
    /// Records that the peer delivered and that failed.
    failed: Vec<RecordId>,
    /// Hidden records that the peer has in its set.
    offered: Vec<RecordId>,
}

impl Pulled {
    fn of(pull: &Pull, outcome: Outcome) -> Self {
        Self { outcome, failed: pull.failed().to_vec(), offered: pull.offered().to_vec() }
    }
}

async fn pull(
    client: &Client,
    session: Session,
    store: &Arc<dyn Records>,
    gate: &Arc<Gate>,
) -> Result<Pulled, StoreError> {
    let until = Instant::now() + session.longest;
    let (range, known) = gate.asks_for(&mut SystemDice)?;
    let (pull, first) = Pull::start_within(session.network, session.budget, range, known);
    let pull = pull.shunning(session.shunned).leaving(gate.left_today());
    let (mut pull, mut step) = (pull, Step::Ask(first));
    loop {
        (pull, step) = match step {
            // What was fetched is kept, and the next session goes on from there.
            Step::Ask(_) if Instant::now() >= until => break,
            Step::Ask(question) => {
                let Some(reply) = ask(client, session.peer, question, until).await else { break };
                answer(pull, reply, Arc::clone(store)).await?
            }
            Step::Take(records) => take(pull, records, Arc::clone(store), Arc::clone(gate)).await?,
            Step::Done(outcome) => return Ok(Pulled::of(&pull, outcome)),
        };
    }
    Ok(Pulled::of(&pull, pull.outcome()))
}

/// Asks, and waits as long as the peer wants where that is within the session.
async fn ask(client: &Client, peer: PeerId, question: Question, until: Instant) -> Option<Reply> {
    loop {
        let reply = client.ask(peer, question.clone()).await?;
        let Reply::Declined(Decline::OverBudget(seconds)) = reply else { return Some(reply) };
        let wait = Duration::from_secs(seconds.into());
        if Instant::now() + wait >= until {
            return Some(reply);
        }
        tokio::time::sleep(wait).await;
    }
}

async fn answer(mut pull: Pull, reply: Reply, store: Arc<dyn Records>) -> Result<(Pull, Step), StoreError> {
    blocking(move || {
        let step = pull.answer(reply, &*store)?;
        Ok((pull, step))
    })
    .await
}

async fn take(
    mut pull: Pull,
    records: Vec<Vec<u8>>,
    store: Arc<dyn Records>,
    gate: Arc<Gate>,
) -> Result<(Pull, Step), StoreError> {
    blocking(move || {
        let verdicts = gate.take(&*store, &records, Way::Exchange)?;
        let receipts: Vec<Receipt> = verdicts.iter().map(receipt).collect();
        let step = pull.taken(&receipts, &*store)?;
        Ok((pull, step))
    })
    .await
}

fn receipt(verdict: &Verdict) -> Receipt {
    match verdict {
        Verdict::New(_) | Verdict::Known(_) | Verdict::Aside(_) => Receipt::Kept,
        Verdict::Delayed | Verdict::Dropped => Receipt::Left,
        Verdict::Refused(_) => Receipt::Failed,
    }
}

async fn blocking<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    spawn_blocking(work).await.expect("work on the store does not panic")
}
