//! One trial with everything about it.

use crate::App;
use crate::bench::pots::{self, PotStands};
use crate::bench::{laying_out, shown};
use crate::outcome::trial::TrialShown;
use propagule_bench::season::Unit;
use propagule_bench::{Season, Stage, Standing, Trial, UnitKey};
use propagule_files::fault::Fault;

/// A place where something is counted: a pot, or an arm without any.
#[derive(Clone, Debug)]
pub struct PlaceView {
    /// Which it is.
    pub unit: UnitKey,
    /// Its code, as on its tag.
    pub code: String,
    /// Label of its arm.
    pub arm: String,
    /// How many were started.
    pub started: u16,
    /// Where the pieces are.
    pub standing: Standing,
    /// Stages at which it was counted.
    pub counted: Vec<Stage>,
}

/// A trial as it stands, with what forms about it need.
#[derive(Clone, Debug)]
pub struct TrialView {
    /// What the command shows of it.
    pub shown: TrialShown,
    /// How it is described, with what its entries changed.
    pub trial: Trial,
    /// In the order of the printed sheet.
    pub places: Vec<PlaceView>,
    /// In the order of their tags, as the command lists them.
    pub pots: Vec<PotStands>,
    /// The revision that was published.
    pub published: Option<u8>,
    /// Whether it was closed.
    pub is_closed: bool,
    /// Whether pieces are left that a closing must account for.
    pub has_left: bool,
    /// Whether it may be published: neither it nor the home is kept private.
    pub may_leave: bool,
}

/// One trial with everything about it.
pub fn trial(app: &App, code: &str) -> Result<TrialView, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let season = bench.season(trial);
    let shown = shown::of(&bench, trial);
    Ok(TrialView {
        places: places(trial, &season),
        pots: pots::of(trial, &season, None),
        published: app.published(trial)?,
        is_closed: shown.closed.is_some(),
        has_left: !trial.is_planned && season.is_anything_left(),
        may_leave: crate::trial::check_may_leave(&bench, trial).is_ok(),
        trial: shown.trial.clone(),
        shown,
    })
}

fn places(trial: &Trial, season: &Season<'_>) -> Vec<PlaceView> {
    let order = laying_out::sheet_order(trial);
    let unit_of = |code: &String| {
        let (arm, replicate) = trial.target(code)?;
        let replicate = replicate.map(|replicate| replicate.code.as_str());
        season.units.iter().find(|unit| unit.arm == arm.number && unit.replicate.as_deref() == replicate)
    };
    order.iter().filter_map(unit_of).map(|unit| place(trial, unit)).collect()
}

fn place(trial: &Trial, unit: &Unit) -> PlaceView {
    PlaceView {
        unit: UnitKey { arm: unit.arm, replicate: unit.replicate.clone() },
        code: unit.label(trial).to_owned(),
        arm: trial.arm(unit.arm).map(|arm| arm.label.clone()).unwrap_or_default(),
        started: unit.started,
        standing: unit.standing(),
        counted: unit.points.iter().filter_map(|point| point.stage).collect(),
    }
}
