//! Many nodes in one process with stores in memory: how much gossip alone delivers, how fast, and what one exchange
//! adds.
//!
//! `cargo run --release -p propagule-tests --bin swarm -- --nodes 60`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::sync::Arc;
use std::time::{Duration, Instant};

use anyhow::ensure;
use propagule_network::timing::Timing;
use propagule_protocol::RecordId;
use propagule_tests::argument;
use propagule_tests::inside::{Inside, own_memory_kb};
use propagule_tests::invented::record_of;
use propagule_tests::stores::Watched;

/// Records published, each by another node and author.
const RECORDS: usize = 100;
/// Peers that each node dials, as steps around the ring.
const STEPS: [usize; 5] = [1, 2, 7, 13, 29];
const BARS: (f64, f64, f64) = (0.99, 100.0, 4.0);
const PATIENCE: Duration = Duration::from_mins(2);

struct Member {
    inside: Inside,
    store: Arc<Watched>,
}

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() -> anyhow::Result<()> {
    let nodes = argument("--nodes", 60)? as usize;
    let first = member(0).await?;
    let alone = own_memory_kb()?;
    let mut members = vec![first];
    for number in 1..nodes {
        members.push(member(number as u64).await?);
    }
    connect(&members).await?;
    let published = publish(&members).await?;
    wait_for_quiet(&members).await;
    let delays = delays(&members, &published);
    let wanted = RECORDS * (nodes - 1);
    let by_gossip = delays.len() as f64 / wanted as f64;
    let each_mb = own_memory_kb()?.saturating_sub(alone) as f64 / 1_024.0 / (nodes - 1) as f64;
    let whole = exchange(&members).await?;
    let p99 = delays[(delays.len() * 99 / 100).min(delays.len() - 1)];
    let ends = ends(&members).await?;
    println!(
        "swarm: {nodes} nodes, {ends} connection ends, {RECORDS} records: {:.2} % by gossip (bar {} %), p50 {:.1} ms, p99 \
         {p99:.1} ms (bar {} ms), {:.1} % after one exchange (bar 100 %), {each_mb:.2} MB more a node (bar {} MB)",
        by_gossip * 100.0,
        BARS.0 * 100.0,
        delays[delays.len() / 2],
        BARS.1,
        whole * 100.0,
        BARS.2
    );
    ensure!(by_gossip >= BARS.0 && p99 < BARS.1 && whole >= 1.0 && each_mb <= BARS.2, "short of the bar");
    Ok(())
}

async fn member(number: u64) -> anyhow::Result<Member> {
    // No session but the first of each pair and those that are asked for, so that gossip is seen alone.
    let gap = Duration::from_hours(1);
    let timing = Timing { session_gap: gap, in_step_gap: gap, ..Timing::quick() };
    let store = Arc::new(Watched::default());
    let inside = Inside::start(number, store.clone(), timing).await?;
    Ok(Member { inside, store })
}

async fn connect(members: &[Member]) -> anyhow::Result<()> {
    for (i, member) in members.iter().enumerate() {
        for step in STEPS {
            let other = (i + step) % members.len();
            if other != i {
                member.inside.dial(&members[other].inside.address).await?;
            }
        }
    }
    let until = Instant::now() + PATIENCE;
    for member in members {
        while member.inside.status().await?.peers.len() < STEPS.len().min(members.len() - 1) {
            ensure!(Instant::now() < until, "the nodes did not meet in time");
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }
    // Some heartbeats, in which gossip's meshes form.
    tokio::time::sleep(Timing::quick().heartbeat * 15).await;
    Ok(())
}

async fn publish(members: &[Member]) -> anyhow::Result<Vec<(usize, RecordId, Instant)>> {
    let mut published = Vec::new();
    for number in 0..RECORDS {
        let by = (number * 7) % members.len();
        let signed = record_of(number as u64 + 1, number as u64, 3);
        let id = signed.id;
        let at = Instant::now();
        members[by].inside.publish(&*members[by].store, signed).await?;
        published.push((by, id, at));
        tokio::time::sleep(Duration::from_millis(60)).await;
    }
    Ok(published)
}

/// Waits until nothing has arrived anywhere for a while.
async fn wait_for_quiet(members: &[Member]) {
    let total = || members.iter().map(|member| member.store.count()).sum::<u64>();
    let mut before = 0;
    while total() != before {
        before = total();
        tokio::time::sleep(Duration::from_secs(2)).await;
    }
}

/// Milliseconds from publishing to each arrival elsewhere, rising.
fn delays(members: &[Member], published: &[(usize, RecordId, Instant)]) -> Vec<f64> {
    let mut delays = Vec::new();
    for (by, id, at) in published {
        let others = members.iter().enumerate().filter(|(i, _)| i != by);
        let arrivals = others.filter_map(|(_, member)| member.store.arrival(id));
        delays.extend(arrivals.map(|arrival| arrival.duration_since(*at).as_secs_f64() * 1_000.0));
    }
    delays.sort_by(f64::total_cmp);
    delays
}

/// One session of every node with every peer; returns the share of records that are where they belong.
async fn exchange(members: &[Member]) -> anyhow::Result<f64> {
    for member in members {
        member.inside.client.hurry().await?;
    }
    let wanted = (RECORDS * members.len()) as u64;
    let held = || members.iter().map(|member| member.store.count()).sum::<u64>();
    let until = Instant::now() + PATIENCE / 4;
    while held() < wanted && Instant::now() < until {
        tokio::time::sleep(Duration::from_millis(100)).await;
    }
    Ok(held() as f64 / wanted as f64)
}

async fn ends(members: &[Member]) -> anyhow::Result<usize> {
    let mut ends = 0;
    for member in members {
        ends += member.inside.status().await?.peers.len();
    }
    Ok(ends)
}
