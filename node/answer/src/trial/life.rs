//! The whole life of pieces that still waited at the first stage, as the last look for the outcome found them.
//!
//! Survivors were selected, so nothing compares their shares.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::dates::When;
use propagule_bench::{Arm, Row, Season, Stage, Trial};

/// Propagules with the outcome at any time, of all that were started.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct WholeLife {
    /// Ever with it.
    pub ever_rooted: u32,
    /// Started.
    pub of: u32,
}

/// What became of the propagules of a treatment that still waited at the first stage.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct LifeRow {
    /// Label of the treatment.
    pub arm: String,
    /// Still waiting at the first stage.
    pub green: u32,
    /// Of those, with the outcome since.
    pub rooted_since: u32,
    /// Of those, waiting still.
    pub still_waiting: u32,
    /// Of those, dead without it.
    pub died: u32,
    /// Of those, lost, left or not known.
    pub others: u32,
    /// Of all that were started.
    pub whole_life: WholeLife,
}

/// The outcome in the end of a trial.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Life {
    /// The day of the first stage.
    pub green_at: When,
    /// The day of the last look for the outcome after it.
    pub on: When,
    /// Still waiting at the first stage.
    pub green: u32,
    /// Of those, with the outcome since.
    pub rooted_since: u32,
    /// Of those, waiting still.
    pub still_waiting: u32,
    /// Of those, dead without it.
    pub died: u32,
    /// Of those, lost, left or not known.
    pub others: u32,
    /// Of all that were started.
    pub whole_life: WholeLife,
    /// Each treatment.
    pub arms: Vec<LifeRow>,
}

/// The outcome in the end; none until the outcome was looked for after the first stage.
pub(super) fn of(season: &Season<'_>, trial: &Trial) -> Option<Life> {
    let lifted = trial.arms.iter().filter_map(|arm| season.at_stage(arm.number, Stage::Lift));
    let green_at = lifted.map(|found| found.on).max_by_key(When::middle)?;
    let looks = season.units.iter().flat_map(|unit| &unit.points);
    let later = looks.filter_map(|point| point.standing.roots_looked);
    let on = later.filter(|day| day.middle() > green_at.middle()).max_by_key(When::middle)?;
    let arms: Vec<LifeRow> = trial.arms.iter().filter_map(|arm| of_arm(season, arm, on)).collect();
    if arms.is_empty() {
        return None;
    }
    let sum = |what: fn(&LifeRow) -> u32| arms.iter().map(what).sum();
    Some(Life {
        green_at,
        on,
        green: sum(|arm| arm.green),
        rooted_since: sum(|arm| arm.rooted_since),
        still_waiting: sum(|arm| arm.still_waiting),
        died: sum(|arm| arm.died),
        others: sum(|arm| arm.others),
        whole_life: WholeLife {
            ever_rooted: sum(|arm| arm.whole_life.ever_rooted),
            of: sum(|arm| arm.whole_life.of),
        },
        arms,
    })
}

fn of_arm(season: &Season<'_>, arm: &Arm, on: When) -> Option<LifeRow> {
    let first = season.at_stage(arm.number, Stage::Lift)?;
    let (then, now) = (first.row, season.arm_on(arm.number, on.middle()));
    let without = |row: &Row| row.dead - row.dead_rooted;
    let green = then.waiting;
    let ever_rooted = now.ever_rooted()?;
    let rooted_since = ever_rooted.saturating_sub(then.ever_rooted()?).min(green);
    let still_waiting = now.waiting.min(green - rooted_since);
    let died = without(&now).saturating_sub(without(&then)).min(green - rooted_since - still_waiting);
    Some(LifeRow {
        arm: arm.label.clone(),
        green,
        rooted_since,
        still_waiting,
        died,
        others: green - rooted_since - still_waiting - died,
        whole_life: WholeLife { ever_rooted, of: now.started },
    })
}
