//! A node among flooders, garbage senders, peers that never converge and slow ones: memory and disk stay under their
//! ceilings, and honest records still arrive.
//!
//! `cargo run --release -p propagule-tests --bin soak -- --minutes 10`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::sync::Arc;
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use propagule_app::{Reply, Request};
use propagule_network::spread::{Dice, SeededDice};
use propagule_network::timing::Timing;
use propagule_protocol::Month;
use propagule_tests::dice::hex;
use propagule_tests::hostile::Hostile;
use propagule_tests::inside::Inside;
use propagule_tests::invented::{network, record_in, record_of};
use propagule_tests::stores::{NeverTheSame, Slow, Watched};
use propagule_tests::{Grower, Node, argument};

/// Disk quota of the node, in MB.
const QUOTA_MB: u64 = 32;
/// Most memory, in MB.
const MEMORY_MB: u64 = 150;
/// The index is not in the quota: it takes about as much again, and its library as much once more while it tidies.
const DISK_MB: u64 = 3 * QUOTA_MB;
/// Month of the honest records, apart from the flood.
const HONEST_MONTH: Month = Month(1_520);

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() -> anyhow::Result<()> {
    let minutes = argument("--minutes", 10)?;
    let grower = Grower::new()?;
    set_quota(&grower)?;
    let node = grower.serve()?;
    let attack = Attack::begin(node.address()).await?;
    let honest = Honest::begin(node.address()).await?;
    let until = Instant::now() + Duration::from_secs(minutes * 60);
    let mut seen = Seen::default();
    let mut published = 0;
    while Instant::now() < until {
        published += honest.publish(published).await?;
        seen.look(&grower, &node)?;
        tokio::time::sleep(Duration::from_secs(1)).await;
    }
    let arrived = arrived(&grower, published).await?;
    let counts = grower.json(&["peers", "list"])?;
    let blocked = attack.end().await?;
    println!(
        "soak: {minutes} min; {published} honest records published, {arrived} arrived (bar all); {} held, {} refused, {} \
         delayed, {} dropped; {} garbage senders were shut out; most memory {} MB (bar {MEMORY_MB}), most disk {} MB (bar \
         {DISK_MB})",
        counts["records"],
        counts["counts"]["refused"]
            .as_object()
            .into_iter()
            .flatten()
            .filter_map(|(_, n)| n.as_u64())
            .sum::<u64>(),
        counts["counts"]["delayed"],
        counts["counts"]["dropped"],
        blocked,
        seen.memory_mb,
        seen.disk_mb
    );
    ensure!(arrived == published && published > 0, "honest records are missing");
    ensure!(seen.memory_mb <= MEMORY_MB && seen.disk_mb <= DISK_MB, "over a ceiling");
    ensure!(node.stop()?, "the node did not end well");
    Ok(())
}

fn set_quota(grower: &Grower) -> anyhow::Result<()> {
    let path = grower.home().join("config.toml");
    let text = std::fs::read_to_string(&path)?;
    let changed = text.replace("quota_mb = 2048", &format!("quota_mb = {QUOTA_MB}"));
    ensure!(changed != text, "the quota stands in config.toml");
    Ok(std::fs::write(&path, changed)?)
}

/// The most that was seen.
#[derive(Default)]
struct Seen {
    memory_mb: u64,
    disk_mb: u64,
}

impl Seen {
    fn look(&mut self, grower: &Grower, node: &Node) -> anyhow::Result<()> {
        self.memory_mb = self.memory_mb.max(node.memory_mb()?);
        self.disk_mb = self.disk_mb.max(size(&grower.home())? >> 20);
        Ok(())
    }
}

fn size(folder: &std::path::Path) -> anyhow::Result<u64> {
    let mut total = 0;
    for entry in std::fs::read_dir(folder)?.flatten() {
        // Files of the index come and go while it is looked at.
        let Ok(found) = entry.metadata() else { continue };
        total += if found.is_dir() { size(&entry.path())? } else { found.len() };
    }
    Ok(total)
}

/// A node that keeps the rules and publishes.
struct Honest {
    inside: Inside,
    store: Arc<Watched>,
}

impl Honest {
    async fn begin(address: &str) -> anyhow::Result<Self> {
        let store = Arc::new(Watched::default());
        let inside = Inside::start(1, store.clone(), Timing::quick()).await?;
        inside.dial(&address.parse()?).await?;
        Ok(Self { inside, store })
    }

