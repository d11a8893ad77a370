//! Drives one pulling session: asks over the network, takes in through the gate.

use std::sync::Arc;
use std::time::{Duration, Instant};

use libp2p::PeerId;
use propagule_protocol::{NetworkId, RecordId};
use tokio::task::spawn_blocking;

use super::Client;
use super::client::Command;
use crate::intake::{Gate, Verdict, Way};
use crate::store::Records;
use crate::sync::{Budget, Outcome, Pull, Reply, Step};
use propagule_files::journal::StoreError;

/// Pulls from `peer` until the session ends or has gone on for `longest`, then reports to the event loop.
pub(super) async fn run(
    client: Client,
    peer: PeerId,
    (network, budget): (NetworkId, Budget),
    longest: Duration,
    store: Arc<dyn Records>,
    gate: Arc<Gate>,
) {
    let outcome = pull(&client, peer, (network, budget), longest, &store, &gate).await;
    let outcome = outcome.unwrap_or_else(|error| {
        tracing::error!(%error, "records from a peer could not be kept");
        Outcome::default()
    });
    // An ended loop needs no report.
    let _ = client.send(Command::SessionOver { peer, outcome }).await;
}

async fn pull(
    client: &Client,
    peer: PeerId,
    (network, budget): (NetworkId, Budget),
    longest: Duration,
    store: &Arc<dyn Records>,
    gate: &Arc<Gate>,
) -> Result<Outcome, StoreError> {
    let until = Instant::now() + longest;
    let (mut pull, first) = Pull::start(network, budget);
    let mut step = Step::Ask(first);
    loop {
        (pull, step) = match step {
            // What was fetched is kept, and the next session goes on from there.
            Step::Ask(_) if Instant::now() >= until => return Ok(pull.outcome()),
            Step::Ask(question) => {
                let Some(reply) = client.ask(peer, question).await else { return Ok(pull.outcome()) };
                answer(pull, reply, Arc::clone(store)).await?
            }
            Step::Take(records) => take(pull, records, Arc::clone(store), Arc::clone(gate)).await?,
            Step::Done(outcome) => return Ok(outcome),
        };
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
        let came: Vec<RecordId> = verdicts.iter().filter_map(Verdict::id).collect();
        let step = pull.taken(&came, &*store)?;
        Ok((pull, step))
    })
    .await
}

async fn blocking<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    spawn_blocking(work).await.expect("work on the store does not panic")
}
