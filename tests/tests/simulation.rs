//! A short run of the simulator, twice: honest nodes end with equal sets, and a seed gives the same run again.

use anyhow::ensure;
use propagule_tests::simulation::{Settings, World};

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

#[test]
fn spies_guess_worse_when_records_go_by_stem() -> anyhow::Result<()> {
    let settings = Settings::spied_on(120, 300, 3);
    let stemmed = World::new(settings).run();
    let direct = World::new(Settings { by_stem: false, ..settings }).run();
    ensure!(stemmed.guesses > 200 && direct.guesses > 200, "{stemmed:?}");
    ensure!(stemmed.right_guesses * 2 < direct.right_guesses, "{stemmed:?}\n{direct:?}");
    Ok(())
}
