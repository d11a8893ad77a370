//! One flipped bit anywhere in a home's journals or index.

use std::path::{Path, PathBuf};

use anyhow::ensure;

use super::{Tally, copy, filled, open, settle};
use crate::dice::{Dice, SeededDice};

/// Flips one bit in each of `rounds` copies of a home, and looks at what is noticed and what is left.
///
/// A flip in a journal must be noticed, whatever it hits. One in the index must be noticed or do no harm: what is
/// left of the set is then as before.
///
/// # Errors
/// When a home cannot be copied or opened.
pub fn flips(rounds: u64, seed: u64) -> anyhow::Result<Tally> {
    let (grower, all) = filled(200)?;
    let mut dice = SeededDice(seed);
    let mut tally = Tally { accidents: rounds, ..Tally::default() };
    for round in 0..rounds {
        let home = copy(&grower.home())?;
        let files = targets(home.path(), round)?;
        let file = &files[dice.below(files.len() as u64) as usize];
        flip(file, &mut dice)?;
        let is_journal = !file.starts_with(home.path().join("index"));
        let (store, report) = open(home.path())?;
        let found = store.verify()?;
        let is_noticed = !report.damage.is_empty() || !found.is_sound() || !found.losses.is_empty();
        tally.unnoticed += u64::from(is_journal && !is_noticed);
        // Repairing must make it sound, and what is still missing must stay named.
        store.repair()?;
        let repaired = store.verify()?;
        ensure!(repaired.is_sound(), "{}: {repaired:?}", file.display());
        settle(&mut tally, &all, &store, &found)?;
    }
    Ok(tally)
}

/// In turn the records journal with its end file, and the index.
fn targets(home: &Path, round: u64) -> anyhow::Result<Vec<PathBuf>> {
    let folder = if round % 4 == 3 { home.join("index").join("1") } else { home.join("records") };
    let mut files = Vec::new();
    for entry in std::fs::read_dir(&folder)? {
        let path = entry?.path();
        if path.is_file() && std::fs::metadata(&path)?.len() > 0 {
            files.push(path);
        }
    }
    files.sort_unstable();
    ensure!(!files.is_empty(), "{} holds files", folder.display());
    Ok(files)
}

fn flip(file: &Path, dice: &mut SeededDice) -> anyhow::Result<()> {
    let mut bytes = std::fs::read(file)?;
    let bit = dice.below(bytes.len() as u64 * 8);
    bytes[(bit / 8) as usize] ^= 1 << (bit % 8);
    std::fs::write(file, bytes)?;
    Ok(())
}
