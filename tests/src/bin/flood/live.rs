//! Real nodes on loopback, and one that holds a flood.

use std::collections::BTreeSet;
use std::sync::Arc;
use std::time::{Duration, Instant};

use anyhow::ensure;
use propagule_network::admission::AuthorRange;
use propagule_network::intake::Way;
use propagule_network::limits::NEW_SHARE;
use propagule_network::store::{Arrival, Memory, Records};
use propagule_network::sync::LocalSet;
use propagule_network::timing::Timing;
use propagule_protocol::{AuthorKey, RecordId, Signed};
use propagule_tests::inside::Inside;
use propagule_tests::invented::record_of;

/// Growers that every node knows, and records of each.
const KNOWN: (u64, u64) = (30, 5);
/// New records of theirs during the flood.
const NEWS: u64 = 50;
/// The longest that these may take to be everywhere.
const BAR: Duration = Duration::from_mins(1);
/// The longest that the flood may take.
const PATIENCE: Duration = Duration::from_mins(5);
/// Where the numbers of flooding keys begin.
const FLOOD: u64 = 1_000_000;

struct Node {
    inside: Inside,
    store: Arc<Memory>,
}

/// Floods and looks.
pub(super) async fn run(many: usize, keys: usize, quota: u64) -> anyhow::Result<()> {
    // Waits as quick nodes do, but for the month after which a stranger is known.
    let timing = Timing { known_after: Timing::home().known_after, ..Timing::quick() };
    let old: Vec<Signed> =
        (0..KNOWN.0 * KNOWN.1).map(|number| record_of(number % KNOWN.0, number, 5)).collect();
    let mut nodes = Vec::new();
    for number in 0..many {
        nodes.push(begin(number as u64 + 1, &old, quota, timing).await?);
    }
    let flood = flooding(keys, timing).await?;
    for (place, node) in nodes.iter().enumerate() {
        node.inside.dial(&nodes[(place + 1) % many].inside.address).await?;
        node.inside.dial(&flood.inside.address).await?;
    }
    let begun = Instant::now();
    until(|| Ok(nodes.iter().all(|node| node.strangers() > 0)), PATIENCE).await?;
    let news: Vec<Signed> = (0..NEWS).map(|number| record_of(number % KNOWN.0, 10_000 + number, 7)).collect();
    for (number, signed) in news.iter().enumerate() {
        let node = &nodes[number % many];
        node.inside.gate.take(&*node.store, std::slice::from_ref(&signed.bytes), Way::Bundle)?;
    }
    let told = Instant::now();
    let has = |node: &Node, all: &[Signed]| -> anyhow::Result<bool> {
        for signed in all {
            if !node.store.knows(&signed.id)? {
                return Ok(false);
            }
        }
        Ok(true)
    };
    until(|| all(&nodes, |node| has(node, &news)), BAR).await?;
    let arrived = told.elapsed();
    // Of the flood every node has what lies in its range, and with every other one the same where their ranges meet.
    until(|| all(&nodes, |node| flood.lacks(node).map(|lacks| lacks == 0)), PATIENCE).await?;
    let took = begun.elapsed();
    until(|| Ok(unequal(&nodes)?.1 == 0), BAR).await?;
    let (meeting, _) = unequal(&nodes)?;
    let (mut kept, mut fullest, mut strangers) = (0, 0, Vec::new());
    for node in &nodes {
        kept += usize::from(has(node, &old)? && has(node, &news)?);
        fullest = fullest.max(node.store.disk().0);
        strangers.push(node.strangers());
    }
    println!(
        "flood: {keys} keys at {many} nodes of {} KiB in {:.0} s; {NEWS} new records of known growers were everywhere \
         after {:.1} s (bar {}); {kept} nodes hold all of the known growers; the fullest holds {} KiB; strangers' records \
         at a node {} to {}; {meeting} pairs of nodes meet, 0 of them hold different records there",
        quota >> 10,
        took.as_secs_f64(),
        arrived.as_secs_f64(),
        BAR.as_secs(),
        fullest >> 10,
        strangers.iter().min().unwrap_or(&0),
        strangers.iter().max().unwrap_or(&0),
    );
    ensure!(kept == many, "a node lost records of growers that it knows");
    ensure!(fullest <= quota, "a node holds more than its quota");
    ensure!(
        strangers.iter().all(|held| *held > 0),
        "a node kept no stranger at all (its share is {NEW_SHARE} %)"
    );
    Ok(())
}

