//! Accidents to a home: kills, flipped bits, cuts, full disks, and what repairing fetches from peers.
//!
//! `cargo run --release -p propagule-tests --bin crash -- --kills 200 --flips 200 --seed 1`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use anyhow::ensure;
use propagule_tests::accidents::{Tally, bench_kills, cuts, flips, full_disk, kills, refetch};
use propagule_tests::argument;

#[tokio::main(flavor = "multi_thread", worker_threads = 2)]
async fn main() -> anyhow::Result<()> {
    let (rounds, bits) = (argument("--kills", 200)?, argument("--flips", 200)?);
    let seed = argument("--seed", 1)?;
    let mut tallies: Vec<(&str, Tally)> = Vec::new();
    let mut tell = |what, tally: Tally| {
        println!("{what}: {tally}");
        tallies.push((what, tally));
    };
    tell("cuts of the last frames", tokio::task::spawn_blocking(cuts).await??);
    tell("flipped bits", tokio::task::spawn_blocking(move || flips(bits, seed)).await??);
    tell("full disk", full_disk().await?);
    tell("kills while records come in", kills(rounds, seed).await?);
    tell("kills while entries are typed", bench_kills(rounds / 4, seed).await?);
    let (lost, missing) = tokio::task::spawn_blocking(refetch).await??;
    println!("repair: {lost} records lost, {missing} missing after a peer was met");
    let sum = |of: fn(&Tally) -> u64| tallies.iter().map(|(_, tally)| of(tally)).sum::<u64>();
    println!(
        "crash: {} accidents, {} acknowledged, {} gone and named, {} gone without a word (bar 0), {} unnoticed (bar 0), \
         {missing} of {lost} not fetched again (bar 0), seed {seed}",
        sum(|tally| tally.accidents),
        sum(|tally| tally.acknowledged),
        sum(|tally| tally.named),
        sum(|tally| tally.lost),
        sum(|tally| tally.unnoticed)
    );
    let is_good = tallies.iter().all(|(_, tally)| tally.is_good()) && missing == 0 && lost > 0;
    ensure!(is_good, "short of the bar");
    Ok(())
}
