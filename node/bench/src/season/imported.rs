//! Counts that came with a table: of whole arms, as they stood at each stage.

use crate::dates::When;
use crate::entry::{Law, Tally};
use crate::fates::{Rest, Standing, Taken};
use crate::trial::{Counts, Stage, Trial};

/// Counts of an arm at a stage.
pub(super) struct Imported {
    pub(super) arm: u8,
    pub(super) stage: Stage,
    pub(super) on: When,
    counts: Counts,
}

/// All of them, in the order of their days.
pub(super) fn points(trial: &Trial) -> Vec<Imported> {
    let mut all = Vec::new();
    for arm in trial.arms.iter().filter(|arm| arm.replicates.is_empty()) {
        for stage in Stage::ALL {
            if let (Some(counts), Some(on)) = (arm.counts(stage), trial.date(stage)) {
                all.push(Imported { arm: arm.number, stage, on, counts: *counts });
            }
        }
    }
    all.sort_by_key(|counts| (counts.on.middle(), counts.stage));
    all
}

impl Imported {
    /// How the arm stood after them: a table counts all dead and lost so far, the bench those since the last count.
    pub(super) fn onto(&self, before: &Standing) -> Option<(Standing, Tally)> {
        let counts = &self.counts;
        let newly_left = counts.left_as_finished.unwrap_or(0).saturating_sub(before.fates.finished.all());
        let before = before.left(newly_left, true).ok()?;
        let since = |count: Option<u16>, earlier: u16| count.map(|count| count.saturating_sub(earlier));
        let tally = Tally {
            arm: self.arm,
            alive: counts.alive,
            dead: since(counts.dead, before.fates.dead.all()),
            lost: since(counts.lost, before.fates.lost.all()),
            callused: counts.callused,
            rooted: counts.rooted,
            established: counts.established,
            finished: since(counts.finished, counts.left_as_finished.unwrap_or(0)),
            ..Tally::default()
        };
        let taken =
            Taken { on: self.on, stage: Some(self.stage), rest: Some(Rest::NotKnown), law: Law::First };
        before.after(&tally, taken).ok()
    }
}
