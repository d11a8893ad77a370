//! Whether a flood of fresh keys spoils a network: what homes keep, whether they still hear of growers that they know, and
//! whether they agree afterwards.
//!
//! `cargo run --release -p propagule-tests --bin flood -- --keys 30000 --quota-mb 5 --nodes 8`
//! `cargo run --release -p propagule-tests --bin flood -- --simulate 1 --nodes 40 --keys 30000`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

mod live;
mod model;

use anyhow::ensure;
use propagule_tests::argument;

use model::{Law, Play, play};

/// Records of one author and signed year that every home holds, by the law in force and by the one it was held against.
const OF_YEAR: usize = 250;
/// Strangers' records that come first, by the law it was held against.
const FIRST: usize = 64;

fn main() -> anyhow::Result<()> {
    let nodes = usize::try_from(argument("--nodes", 8)?)?;
    let keys = usize::try_from(argument("--keys", 30_000)?)?;
    if argument("--simulate", 0)? > 0 {
        return simulate(nodes, keys, argument("--seed", 1)?);
    }
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    runtime.block_on(live::run(nodes, keys, argument("--quota-mb", 5)? << 20))
}

/// Plays the rules alone, by both laws.
fn simulate(homes: usize, keys: usize, seed: u64) -> anyhow::Result<()> {
    let by =
        |law| play(Play { homes, keys, room: keys * 2 / 15, known: 200, heavy: 5, newcomers: 40, law, seed });
    let (came, other) = (by(Law::LowestOfYear(OF_YEAR)), by(Law::FirstOfStrangers(FIRST, OF_YEAR)));
    println!(
        "flood: {homes} homes, {keys} keys, room for {}: known growers kept {:.3}, growers of a hundred records {:.3}, a \
         newcomer at {:.1} homes ({} at least); {} of {} meeting pairs unequal, {} records listed again. With the first {FIRST} \
         of each stranger instead: {} unequal, {} listed again",
        keys * 2 / 15,
        came.known_kept,
        came.heavy_kept,
        came.newcomer.1,
        came.newcomer.0,
        came.unequal,
        came.meeting,
        came.listed_again,
        other.unequal,
        other.listed_again,
    );
    ensure!(came.known_kept >= 1.0 && came.unequal == 0 && came.listed_again == 0, "short of the bar");
    ensure!(came.fullest <= keys * 2 / 15, "a home is fuller than it may be");
    Ok(())
}
