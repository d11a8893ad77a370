//! A trial as it stands: its method, its counts, and what they show.

use crate::outcome::Outcome;
use crate::outcome::trial::{
    ArmMove, ArmStands, CareGiven, ClosedBy, Contradiction, CurveShown, FunnelStep, LeftSoFar, Scored,
    StageShown, TrialShown,
};
use crate::{App, Reply};
use propagule_answer::trial::{CurveRow, TrialAnswer};
use propagule_bench::curve::{curve, incidence};
use propagule_bench::{Arm, Bench, Season, Stage, Trial};
use propagule_files::fault::Fault;

/// One trial: description, counts, and what they show.
pub(crate) fn show(app: &App, code: &str, in_detail: bool) -> Result<Reply, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    Ok(Reply::done(Outcome::Trial(Box::new(TrialShown { in_detail, ..of(&bench, trial) }))))
}

/// The same, as it is read.
pub(super) fn of(bench: &Bench, trial: &Trial) -> TrialShown {
    let stands = bench.as_it_stands(trial);
    let season = bench.season(trial);
    let TrialAnswer { kind, stages, life, now, suckers, lineage, .. } =
        TrialAnswer::of(bench, &season, &stands);
    TrialShown {
        kind,
        in_detail: false,
        closed: season.closed().map(|(number, entry)| ClosedBy::new(number, entry)),
        stands: stands.arms.iter().map(|arm| arm_stands(bench, &season, &stands, arm)).collect(),
        now,
        stages: stages.into_iter().map(|stage| StageShown::of(stage, kind)).collect(),
        left_so_far: stands.arms.iter().filter_map(|arm| left_so_far(&season, arm)).collect(),
        life,
        suckers,
        lineage,
        scores: scores(&season),
        curve: stands.arms.iter().flat_map(|arm| curve_of(&season, arm)).collect(),
        funnel: stands.arms.iter().flat_map(|arm| funnel(&season, arm)).collect(),
        left_out: contradictions(&season),
        trial: stands,
    }
}

/// Where an arm stands, and how it got there.
fn arm_stands(bench: &Bench, season: &Season<'_>, trial: &Trial, arm: &Arm) -> ArmStands {
    let day = season.last_look().map_or(trial.started_on, |when| *when).middle();
    let spot = bench.spot_of(season, arm.number, day);
    let started = trial.started_of(arm).middle();
    let moves = arm.phases.iter().map(|phase| ArmMove {
        to: phase.spot.clone(),
        weeks: phase.on.middle().weeks_since(started),
        growing_place: phase.facets.get("growing_place").cloned(),
    });
    ArmStands {
        arm: arm.label.clone(),
        care: spot.as_deref().map(|spot| care(bench, spot)).unwrap_or_default(),
        spot,
        moves: moves.collect(),
    }
}

/// The care given on a spot.
pub(super) fn care(bench: &Bench, spot: &str) -> Vec<CareGiven> {
    let spans = bench.care_of(spot).into_iter();
    spans.map(|span| CareGiven { from: span.from, care: span.care }).collect()
}

/// Pieces that left before any final count.
fn left_so_far(season: &Season<'_>, arm: &Arm) -> Option<LeftSoFar> {
    let now = season.arm_now(arm.number);
    (arm.last.is_none() && now.left_finished > 0).then(|| LeftSoFar {
        arm: arm.label.clone(),
        started: now.started,
        left: now.left_finished,
        kept: now.alive(),
    })
}

/// Root counts, longest roots and grades as scored, place by place.
fn scores(season: &Season<'_>) -> Vec<Scored> {
    let points = season.units.iter().flat_map(|unit| unit.points.iter().map(move |point| (unit, point)));
    let scored = points.map(|(unit, point)| Scored {
        on: point.on,
        place: unit.label(season.trial).to_owned(),
        root_counts: point.tally.root_counts.clone(),
        longest_root: point.tally.longest_root,
        grades: point.tally.grades.clone(),
        grade_scale: point.tally.grade_scale.clone(),
    });
    let is_any = |scored: &Scored| {
        !scored.root_counts.is_empty()
            || scored.longest_root.is_some()
            || scored.grades.iter().any(|count| *count > 0)
    };
    scored.filter(is_any).collect()
}

fn curve_of(season: &Season<'_>, arm: &Arm) -> Vec<CurveShown> {
    let points = curve(season, arm).into_iter().zip(incidence(season, arm));
    let shown = points.map(|(point, estimate)| CurveShown {
        row: CurveRow { arm: arm.label.clone(), point },
        estimate: estimate.rooted,
    });
    shown.collect()
}

/// Put in, and the lead outcome of each stage, each with its denominator.
fn funnel(season: &Season<'_>, arm: &Arm) -> Vec<FunnelStep> {
    let of = u32::from(arm.started);
    let step = |stage, count| FunnelStep { arm: arm.label.clone(), stage, count, of };
    let counted = Stage::ALL.into_iter().filter_map(|stage| {
        let lead = season.at_stage(arm.number, stage)?.lead(stage)?;
        Some(step(Some(stage), lead))
    });
    std::iter::once(step(None, of)).chain(counted).collect()
}

fn contradictions(season: &Season<'_>) -> Vec<Contradiction> {
    let faults = season.faults.iter();
    faults.map(|(entry, fault)| Contradiction { entry: *entry, fault: fault.clone() }).collect()
}
