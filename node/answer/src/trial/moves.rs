//! Outcomes that were first seen after a move: a part of the arm's own, with all that were put in as denominator.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::dates::When;
use propagule_bench::season::StageRow;
use propagule_bench::{Arm, Season};

/// What was first seen between a move and the next one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct MoveRow {
    /// Where to, in the grower's words.
    pub to: String,
    /// The day.
    pub on: When,
    /// Weeks after starting.
    pub week: i32,
    /// With the outcome for the first time after it.
    pub count: u32,
    /// Started.
    pub of: u32,
}

/// Each move before the day of a stage; none for a move before which the outcome was not looked for while it may
/// have been there.
pub(super) fn of(season: &Season<'_>, arm: &Arm, found: &StageRow) -> Vec<MoveRow> {
    let started = season.trial.started_of(arm).middle();
    let before: Vec<_> = arm.phases.iter().filter(|phase| phase.on.middle() < found.on.middle()).collect();
    let ever = |day: When| season.arm_on(arm.number, day.middle()).ever_rooted();
    let mut rows = Vec::new();
    for (at, phase) in before.iter().enumerate() {
        let until = before.get(at + 1).map_or(found.on, |next| next.on);
        let (Some(then), Some(later)) = (ever(phase.on), ever(until)) else { continue };
        rows.push(MoveRow {
            to: phase.spot.clone(),
            on: phase.on,
            week: phase.on.middle().weeks_since(started),
            count: later.saturating_sub(then),
            of: found.row.started,
        });
    }
    rows.retain(|row| row.count > 0);
    rows
}