impl Node {
    /// Records of strangers that it holds, once it has all of the known growers.
    fn strangers(&self) -> usize {
        (self.store.count() as usize).saturating_sub((KNOWN.0 * KNOWN.1 + NEWS) as usize)
    }

    /// What it holds of a range.
    fn held(&self, range: AuthorRange) -> anyhow::Result<BTreeSet<RecordId>> {
        let mut held = BTreeSet::new();
        for row in self.store.months() {
            held.extend(self.store.ids_in_month_within(row.month, range)?);
        }
        Ok(held)
    }

    fn range(&self) -> AuthorRange {
        self.inside.gate.admission().range()
    }

    /// How many records of its range another node lacks.
    fn lacks(&self, other: &Self) -> anyhow::Result<usize> {
        let range = other.range();
        Ok(self.held(range)?.difference(&other.held(range)?).count())
    }
}

fn all(nodes: &[Node], is_so: impl Fn(&Node) -> anyhow::Result<bool>) -> anyhow::Result<bool> {
    for node in nodes {
        if !is_so(node)? {
            return Ok(false);
        }
    }
    Ok(true)
}

/// Pairs of nodes whose ranges meet, and those among them that hold different records there.
fn unequal(nodes: &[Node]) -> anyhow::Result<(usize, usize)> {
    let (mut meeting, mut unequal) = (0, 0);
    for (place, node) in nodes.iter().enumerate() {
        for other in &nodes[..place] {
            let Some(common) = node.range().meet(other.range()) else { continue };
            meeting += 1;
            unequal += usize::from(node.held(common)? != other.held(common)?);
        }
    }
    Ok((meeting, unequal))
}

async fn begin(number: u64, old: &[Signed], quota: u64, timing: Timing) -> anyhow::Result<Node> {
    let store = Arc::new(Memory::new(quota));
    let inside = Inside::start(number, Arc::<Memory>::clone(&store), timing).await?;
    let authors: Vec<AuthorKey> = old.iter().map(|signed| signed.author).collect();
    inside.gate.admission().take_as_known(&authors)?;
    put(&store, old)?;
    Ok(Node { inside, store })
}

/// A node that holds a record of each of so many keys.
async fn flooding(keys: usize, timing: Timing) -> anyhow::Result<Node> {
    let store = Arc::new(Memory::new(u64::MAX));
    let all: Vec<Signed> = (0..keys as u64).map(|key| record_of(FLOOD + key, key, 24)).collect();
    put(&store, &all)?;
    Ok(Node { inside: Inside::start(0, Arc::<Memory>::clone(&store), timing).await?, store })
}

fn put(store: &Memory, records: &[Signed]) -> anyhow::Result<Vec<RecordId>> {
    let arrivals: Vec<Arrival> = records
        .iter()
        .map(|signed| Arrival::Accepted { signed: Box::new(signed.clone()), own: None })
        .collect();
    store.append(&arrivals)?;
    Ok(records.iter().map(|signed| signed.id).collect())
}

async fn until(is_so: impl Fn() -> anyhow::Result<bool>, longest: Duration) -> anyhow::Result<()> {
    let begun = Instant::now();
    let mut looks = tokio::time::interval(Duration::from_millis(500));
    while !is_so()? {
        ensure!(begun.elapsed() < longest, "it did not come to that within {} s", longest.as_secs());
        looks.tick().await;
    }
    Ok(())
}
