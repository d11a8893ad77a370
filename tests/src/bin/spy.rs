//! How often spies guess who published: the first of them that gets a record takes its sender for the author.
//!
//! `cargo run --release -p propagule-tests --bin spy -- --nodes 500 --records 4000 --seed 1`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use anyhow::ensure;
use propagule_tests::argument;
use propagule_tests::simulation::{Settings, World};

/// Share of right guesses, with a tenth of the nodes spying.
const BAR: f64 = 0.15;

fn main() -> anyhow::Result<()> {
    let (nodes, records) = (argument("--nodes", 500)? as usize, argument("--records", 4_000)? as usize);
    let seed = argument("--seed", 1)?;
    let by_stem = Settings::spied_on(nodes, records, seed);
    let share = |settings: Settings| {
        let figures = World::new(settings).run();
        (figures.right_guesses as f64 / figures.guesses as f64, figures.hops as f64 / figures.records as f64)
    };
    let (direct, _) = share(Settings { by_stem: false, ..by_stem });
    let (stemmed, hops) = share(by_stem);
    println!(
        "spy: {nodes} nodes of which a tenth spy, {records} records, seed {seed}: guessed right {stemmed:.3} by stem of \
         {hops:.1} hops (bar {BAR}), {direct:.3} by gossip at once"
    );
    ensure!(stemmed <= BAR, "short of the bar");
    Ok(())
}
