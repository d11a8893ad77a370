//! A node killed at random points while entries are typed.

use std::time::Duration;

use anyhow::Context;
use propagule_app::outcome::Outcome;
use propagule_app::{BenchRequest, Common, Enter, Repeat, Reply, Request};
use propagule_bench::dates::When;

use super::Tally;
use crate::Grower;
use crate::dice::{Dice, SeededDice};

/// A kill comes within this time of the node's being ready.
const LONGEST_LIFE_MICROSECONDS: u64 = 60_000;

/// Enters looks, each under a name of its own, until the node is gone; returns the names that it acknowledged.
async fn look(grower: &Grower, next: &mut u64) -> Vec<String> {
    let mut acknowledged = Vec::new();
    loop {
        let once = format!("look-{next}");
        *next += 1;
        // Each is a look of its own, though all are of one day.
        let day = When::day("2026-06-20".parse().expect("a day"));
        let common = Common { once: Some(once.clone()), repeat: Some(Repeat::Again), ..Common::on(day) };
        let enter = Enter {
            trial: "L1".to_owned(),
            stage: None,
            counts: Vec::new(),
            rest: None,
            is_blind: false,
            common,
        };
        match grower.ask(Request::Bench(Box::new(BenchRequest::Enter(enter)))).await {
            Ok(Reply::Done(outcome)) if is_saved(&outcome) => acknowledged.push(once),
            _ => return acknowledged,
        }
    }
}

fn is_saved(outcome: &Outcome) -> bool {
    matches!(outcome, Outcome::Entry(entry) if entry.saved)
}

/// Kills a node `rounds` times and looks for the entries that it had acknowledged.
///
/// # Errors
/// When the node does not start again.
pub async fn bench_kills(rounds: u64, seed: u64) -> anyhow::Result<Tally> {
    let grower = Grower::new()?;
    grower.run(&["trial", "new", "L1", "Lumetta rosea", "--pieces", "10"])?;
    grower.run(&["stick", "L1", "--on", "2026-06-06"])?;
    let mut dice = SeededDice(seed);
    let (mut acknowledged, mut next) = (Vec::new(), 0);
    for round in 0..rounds {
        let mut node = grower.serve().with_context(|| format!("round {round}"))?;
        let life = Duration::from_micros(dice.below(LONGEST_LIFE_MICROSECONDS));
        let killer = tokio::task::spawn_blocking(move || {
            std::thread::sleep(life);
            node.kill()
        });
        acknowledged.extend(look(&grower, &mut next).await);
        killer.await??;
    }
    let history = grower.run(&["trial", "history", "L1", "--json"])?;
    let lost = acknowledged.iter().filter(|once| !history.contains(&format!("\"{once}\""))).count() as u64;
    Ok(Tally { accidents: rounds, acknowledged: acknowledged.len() as u64, lost, ..Tally::default() })
}
