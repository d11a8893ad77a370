//! How many growers spies find who watch for years how records leave: the node's own machine, hour by hour.
//!
//! `cargo run --release -p propagule-tests --bin spy -- --years 1 --nodes 1000 --authors 300 --seed 1`
#![expect(clippy::print_stdout, reason = "the figures are printed")]

use anyhow::ensure;
use propagule_tests::argument;
use propagule_tests::simulation::{Spying, WatchedYears};

/// Share of spies, and the share of growers that may be found after one year, with spies that swallow what they are
/// handed, and after three years.
const BARS: [(f64, f64, f64, f64); 2] = [(0.1, 0.15, 0.20, 0.20), (0.2, 0.25, 0.36, 0.33)];
/// Hours from publishing until half of all records are public, and until 95 of 100 are, not counting those on which
/// their author's home is off.
const HOURS: (u64, u64) = (36, 84);

fn main() -> anyhow::Result<()> {
    let (nodes, authors) = (argument("--nodes", 1_000)? as usize, argument("--authors", 300)? as usize);
    let (years, seed) = (argument("--years", 1)?, argument("--seed", 1)?);
    for (spies, one_year, swallowing, three_years) in BARS {
        let watch = Spying { nodes, authors, spies, years, is_swallowed: false, by_stem: true, seed };
        let kept = WatchedYears::new(watch).run();
        let swallowed = WatchedYears::new(Spying { is_swallowed: true, ..watch }).run();
        let direct = WatchedYears::new(Spying { by_stem: false, ..watch }).run();
        let bar = if years > 1 { three_years } else { one_year };
        let (half, most) = (percentile(&kept.hours_there, 50), percentile(&kept.hours_there, 95));
        let late = percentile(&kept.hours, 95);
        println!(
            "spy: {nodes} homes of which {:.0} % spy, {authors} growers, {years} years, seed {seed}: found {:.3} (bar \
             {bar}), {:.3} where spies swallow records (bar {swallowing}), {:.3} by gossip at once; public after {half} h \
             of its author's home being on, 95 % after {most} h (bars {} and {}), or {late} h by the clock; {} never",
            spies * 100.0,
            kept.found,
            swallowed.found,
            direct.found,
            HOURS.0,
            HOURS.1,
            kept.hidden,
        );
        ensure!(kept.found <= bar, "short of the bar");
        ensure!(years > 1 || swallowed.found <= swallowing, "short of the bar where spies swallow records");
        ensure!(half <= HOURS.0 && most <= HOURS.1, "records take too long");
    }
    Ok(())
}

fn percentile(hours: &[u64], percent: usize) -> u64 {
    hours.get(hours.len() * percent / 100).copied().unwrap_or(u64::MAX)
}
