//! What one trial shows: counts of each arm at a stage, and what may be said of their differences.

use propagule_analysis::{Count, exact, overdispersion};

use super::compared::{Difference, difference};
use super::fates::Row;
use super::record::Bench;
use super::season::{Season, StageRow, Unit};
use super::trial::{Arm, Stage, Trial};
use crate::paper::dates::When;

/// p below which two arms are said to differ, after Holm's correction over all pairs of the trial.
pub const CLEAR: f64 = 0.05;
/// p of Pearson's statistic below which pots differ more than chance would have it.
const POTS_DIFFER: f64 = 0.1;

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

/// What may be said of two arms.
#[derive(Clone, Debug, PartialEq)]
pub enum Verdict {
    /// A single pot or none in one of them: a difference between pots would look the same.
    OnePotEach,
    /// Stock plant, operator or spot differ too.
    CannotSeparate,
    /// None, or all, of both.
    NothingToSee,
    /// Tested.
    Tested {
        /// Fisher's exact test, two-sided.
        p: f64,
        /// After Holm's correction over the pairs tested in the trial.
        holm: f64,
        /// Pots of one arm differ more than chance, so that the test says too much.
        pots_differ: bool,
    },
}

/// Two arms side by side.
#[derive(Clone, Debug, PartialEq)]
pub struct Comparison {
    /// The first arm.
    pub first: ArmResult,
    /// The second arm.
    pub second: ArmResult,
    /// All that differs between them.
    pub difference: Difference,
    /// What may be said.
    pub verdict: Verdict,
    /// Fisher's p as if every piece were independent; for the details only.
    pub as_if_independent: f64,
}

/// A trial at one stage.
#[derive(Clone, Debug, PartialEq)]
pub struct StageResult {
    /// The stage.
    pub stage: Stage,
    /// Arms that were counted.
    pub arms: Vec<ArmResult>,
    /// Every pair of them.
    pub comparisons: Vec<Comparison>,
}

/// The results of a trial at a stage; none where no arm was counted.
pub fn at_stage(bench: &Bench, season: &Season<'_>, trial: &Trial, stage: Stage) -> Option<StageResult> {
    let arms: Vec<(&Arm, ArmResult)> =
        trial.arms.iter().filter_map(|arm| Some((arm, arm_result(season, arm, stage)?))).collect();
    if arms.is_empty() {
        return None;
    }
    let mut comparisons = Vec::new();
    for (index, (first, one)) in arms.iter().enumerate() {
        for (second, other) in &arms[index + 1..] {
            let difference = difference(bench, season, trial, first, second);
            comparisons.push(comparison(one, other, difference));
        }
    }
    correct_by_holm(&mut comparisons);
    Some(StageResult { stage, arms: arms.into_iter().map(|(_, result)| result).collect(), comparisons })
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
        kept: season.of_arm(arm.number).filter_map(kept_after_leaving).sum(),
        replicates: scored.filter(|count| count.started > 0 && count.succeeded <= count.started).collect(),
        row,
    })
}

/// Living pieces of a unit that were kept when the last ones left; `None` where none left at grade.
pub fn kept_after_leaving(unit: &Unit) -> Option<u32> {
    let mut points = unit.points.iter().rev();
    let last = points.find(|point| point.stage.is_none() && point.standing.fates.finished.all() > 0)?;
    Some(u32::from(last.standing.fates.alive()))
}

fn comparison(first: &ArmResult, second: &ArmResult, difference: Difference) -> Comparison {
    let (a, b) = (first.count(), second.count());
    let p = exact::fisher_two_sided(a, b);
    let verdict = if difference.has_confound() {
        Verdict::CannotSeparate
    } else if difference.is_single {
        Verdict::OnePotEach
    } else if a.succeeded + b.succeeded == 0 || (a.succeeded == a.started && b.succeeded == b.started) {
        Verdict::NothingToSee
    } else {
        let pots_differ = [first, second].into_iter().any(pots_differ);
        Verdict::Tested { p, holm: p, pots_differ }
    };
    Comparison { first: first.clone(), second: second.clone(), difference, verdict, as_if_independent: p }
}

/// Whether Pearson's statistic over the pots of an arm is beyond chance.
fn pots_differ(arm: &ArmResult) -> bool {
    overdispersion::dispersion(&arm.replicates).is_some_and(|found| found.p < POTS_DIFFER)
}

/// Holm (1979): the k-th smallest of m p values times m − k + 1, never less than an earlier one.
fn correct_by_holm(comparisons: &mut [Comparison]) {
    let mut tested: Vec<(usize, f64)> = comparisons
        .iter()
        .enumerate()
        .filter_map(|(index, pair)| match pair.verdict {
            Verdict::Tested { p, .. } => Some((index, p)),
            _ => None,
        })
        .collect();
    tested.sort_by(|a, b| a.1.total_cmp(&b.1));
    let (count, mut floor) = (tested.len(), 0.0_f64);
    for (rank, (index, p)) in tested.into_iter().enumerate() {
        floor = floor.max((p * (count - rank) as f64).min(1.0));
        if let Verdict::Tested { holm, .. } = &mut comparisons[index].verdict {
            *holm = floor;
        }
    }
}

#[cfg(test)]
mod tests;
