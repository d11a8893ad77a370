//! What one trial shows, in figures: made once from its season, and read by every screen, page, report and JSON.

pub mod lead;
mod life;
mod lineage;
mod moves;
mod now;
pub mod pieces;
mod stage;
mod verdict;

pub use life::{Life, LifeRow, WholeLife};
pub use lineage::{Follower, Lineage};
pub use moves::MoveRow;
pub use now::{Carried, CurveRow, NowRow, Suckers};
pub use stage::{ArmRow, Group, RateRow, StageAnswer};
pub use verdict::{FamilyRow, Judged, Odds, PotsRow, ReadingRow, VerdictNumbers, VerdictRow, WithinRow};

use propagule_bench::kind::Kind;
use propagule_bench::results;
use propagule_bench::{Bench, Season, Stage, Trial};

/// How sure an interval is.
pub(super) const LEVEL: f64 = 0.95;

/// A trial in figures.
#[derive(Clone, Debug)]
pub struct TrialAnswer {
    /// The kind of propagation, which decides the words.
    pub kind: Kind,
    /// Stages that were counted, in their order.
    pub stages: Vec<StageAnswer>,
    /// What became of those that still waited at the first stage, once they were looked at again.
    pub life: Option<Life>,
    /// Each arm after each day.
    pub curve: Vec<CurveRow>,
    /// How each arm stands.
    pub now: Vec<NowRow>,
    /// Suckers that were removed, where pieces stand on stocks.
    pub suckers: Option<Suckers>,
    /// Trials that it follows or that follow it.
    pub lineage: Lineage,
}

impl TrialAnswer {
    /// What the entries of a trial amount to; `trial` is the trial as it stands.
    pub fn of(bench: &Bench, season: &Season<'_>, trial: &Trial) -> Self {
        let kind = trial.kind();
        let stages = Stage::ALL.into_iter().filter_map(|stage| {
            let result = results::at_stage(bench, season, trial, stage);
            stage::answer(season, trial, stage, result)
        });
        Self {
            kind,
            stages: stages.collect(),
            life: life::of(season, trial),
            curve: now::curves(season, trial),
            now: now::rows(season, trial),
            suckers: now::suckers(season, trial),
            lineage: lineage::of(bench, trial),
        }
    }

    /// The stage, where it was counted.
    pub fn stage(&self, stage: Stage) -> Option<&StageAnswer> {
        self.stages.iter().find(|found| found.stage == stage)
    }
}
