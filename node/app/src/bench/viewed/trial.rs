//! One trial with everything about it.

use crate::App;
use crate::bench::pots;
use crate::bench::pots::Pot;
use crate::bench::{entering, laying_out, private, shown};
use crate::outcome::trial::TrialShown;
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::pots as pot_words;
use propagule_bench::dates::When;
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
    /// How it stands, in words.
    pub words: String,
    /// Stages at which it was counted.
    pub counted: Vec<Stage>,
}

/// A pot in one line.
#[derive(Clone, Debug)]
pub struct PotView {
    /// Its code.
    pub code: String,
    /// Its arm, block and stock plant, in words.
    pub belongs: String,
    /// What it holds, in words.
    pub holds: String,
    /// When somebody last looked.
    pub last_look: Option<When>,
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
    pub pots: Vec<PotView>,
    /// The words of its kind.
    pub said: KindWords,
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
    let said = KindWords::of(shown.kind);
    Ok(TrialView {
        places: places(trial, &season),
        pots: pots::of(trial, &season, None).iter().map(|pot| pot_view(pot, &said)).collect(),
        said,
        published: app.published(trial)?,
        is_closed: shown.closed.is_some(),
        has_left: !trial.is_planned && season.is_anything_left(),
        may_leave: private::check_may_leave(&bench, trial).is_ok(),
        trial: shown.trial.clone(),
        shown,
    })
}

fn pot_view(pot: &Pot, said: &KindWords) -> PotView {
    let (block, stock_plant) = (pot.block.as_deref(), pot.stock_plant.as_deref());
    PotView {
        code: pot.code.clone(),
        belongs: pot_words::belongs(&pot.code, &pot.arm, block, stock_plant),
        holds: pot_words::holds(&pot.row, said),
        last_look: pot.last_look,
    }
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
        words: entering::standing_words(trial, unit),
        counted: unit.points.iter().filter_map(|point| point.stage).collect(),
    }
}
