//! A network of many nodes over months, in virtual time, with every trouble that is known.
//!
//! `cargo run --release -p propagule-tests --bin simulate -- --nodes 2000 --days 90 --seed 1`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use std::time::Instant;

use anyhow::ensure;
use mimalloc::MiMalloc;
use propagule_tests::argument;
use propagule_tests::simulation::{Settings, World};

#[global_allocator]
static ALLOCATOR: MiMalloc = MiMalloc;

/// Seconds for 2,000 nodes over 90 days.
const BAR_SECONDS: f64 = 60.0;

fn main() -> anyhow::Result<()> {
    let (nodes, days) = (argument("--nodes", 2_000)?, argument("--days", 90)?);
    let seed = argument("--seed", 1)?;
    let begun = Instant::now();
    let figures = World::new(Settings::troubled(nodes as usize, days, seed)).run();
    let seconds = begun.elapsed().as_secs_f64();
    println!("{figures:#?}");
    println!(
        "simulate: {nodes} nodes, {days} days, seed {seed}, digest {:016x}: {} records, {} honest nodes, {} without \
         all of them; {} sessions that met, {} of them unequal; {} over budget; {seconds:.1} s (bar {BAR_SECONDS} s for \
         2000 nodes and 90 days)",
        figures.digest,
        figures.records,
        figures.honest,
        figures.incomplete,
        figures.met,
        figures.unequal,
        figures.over_budget
    );
    ensure!(figures.incomplete == 0 && figures.unequal == 0 && figures.over_budget == 0, "short of the bar");
    let is_full = nodes <= 2_000 && days <= 90;
    ensure!(!is_full || seconds < BAR_SECONDS, "too slow");
    Ok(())
}
