//! Counts of each arm at the three stages, as a record will carry them.

use super::{IMPORTED, Point, Season, Standing, Unit};
use crate::bench::trial::{Arm, Counts, Stage, Trial};

impl Season<'_> {
    /// The trial with the counts and days that its entries amount to.
    pub fn as_it_stands(&self) -> Trial {
        let mut trial = self.trial.clone();
        for stage in Stage::ALL {
            if let Some(day) = self.counted_on(stage) {
                *trial.date_mut(stage) = Some(*day);
            }
        }
        for arm in &mut trial.arms {
            self.fill(arm);
        }
        trial
    }

    fn fill(&self, arm: &mut Arm) {
        for stage in Stage::ALL {
            let typed = |unit: &Unit| {
                unit.points.iter().any(|point| point.stage == Some(stage) && point.entry != IMPORTED)
            };
            if !self.of_arm(arm.number).any(typed) {
                continue;
            }
            let counted: Vec<Counted<'_>> =
                self.of_arm(arm.number).map(|unit| Counted::of(unit, stage)).collect();
            if let Some(counts) = counts(stage, &counted) {
                arm.replicate_counts.insert(stage, replicate_counts(stage, &counted));
                *arm.counts_mut(stage) = Some(counts);
            }
        }
    }
}

/// A unit at a stage.
struct Counted<'a> {
    /// Its counts of that stage, the latest first.
    points: Vec<&'a Point>,
    /// How it stood after them, or before the stage where it was not counted at it.
    standing: Standing,
}

impl<'a> Counted<'a> {
    fn of(unit: &'a Unit, stage: Stage) -> Self {
        let points: Vec<&Point> =
            unit.points.iter().rev().filter(|point| point.stage == Some(stage)).collect();
        let standing = points.first().map_or_else(|| unit.standing(), |point| point.standing);
        Self { points, standing }
    }

    /// Whether there was nothing left to count.
    fn is_empty(&self) -> bool {
        self.points.is_empty() && self.standing.base() == 0
    }

    /// The latest count of something; zero where there was nothing left to count.
    fn latest(&self, what: impl Fn(&Point) -> Option<u16>) -> Option<u16> {
        if self.is_empty() { Some(0) } else { self.points.iter().find_map(|point| what(point)) }
    }
}

/// The arm's counts, once every unit that still had pieces has been counted.
fn counts(stage: Stage, units: &[Counted<'_>]) -> Option<Counts> {
    let is_whole = units.iter().all(|unit| unit.is_empty() || !unit.points.is_empty());
    if !is_whole || units.iter().all(|unit| unit.points.is_empty()) {
        return None;
    }
    let standings = || units.iter().map(|unit| unit.standing);
    let all_known = standings().all(|standing| standing.not_known == 0 && standing.left_below == 0);
    let left: u16 = standings().map(|standing| standing.left).sum();
    let sum = |what: &dyn Fn(&Point) -> Option<u16>| -> Option<u16> {
        units.iter().map(|unit| unit.latest(what)).sum()
    };
    let finished = sum(&|point| point.tally.finished).map(|kept| kept + left);
    Some(Counts {
        alive: all_known.then(|| standings().map(|standing| standing.alive).sum()),
        callused: sum(&|point| point.tally.callused),
        rooted: sum(&|point| point.tally.rooted),
        established: sum(&|point| point.tally.established),
        finished: finished.filter(|_| stage == Stage::Final),
        dead: all_known.then(|| standings().map(|standing| standing.dead).sum()),
        lost: Some(standings().map(|standing| standing.lost).sum()),
        left_as_finished: (stage == Stage::Final && left > 0).then_some(left),
    })
}

/// The stage's lead outcome by replicate: finished plants at the end, rooted before.
fn replicate_counts(stage: Stage, units: &[Counted<'_>]) -> Option<Vec<u16>> {
    let lead = |unit: &Counted<'_>| match stage {
        Stage::Final => unit.latest(|point| point.tally.finished).map(|kept| kept + unit.standing.left),
        _ => unit.latest(|point| point.tally.rooted),
    };
    if units.len() < 2 { None } else { units.iter().map(lead).collect() }
}