    async fn publish(&self, number: u64) -> anyhow::Result<u64> {
        let signed = record_in(HONEST_MONTH, 1_000_000 + number, number, 3);
        self.inside.publish(&*self.store, signed).await?;
        Ok(1)
    }
}

/// How many of the honest records the node holds, after a last wait for exchange.
async fn arrived(grower: &Grower, published: u64) -> anyhow::Result<u64> {
    let until = Instant::now() + Duration::from_mins(1);
    loop {
        let Reply::ShortIds(text) = grower.ask(Request::ShortIds { month: HONEST_MONTH }).await? else {
            anyhow::bail!("another answer")
        };
        let held = (0..published).filter(|number| {
            let id = record_in(HONEST_MONTH, 1_000_000 + number, *number, 3).id;
            text.contains(&hex(&id.0[..8]))
        });
        let held = held.count() as u64;
        if held == published || Instant::now() > until {
            return Ok(held);
        }
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
}

/// Everybody who does harm.
struct Attack {
    _liars: Vec<Inside>,
    tasks: Vec<tokio::task::JoinHandle<()>>,
    shut_out: Arc<std::sync::atomic::AtomicU64>,
}

impl Attack {
    async fn begin(address: &str) -> anyhow::Result<Self> {
        let never = Inside::start(11, Arc::new(NeverTheSame::new(1)), Timing::quick()).await?;
        let slow = Inside::start(12, Arc::new(Slow::new(Duration::from_secs(15))), Timing::quick()).await?;
        let hoarder = Arc::new(Watched::default());
        let flooding = Inside::start(13, hoarder.clone(), Timing::quick()).await?;
        fill(&*hoarder)?;
        for liar in [&never, &slow, &flooding] {
            liar.dial(&address.parse()?).await?;
        }
        let shut_out = Arc::new(std::sync::atomic::AtomicU64::new(0));
        let garbage = tokio::spawn(send_garbage(address.to_owned(), Arc::clone(&shut_out)));
        let flood = tokio::spawn(flood(address.to_owned()));
        Ok(Self { _liars: vec![never, slow, flooding], tasks: vec![garbage, flood], shut_out })
    }

    async fn end(self) -> anyhow::Result<u64> {
        for task in self.tasks {
            task.abort();
            task.await
                .err()
                .filter(tokio::task::JoinError::is_cancelled)
                .context("an attacker ended by itself")?;
        }
        Ok(self.shut_out.load(std::sync::atomic::Ordering::Relaxed))
    }
}

/// Far more records than the quota has room for would be no test of honest traffic: half of it.
fn fill(store: &dyn propagule_network::store::Records) -> anyhow::Result<()> {
    for number in 0..QUOTA_MB * 1_000 {
        let signed = record_of(2_000_000 + number % 300, number, 3);
        store
            .append(&[propagule_network::store::Arrival::Accepted { signed: Box::new(signed), own: None }])?;
    }
    Ok(())
}

/// Sends bytes that mean nothing until it is shut out, and comes back under another name.
async fn send_garbage(address: String, shut_out: Arc<std::sync::atomic::AtomicU64>) {
    let mut dice = SeededDice(3);
    loop {
        if let Ok(mut hostile) = Hostile::connect(&address, network()).await {
            for _ in 0..20 {
                let bytes: Vec<u8> = (0..300).map(|_| dice.below(256) as u8).collect();
                let _ = hostile.gossip(bytes);
                let _ = tokio::time::timeout(Duration::from_millis(50), hostile.keep_going()).await;
            }
            shut_out.fetch_add(1, std::sync::atomic::Ordering::Relaxed);
        }
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
}

/// Gossips valid records of ever new authors as fast as it can.
async fn flood(address: String) {
    let mut number = 0;
    loop {
        if let Ok(mut hostile) = Hostile::connect(&address, network()).await {
            for _ in 0..3_000 {
                number += 1;
                if hostile.gossip(record_of(3_000_000 + number % 1_000, number, 3).bytes).is_err() {
                    let _ = tokio::time::timeout(Duration::from_millis(50), hostile.keep_going()).await;
                }
                if number.is_multiple_of(20) {
                    let _ = tokio::time::timeout(Duration::from_millis(10), hostile.keep_going()).await;
                }
            }
        }
        tokio::time::sleep(Duration::from_millis(500)).await;
    }
}
