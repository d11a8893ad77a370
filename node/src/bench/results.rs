//! What one trial shows: counts of each arm at a stage, and what may be said of their differences.

use propagule_analysis::{Count, exact, overdispersion};

use super::compared::{Difference, difference};
use super::record::Bench;
use super::season::Season;
use super::trial::{Arm, Stage, Trial};

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
    /// Pieces put in.
    pub started: u32,
    /// The lead outcome: finished at the end, rooted before.
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
    let counts = arm.counts(stage)?;
    let succeeded = match stage {
        Stage::Final => counts.finished,
        Stage::Lift | Stage::Spring => counts.rooted,
    }?;
    let replicates = arm.replicate_counts.get(&stage).cloned().flatten().unwrap_or_default();
    let scored = season.of_arm(arm.number).map(|unit| unit.started - unit.standing().lost);
    let replicates = scored
        .zip(replicates)
        .filter(|(scored, n)| *scored > 0 && n <= scored)
        .map(|(scored, n)| Count { succeeded: u32::from(n), started: u32::from(scored) })
        .collect();
    let left = u32::from(counts.left_as_finished.unwrap_or(0));
    let here = u32::from(succeeded) - left.min(u32::from(succeeded));
    Some(ArmResult {
        arm: arm.number,
        label: arm.label.clone(),
        started: u32::from(arm.started),
        succeeded: u32::from(succeeded),
        lost: u32::from(counts.lost.unwrap_or(0)),
        waiting: counts.alive.map(|alive| u32::from(alive).saturating_sub(here)),
        left,
        kept: season.of_arm(arm.number).filter_map(kept_after_leaving).sum(),
        replicates,
    })
}

fn kept_after_leaving(unit: &super::season::Unit) -> Option<u32> {
    let left = |standing: super::season::Standing| standing.left;
    let mut points = unit.points.iter().rev();
    let last = points.find(|point| point.stage.is_none() && left(point.standing) > 0)?;
    Some(u32::from(last.standing.alive))
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

/// What is known of an arm by the day of each count, checks as intervals: deaths and first roots fell between that
/// count and the one before.
#[derive(Clone, Debug, PartialEq)]
pub struct CurvePoint {
    /// Days after starting.
    pub days: i32,
    /// The day in words.
    pub on: String,
    /// Share of the pieces with roots by then, dead ones competing.
    pub rooted: f64,
    /// Share dead by then.
    pub dead: f64,
    /// Pieces still watched.
    pub watched: u32,
}

/// The curve of an arm, by the last day of each interval; lost pieces and those that left were watched until then.
pub fn curve(season: &Season<'_>, arm: &Arm) -> Vec<CurvePoint> {
    use propagule_analysis::survival::{Outcome, cumulative_incidence};
    let started = season.trial.started_of(arm).middle();
    let mut pieces: Vec<(f64, Outcome)> = Vec::new();
    let mut days: Vec<(i32, String)> = Vec::new();
    for unit in season.of_arm(arm.number) {
        let mut before = super::season::Standing::fresh(unit.started);
        for point in &unit.points {
            let day = point.on.middle().days_since(started);
            days.push((day, point.on.to_string()));
            let rooted = point.standing.rooted.unwrap_or(0).saturating_sub(before.rooted.unwrap_or(0));
            let events = [
                (rooted, Outcome::Rooted),
                (point.standing.dead.saturating_sub(before.dead), Outcome::Dead),
                (gone(point.standing).saturating_sub(gone(before)), Outcome::Watched),
            ];
            for (count, outcome) in events {
                pieces.extend(std::iter::repeat_n((f64::from(day), outcome), usize::from(count)));
            }
            before = point.standing;
        }
        let last = unit.points.last().map_or(0, |point| point.on.middle().days_since(started));
        let open = before.base().saturating_sub(before.rooted.unwrap_or(0));
        pieces.extend(std::iter::repeat_n((f64::from(last), Outcome::Watched), usize::from(open)));
    }
    days.sort();
    days.dedup();
    let steps = cumulative_incidence(&pieces);
    let at = |day: i32| steps.iter().rev().find(|step| step.time <= f64::from(day));
    days.into_iter()
        .map(|(day, on)| CurvePoint {
            days: day,
            on,
            rooted: at(day).map_or(0.0, |step| step.rooted),
            dead: at(day).map_or(0.0, |step| step.dead),
            watched: pieces.iter().filter(|(time, _)| *time > f64::from(day)).count() as u32,
        })
        .collect()
}

fn gone(standing: super::season::Standing) -> u16 {
    standing.lost + standing.left + standing.left_below
}

#[cfg(test)]
mod tests;
