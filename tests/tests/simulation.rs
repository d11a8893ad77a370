//! A short run of the simulator, twice: honest nodes end with equal sets, and a seed gives the same run again.

use anyhow::ensure;
use propagule_tests::simulation::{Settings, Spying, WatchedYears, World};

#[test]
fn honest_nodes_agree_in_a_troubled_network_and_a_seed_reproduces() -> anyhow::Result<()> {
    let settings = Settings::troubled(60, 20, 7);
    let figures = World::new(settings).run();
    ensure!(figures.records > 40 && figures.met > 1_000, "{figures:#?}");
    ensure!(figures.incomplete == 0 && figures.unequal == 0 && figures.over_budget == 0, "{figures:#?}");
    ensure!(figures.blocked_honest == 0, "whoever keeps the rules is blocked by nobody: {figures:#?}");
    ensure!(figures.blocked > 0 && figures.by_stem > 0 && figures.by_exchange > 0, "{figures:#?}");
    ensure!(World::new(settings).run() == figures, "the same seed gave another run");
    ensure!(World::new(Settings { seed: 8, ..settings }).run() != figures, "another seed gave the same run");
    Ok(())
}

/// A year among 150 homes of which a tenth spies. The share that guards leave to be found is about the share of spies.
#[test]
fn spies_find_few_growers_in_a_year_and_records_become_public() -> anyhow::Result<()> {
    let watch =
        Spying { nodes: 150, authors: 60, spies: 0.1, years: 1, is_swallowed: false, by_stem: true, seed: 3 };
    let stemmed = WatchedYears::new(watch).run();
    let direct = WatchedYears::new(Spying { by_stem: false, ..watch }).run();
    ensure!(stemmed.found <= 0.2 && direct.found > 0.5, "{} and {}", stemmed.found, direct.found);
    ensure!(stemmed.hidden * 100 <= stemmed.hours.len(), "{} never became public", stemmed.hidden);
    let late = stemmed.hours_there[stemmed.hours_there.len() * 95 / 100];
    ensure!(late <= 84, "one in twenty takes more than {late} hours");
    Ok(())
}
