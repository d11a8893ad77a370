//! Queues to and from the event loop, filled beyond their end.

use std::sync::Arc;

use futures::FutureExt;
use libp2p::PeerId;
use libp2p::gossipsub::MessageId;

use super::Client;
use super::client::Command;
use super::judging::{self, Waiting};
use crate::admission::Admittance;
use crate::fixtures::network;
use crate::intake::Gate;
use crate::limits::{COMMANDS, GOSSIP_BATCH, GOSSIP_QUEUE};
use crate::store::Memory;
use crate::timing::Timing;
use propagule_files::clock::Clock;

#[tokio::test]
async fn whoever_commands_waits_when_too_many_commands_do() {
    let (client, mut inbox) = Client::new();
    for number in 0..COMMANDS {
        assert!(client.hurry().now_or_never().is_some(), "command {number}");
    }
    assert!(client.hurry().now_or_never().is_none(), "one more has to wait");
    assert!(matches!(inbox.recv().await, Some(Command::Hurry)));
    assert!(client.hurry().now_or_never().is_some(), "there is room again");
}

/// As a test runs on one thread, nothing is judged before it waits.
#[tokio::test]
async fn gossip_that_waits_has_an_end_and_is_judged_in_batches() {
    let (client, mut inbox) = Client::new();
    let clock = Clock::Fixed("2026-10-15T12:00:00Z".parse().expect("a timestamp"));
    let admission = Admittance::in_memory(Timing::quick().known_after);
    let (store, gate) = (Arc::new(Memory::new(1 << 20)), Arc::new(Gate::new(network(), clock, admission)));
    let queue = judging::start(client, store, gate);
    let from = PeerId::random();
    let message = || Waiting { message: MessageId::from(Vec::new()), from, bytes: vec![0xFF; 40] };
    let taken = (0..GOSSIP_QUEUE + 5).filter(|_| queue.try_send(message()).is_ok()).count();
    assert_eq!(taken, GOSSIP_QUEUE);
    let mut left = GOSSIP_QUEUE;
    while left > 0 {
        let Some(Command::Judged(judged)) = inbox.recv().await else { panic!("judgements") };
        assert_eq!(judged.len(), GOSSIP_BATCH.min(left));
        left -= judged.len();
    }
}
