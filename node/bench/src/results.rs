//! What one trial shows: counts of each arm at a stage, and what may be said of their differences.

use propagule_analysis::Count;
use propagule_analysis::verdict::{Family, Judged, PairVerdict, judge};

use super::design;
use super::fates::Row;
use super::record::Bench;
use super::season::{Point, Season, StageRow, Unit};
use super::trial::{Arm, Stage, Trial};
use crate::dates::When;

/// An arm at a stage.
#[derive(Clone, Debug, PartialEq)]
pub struct ArmResult {
    /// Number of the arm.
    pub arm: u8,
    /// Its label.
    pub label: String,
    /// The day from which its figures are read: the last one on which it was counted at the stage.
    pub on: When,
    /// All its pieces on that day.
    pub row: Row,
    /// Pieces put in.
    pub started: u32,
    /// The lead outcome: finished at the end, with roots before; those that left as finished by then are among them.
    pub succeeded: u32,
    /// Unscored, counted as failures in the headline.
    pub lost: u32,
    /// Living without the outcome, where all is known.
    pub waiting: Option<u32>,
    /// Left as finished, within `succeeded`.
    pub left: u32,
    /// Living pieces that were kept when the last ones left.
    pub kept: u32,
    /// Lead outcome of each replicate, of its pieces that were not lost.
    pub replicates: Vec<Count>,
}

impl ArmResult {
    /// Of all that were put in.
    pub fn count(&self) -> Count {
        Count { succeeded: self.succeeded, started: self.started }
    }

    /// Without the lost ones.
    pub fn without_lost(&self) -> Count {
        Count { succeeded: self.succeeded, started: self.started - self.lost }
    }

    /// Whether leaving the lost ones out changes the rate by five points or more.
    pub fn lost_matters(&self) -> bool {
        self.started > self.lost && (rate(self.without_lost()) - rate(self.count())).abs() >= 0.05
    }
}

/// Share that succeeded; 0 of 0 is 0.
pub fn rate(count: Count) -> f64 {
    if count.started == 0 { 0.0 } else { f64::from(count.succeeded) / f64::from(count.started) }
}

/// A trial at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct StageResult {
    /// The stage.
    pub stage: Stage,
    /// Arms that were counted.
    pub arms: Vec<ArmResult>,
    /// What the trial asks.
    pub family: Family,
    /// What may be said of each pair that it asks about.
    pub verdicts: Vec<PairVerdict>,
    /// Whether the units were placed at random.
    pub is_randomised: bool,
}

impl StageResult {
    /// Lead outcome and pieces put in of some arms, by their places in the trial; `None` where one is not counted.
    pub fn count_of(&self, trial: &Trial, places: &[usize]) -> Option<Count> {
        places.iter().try_fold(Count { started: 0, succeeded: 0 }, |sum, place| {
            let number = trial.arms.get(*place)?.number;
            let arm = self.arms.iter().find(|arm| arm.arm == number)?;
            Some(Count { started: sum.started + arm.started, succeeded: sum.succeeded + arm.succeeded })
        })
    }
}

/// The results of a trial at a stage; none where no arm was counted.
pub fn at_stage(bench: &Bench, season: &Season<'_>, trial: &Trial, stage: Stage) -> Option<StageResult> {
    let arms: Vec<ArmResult> = trial.arms.iter().filter_map(|arm| arm_result(season, arm, stage)).collect();
    if arms.is_empty() {
        return None;
    }
    let Judged { family, pairs } = judge(&design::at_stage(bench, season, trial, stage));
    Some(StageResult { stage, arms, family, verdicts: pairs, is_randomised: trial.is_randomised })
}

fn arm_result(season: &Season<'_>, arm: &Arm, stage: Stage) -> Option<ArmResult> {
    let found = season.at_stage(arm.number, stage)?;
    let leads = found.leads(stage)?;
    let succeeded: u32 = leads.iter().sum();
    let StageRow { on, row, units, .. } = found;
    let scored =
        units.iter().zip(leads).map(|(unit, n)| Count { succeeded: n, started: unit.started - unit.lost });
    let all_known = row.not_known == 0 && row.left_below == 0;
    let here = succeeded - row.left_finished;
    Some(ArmResult {
        arm: arm.number,
        label: arm.label.clone(),
        on,
        started: row.started,
        succeeded,
        lost: row.lost,
        waiting: all_known.then(|| row.alive() - here.min(row.alive())),
        left: row.left_finished,
        kept: kept_after_leaving(season, arm.number),
        replicates: scored.filter(|count| count.started > 0 && count.succeeded <= count.started).collect(),
        row,
    })
}

/// Living pieces of an arm that were kept when the last ones left: of a unit that none left, all that lived then. None where
/// none left at grade.
pub fn kept_after_leaving(season: &Season<'_>, arm: u8) -> u32 {
    let units = || season.of_arm(arm);
    let Some(day) = units().filter_map(last_left).map(|point| point.on.middle()).max() else { return 0 };
    let kept = |unit: &Unit| match last_left(unit) {
        Some(point) => point.standing.fates.alive(),
        None => unit.standing_on(day).fates.alive(),
    };
    units().map(|unit| u32::from(kept(unit))).sum()
}

/// How a unit stood when the last of its pieces left at grade.
fn last_left(unit: &Unit) -> Option<&Point> {
    unit.points.iter().rev().find(|point| point.stage.is_none() && point.standing.fates.finished.all() > 0)
}

#[cfg(test)]
mod tests;
