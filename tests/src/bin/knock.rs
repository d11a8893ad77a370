//! Whether peers that do nothing keep a newcomer out: silent ones and idle ones, from one place and from many; and
//! whether hostile addresses surround a node that dials by its book.
//!
//! `cargo run --release -p propagule-tests --bin knock -- --seconds 60`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::net::Ipv4Addr;
use std::sync::Arc;
use std::time::{Duration, Instant};

use anyhow::{Context, ensure};
use propagule_files::clock::Moment;
use propagule_network::spread::{Book, Origin, SeededDice};
use propagule_network::timing::Timing;
use propagule_tests::argument;
use propagule_tests::inside::Inside;
use propagule_tests::knocking::{Greeting, refill};
use propagule_tests::road::road;
use propagule_tests::stores::Watched;
use tokio::task::JoinSet;

/// A newcomer is to be heard within so long.
const BAR: Duration = Duration::from_secs(15);
/// Nodes, of those that are simulated, that may dial hostile addresses only.
const SURROUNDED_BAR: f64 = 0.01;
/// Between two attempts of one hostile peer.
const PAUSE: Duration = Duration::from_millis(500);
/// Groups of addresses where there are many.
const MANY: u8 = 46;

/// Who stands in the way.
struct Crowd {
    peers: usize,
    groups: u8,
    says: Greeting,
}

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() -> anyhow::Result<()> {
    let seconds = argument("--seconds", 60)?;
    let mut figures = Vec::new();
    let mut slowest = Duration::ZERO;
    for (peers, says) in [(46, Greeting::Nothing), (200, Greeting::Nothing), (200, Greeting::Network)] {
        for groups in [1, MANY] {
            let kind = if says == Greeting::Nothing { "silent" } else { "idle" };
            let crowd = format!("{peers} {kind} from {groups}");
            let took = newcomer_beside(&Crowd { peers, groups, says }, Duration::from_secs(seconds)).await;
            let took = took.with_context(|| format!("beside {crowd}"))?;
            figures.push(format!("{crowd}: {:.1} s", took.as_secs_f64()));
            slowest = slowest.max(took);
        }
    }
    let surrounded = surrounded(1_000, 30);
    println!(
        "knock: a newcomer was heard and stayed for {seconds} s beside {} (bar {} s); {:.1} % of 1,000 nodes that know 30 \
         honest and 400 hostile addresses dialled hostile ones only (bar {:.0} %)",
        figures.join(", "),
        BAR.as_secs(),
        surrounded * 100.0,
        SURROUNDED_BAR * 100.0,
    );
    ensure!(slowest <= BAR && surrounded <= SURROUNDED_BAR, "over the bar");
    Ok(())
}

/// How long it takes until a node has heard a newcomer, which must then stay.
async fn newcomer_beside(crowd: &Crowd, stays: Duration) -> anyhow::Result<Duration> {
    let node = Inside::start_counting(1, Arc::new(Watched::default()), Timing::home()).await?;
    let mut hostile = JoinSet::new();
    for number in 0..crowd.peers {
        let group = (number % usize::from(crowd.groups)) as u8;
        let from = road(&node.address, Ipv4Addr::new(127, 1, group, 1)).await?;
        hostile.spawn(refill(from, crowd.says, PAUSE));
    }
    // Long enough for all of them to have come.
    tokio::time::sleep(PAUSE * 4).await;
    let newcomer = Inside::start_counting(2, Arc::new(Watched::default()), Timing::home()).await?;
    let id = newcomer.status().await?.peer_id;
    let begun = Instant::now();
    newcomer.dial(&road(&node.address, Ipv4Addr::new(127, 2, 0, 1)).await?).await?;
    let is_here =
        |status: &propagule_network::net::NetStatus| status.peers.iter().any(|peer| peer.peer_id == id);
    node.until(is_here).await.context("the newcomer is heard")?;
    let took = begun.elapsed();
    let mut looks = tokio::time::interval(PAUSE);
    while begun.elapsed() < stays {
        looks.tick().await;
        ensure!(is_here(&node.status().await?), "the newcomer was pushed out after {:?}", begun.elapsed());
    }
    Ok(took)
}

/// The share of nodes that dial hostile addresses only: each is told 400 of them, from 20 groups, and some honest ones.
fn surrounded(nodes: u64, honest: u32) -> f64 {
    const HOSTILE: u32 = 400;
    let group_of = |address: &str| {
        let number: u32 = address.parse().ok()?;
        Some(u64::from(if number < HOSTILE { number % 20 } else { number }))
    };
    let is_surrounded = |seed: &u64| {
        let (mut book, mut dice) = (Book::grouped(group_of), SeededDice(*seed));
        for number in 0..HOSTILE + honest {
            // Hostile peers come first, and tell in turns of no more than the book takes from one.
            let teller = format!("teller {}", number / 100);
            book.add(number, &number.to_string(), Origin::Told(&teller));
        }
        let due = book.due(Moment(1_000_000), &Timing::home(), [], &mut dice);
        due.iter().all(|(peer, _)| *peer < HOSTILE)
    };
    (0..nodes).filter(is_surrounded).count() as f64 / nodes as f64
}
