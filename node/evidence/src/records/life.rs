//! What the counts of several stages tell together: when successes were first seen, and the whole life of the pieces.

use propagule_protocol::{Arm, Counts, Phase, Summary};

use super::{none_left, of_record, words_of};
use crate::row::Life;
use crate::row::{LaterPhase, Outcome, Question, Stage};

/// Weeks from starting to a count, where the record has them.
pub(super) fn weeks_to(summary: &Summary, arm: &Arm, stage: Stage) -> Option<u16> {
    match stage {
        Stage::Lift => arm.weeks_to_lift.or(summary.weeks.lift),
        Stage::Season => summary.weeks.season,
        Stage::Spring => summary.weeks.spring,
        Stage::Final => summary.weeks.last,
    }
}

/// Moves before the count. A move on the day of the count came after it; where the week of the count is not
/// known the move is taken to have come first, so that roots are never credited to the first place alone.
pub(super) fn phases_before(phases: &[Phase], weeks: Option<u16>, summary: &Summary) -> Vec<LaterPhase> {
    let later = |phase: &Phase| LaterPhase {
        after_weeks: phase.after_weeks,
        facets: words_of(&phase.facets, summary),
    };
    phases.iter().filter(|phase| began_before(phase, weeks)).map(later).collect()
}

fn began_before(phase: &Phase, weeks: Option<u16>) -> bool {
    weeks.is_none_or(|weeks| phase.after_weeks < weeks)
}

/// For each move before the count, the successes that were first seen after it and before the next one.
///
/// The denominator stays what was put in. Where some that had roots died later, the record does not say which; those
/// seen last are taken to be the ones alive.
pub(super) fn first_seen(summary: &Summary, arm: &Arm, question: Question, succeeded: u16) -> Vec<u32> {
    if question.outcome != Outcome::Rooted {
        return Vec::new();
    }
    let moves_at = |stage| {
        let weeks = weeks_to(summary, arm, stage);
        arm.phases.iter().filter(|phase| began_before(phase, weeks)).count()
    };
    let mut seen = vec![0_u16; moves_at(question.stage)];
    let mut before = 0;
    for stage in Stage::ALL.into_iter().filter(|stage| *stage <= question.stage) {
        let Some(ever) = arm.stages.ever_rooted(of_record(stage)) else { continue };
        let moves = moves_at(stage).min(seen.len());
        if moves > 0 {
            seen[moves - 1] += ever.saturating_sub(before);
        }
        before = before.max(ever);
    }
    let mut left = succeeded;
    for count in seen.iter_mut().rev() {
        *count = (*count).min(left);
        left -= *count;
    }
    seen.into_iter().map(u32::from).collect()
}

/// The whole life of an arm, as the last stage that tells of roots has it; none where no stage does.
pub(super) fn life(arm: &Arm) -> Option<Life> {
    let told = Stage::ALL.into_iter().filter_map(|stage| {
        let ever = arm.stages.ever_rooted(of_record(stage))?;
        Some((stage, ever, arm.stages.at(of_record(stage))?))
    });
    let last = told.reduce(|_, later| later);
    if arm.stages.counted().any(|(_, counts)| none_left(arm, counts)) {
        // Whatever had no roots when the last piece was gone never got any.
        let ever = last.map_or(0, |(_, ever, _)| ever);
        return Some(Life { ever_rooted: ever.into(), still_waiting: Some(0), is_resolved: true });
    }
    let (stage, ever, counts) = last?;
    let still_waiting = waiting(arm, counts);
    let is_resolved = stage > Stage::Lift || still_waiting == Some(0);
    Some(Life { ever_rooted: ever.into(), still_waiting, is_resolved })
}

/// Pieces alive without roots; none where the counts leave it open.
fn waiting(arm: &Arm, counts: &Counts) -> Option<u32> {
    let of = |count: Option<u16>| u32::from(count.unwrap_or(0));
    let rooted = u32::from(counts.rooted?);
    if let Some(alive) = counts.alive {
        return Some(u32::from(alive).saturating_sub(rooted));
    }
    let accounted = rooted + of(counts.left_as_finished) + of(counts.dead) + of(counts.lost);
    if counts.dead.is_some() || accounted >= u32::from(arm.started) {
        return Some(u32::from(arm.started).saturating_sub(accounted));
    }
    None
}
