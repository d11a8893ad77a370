//! Trials opened on the network and what became of them.
//!
//! A record without counts opens a trial. When its signed month, the weeks planned to the stage and three months more
//! have passed without a count at that stage, the trial is silent.

use propagule_protocol::{Month, Summary};

use super::HeldTrial;
use crate::row::{Silence, Stage};

/// Months of grace behind the planned day.
pub const GRACE_MONTHS: i32 = 3;
/// Weeks to a stage where the opening does not say: what the slowest ordinary kinds take.
const WEEKS_UNSAID: [(Stage, u16); 4] =
    [(Stage::Lift, 26), (Stage::Season, 39), (Stage::Spring, 52), (Stage::Final, 104)];
/// Days of a mean month.
const DAYS_A_MONTH: f64 = 30.44;

/// What became of one opened trial.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fate {
    Reported,
    Pending,
    Silent,
}

impl Silence {
    /// Counts one opened trial.
    pub(super) fn add(&mut self, fate: Fate) {
        self.opened += 1;
        match fate {
            Fate::Reported => self.reported += 1,
            Fate::Pending => self.pending += 1,
            Fate::Silent => self.silent += 1,
        }
    }

    /// Counts opened trials that were taken back.
    pub fn add_withdrawn(&mut self, trials: usize) {
        self.opened += trials;
        self.withdrawn += trials;
    }
}

/// What became of `trial` at `stage`; `None` where it was never opened. Without a month nothing is overdue.
pub(super) fn fate(
    trial: &HeldTrial<'_>,
    stage: Stage,
    is_counted: bool,
    now: Option<Month>,
) -> Option<Fate> {
    let opened = trial.opened?;
    if is_counted {
        return Some(Fate::Reported);
    }
    let is_over = now.is_some_and(|now| now > opened.plus(months_to(trial.summary, stage) + GRACE_MONTHS));
    Some(if is_over { Fate::Silent } else { Fate::Pending })
}

/// Whole months from starting to the stage as planned, rounded up.
fn months_to(summary: &Summary, stage: Stage) -> i32 {
    let arms = || summary.arms.iter().filter_map(|arm| arm.weeks_to_lift).max();
    let said = match stage {
        Stage::Lift => summary.weeks.lift.max(arms()),
        Stage::Season => summary.weeks.season,
        Stage::Spring => summary.weeks.spring,
        Stage::Final => summary.weeks.last,
    };
    let unsaid = || WEEKS_UNSAID.into_iter().find(|(of, _)| *of == stage).map_or(0, |(_, weeks)| weeks);
    (f64::from(said.unwrap_or_else(unsaid)) * 7.0 / DAYS_A_MONTH).ceil() as i32
}
