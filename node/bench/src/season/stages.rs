//! Counts of each arm at the stages: its pieces on the stage's day, once every unit was counted.

use super::{IMPORTED, Point, Season, Unit};
use crate::dates::When;
use crate::fates::Row;
use crate::trial::{Arm, Counts, Stage, Trial};

/// An arm at a stage: its pieces at the end of the last day on which it was counted there.
#[derive(Clone, Debug, PartialEq)]
pub struct StageRow {
    /// That day.
    pub on: When,
    /// All its pieces.
    pub row: Row,
    /// Each of its units, in the order of the trial.
    pub units: Vec<Row>,
    /// Units that still have pieces and were not counted at the stage.
    pub pending: Vec<String>,
    /// Units that were counted, but on which nobody looked for roots.
    pub unlooked: Vec<String>,
}

impl StageRow {
    /// The lead outcome: finished plants at the end, before that pieces with roots; `None` while not all is known.
    pub fn lead(&self, stage: Stage) -> Option<u32> {
        self.leads(stage).map(|leads| leads.iter().sum())
    }

    /// The lead outcome of each unit.
    pub fn leads(&self, stage: Stage) -> Option<Vec<u32>> {
        let is_open = !self.pending.is_empty() || (stage != Stage::Final && !self.unlooked.is_empty());
        if is_open {
            return None;
        }
        self.units.iter().map(|unit| lead(unit, stage)).collect()
    }
}

/// The lead outcome of some units: finished plants at the end, before that pieces with roots.
fn lead(row: &Row, stage: Stage) -> Option<u32> {
    match stage {
        Stage::Final => {
            let kept = row.finished.or((row.left_to_count() == 0).then_some(0));
            kept.map(|kept| kept + row.left_finished)
        }
        Stage::Lift | Stage::Season | Stage::Spring => row.succeeded(),
    }
}

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

    /// An arm at a stage; `None` where no unit of it was counted there.
    pub fn at_stage(&self, arm: u8, stage: Stage) -> Option<StageRow> {
        let at_it = |point: &&Point| point.stage == Some(stage);
        let counted = |unit: &Unit| unit.points.iter().any(|point| at_it(&point));
        // Roots that were seen at an earlier stage say nothing of this one.
        let looked = |unit: &Unit| unit.points.iter().filter(at_it).any(|point| point.tally.rooted.is_some());
        let days = self.of_arm(arm).flat_map(|unit| &unit.points).filter(|point| point.stage == Some(stage));
        let on = days.map(|point| point.on).max_by_key(When::middle)?;
        let open = |of: &dyn Fn(&Unit) -> bool| -> Vec<String> {
            let has_pieces = |unit: &&Unit| unit.standing_on(on.middle()).base() > 0;
            let units = self.of_arm(arm).filter(has_pieces).filter(|unit| of(unit));
            units.map(|unit| unit.label(self.trial).to_owned()).collect()
        };
        let pending = open(&|unit| !counted(unit));
        let unlooked = open(&|unit| counted(unit) && !looked(unit));
        let units: Vec<Row> = self.of_arm(arm).map(|unit| unit.row_on(on.middle())).collect();
        Some(StageRow { on, row: units.iter().copied().sum(), units, pending, unlooked })
    }

    fn fill(&self, arm: &mut Arm) {
        for stage in Stage::ALL {
            let typed = |unit: &Unit| {
                unit.points.iter().any(|point| point.stage == Some(stage) && point.entry != IMPORTED)
            };
            if !self.of_arm(arm.number).any(typed) {
                continue;
            }
            let Some(found) = self.at_stage(arm.number, stage).filter(|found| found.pending.is_empty())
            else {
                continue;
            };
            *arm.counts_mut(stage) = Some(self.counts(arm.number, stage, &found));
            let leads = found.leads(stage).filter(|leads| !leads.is_empty());
            let leads = leads.map(|leads| leads.into_iter().map(|n| n as u16).collect());
            arm.replicate_counts.insert(stage, leads);
            arm.replicate_lost.insert(stage, found.units.iter().map(|unit| unit.lost as u16).collect());
        }
    }

    /// The arm's counts, each where it is known of all its pieces.
    fn counts(&self, arm: u8, stage: Stage, found: &StageRow) -> Counts {
        let row = &found.row;
        let all_known = row.not_known == 0 && row.left_below == 0;
        let latest = |what: &dyn Fn(&Point) -> Option<u16>| -> Option<u16> {
            self.of_arm(arm).map(|unit| latest(unit, stage, what)).sum()
        };
        let count = |n: u32| n as u16;
        let is_looked = found.unlooked.is_empty();
        Counts {
            alive: all_known.then(|| count(row.alive())),
            callused: latest(&|point| point.tally.callused),
            rooted: row.rooted().filter(|_| is_looked).map(count),
            established: latest(&|point| point.tally.established),
            finished: (stage == Stage::Final).then(|| found.lead(stage)).flatten().map(count),
            dead: all_known.then(|| count(row.dead)),
            lost: Some(count(row.lost)),
            left_as_finished: (row.left_finished > 0).then(|| count(row.left_finished)),
            ever_rooted: row
                .ever_rooted()
                .filter(|_| is_looked)
                .filter(|ever| *ever != row.rooted_alive + row.left_finished)
                .map(count),
        }
    }
}

/// The latest count of something at a stage; zero where there was nothing left to count.
fn latest(unit: &Unit, stage: Stage, what: &dyn Fn(&Point) -> Option<u16>) -> Option<u16> {
    let mut points = unit.points.iter().rev().filter(|point| point.stage == Some(stage)).peekable();
    if points.peek().is_none() && unit.standing().base() == 0 {
        return Some(0);
    }
    points.find_map(what)
}
