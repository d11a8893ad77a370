//! A node killed at random points while it takes records in.

use std::time::Duration;

use anyhow::Context;

use super::{Tally, feed, held};
use crate::Grower;
use crate::dice::{Dice, SeededDice};

/// A kill comes within this time of the node's being ready.
const LONGEST_LIFE_MICROSECONDS: u64 = 60_000;

/// Kills a node `rounds` times and looks for what it had acknowledged.
///
/// # Errors
/// When the node does not start again.
pub async fn kills(rounds: u64, seed: u64) -> anyhow::Result<Tally> {
    let grower = Grower::new()?;
    let mut dice = SeededDice(seed);
    let (mut acknowledged, mut next) = (Vec::new(), 0);
    for round in 0..rounds {
        let mut node = grower.serve().with_context(|| format!("round {round}"))?;
        let life = Duration::from_micros(dice.below(LONGEST_LIFE_MICROSECONDS));
        let killer = tokio::task::spawn_blocking(move || {
            std::thread::sleep(life);
            node.kill()
        });
        acknowledged.extend(feed(&grower, &mut next).await);
        killer.await??;
    }
    let held = held(&grower)?;
    let lost = acknowledged.iter().filter(|id| !held.contains(id)).count() as u64;
    let is_sound = grower.json(&["store", "verify"])?["is_sound"] == true;
    Ok(Tally {
        accidents: rounds,
        acknowledged: acknowledged.len() as u64,
        lost,
        unnoticed: u64::from(!is_sound),
        named: 0,
    })
}
