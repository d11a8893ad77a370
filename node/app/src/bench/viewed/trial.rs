//! One trial with everything about it.

use crate::App;
use crate::bench::pots;
use crate::bench::pots::Pot;
use crate::bench::{entering, history, laying_out, private, reported, setting_up, shown};
use crate::paper::sheet::Section;
use propagule_answer::trial::pieces::{Pieces, states};
use propagule_answer::trial::{NowRow, TrialAnswer};
use propagule_answer::words::kind::KindWords;
use propagule_answer::words::{counted, fault as faults, pots as pot_words, trial as sentences};
use propagule_bench::curve;
use propagule_bench::curve::CurvePoint;
use propagule_bench::dates::When;
use propagule_bench::season::Unit;
use propagule_bench::{Arm, Bench, Season, Stage, Standing, Trial, UnitKey};
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

/// An arm with where it stands and how.
#[derive(Clone, Debug)]
pub struct ArmView {
    /// The arm.
    pub arm: Arm,
    /// Its method in words.
    pub method: Vec<String>,
    /// The spot it stands on now, and the care given there.
    pub spot: Option<(String, Vec<String>)>,
    /// Where it was moved, after how many weeks.
    pub moves: Vec<String>,
    /// Its pieces, all places together.
    pub pieces: Vec<Pieces>,
    /// How it stands, in words; none before anybody looked.
    pub now: Option<String>,
    /// What is known by the day of each count.
    pub curve: Vec<CurvePoint>,
}

/// A stage, and what its counts show and do not show.
#[derive(Clone, Debug)]
pub struct StageView {
    /// The stage.
    pub stage: Stage,
    /// Its heading.
    pub heading: String,
    /// Its lines.
    pub lines: Vec<String>,
    /// The same with what only an adviser asks for.
    pub details: Vec<String>,
}

/// A trial as it stands.
#[derive(Clone, Debug)]
pub struct TrialView {
    /// The trial.
    pub trial: Trial,
    /// Its arms.
    pub arms: Vec<ArmView>,
    /// In the order of the printed sheet.
    pub places: Vec<PlaceView>,
    /// In the order of their tags, as the command lists them.
    pub pots: Vec<PotView>,
    /// Stages that were counted.
    pub stages: Vec<StageView>,
    /// Pieces that left before any final count.
    pub left: Vec<String>,
    /// What the roots show.
    pub roots: Option<Section>,
    /// How many came how far: words, number, of how many.
    pub funnel: Vec<(String, u32, u32)>,
    /// Entries that contradict earlier ones.
    pub faults: Vec<(u64, String)>,
    /// The whole life, suckers, and the trials that belong to it, in words.
    pub after: Vec<String>,
    /// The words of its kind.
    pub said: KindWords,
    /// The revision that was published.
    pub published: Option<u8>,
    /// The entry that closed it, in words; none where it is open.
    pub closed: Option<String>,
    /// Whether pieces are left that a closing must account for.
    pub has_left: bool,
    /// Whether it may be published: neither it nor the home is kept private.
    pub may_leave: bool,
}

/// One trial with everything about it.
pub fn trial(app: &App, code: &str) -> Result<TrialView, Fault> {
    let bench = app.bench();
    let trial = crate::trial::find(bench.trial(code), code, bench.trials())?;
    let stands = bench.as_it_stands(trial);
    let season = bench.season(trial);
    let answer = TrialAnswer::of(&bench, &season, &stands);
    let said = KindWords::of(answer.kind);
    let stages = answer.stages.iter().map(|stage| {
        let lines = shown::stage_lines(&stands, stage, &said, false);
        let details = shown::stage_lines(&stands, stage, &said, true).split_off(lines.len());
        let heading = format!("{}, {}", said.at(stage.stage), stage.on);
        StageView { stage: stage.stage, heading, lines, details }
    });
    Ok(TrialView {
        arms: stands
            .arms
            .iter()
            .zip(&answer.now)
            .map(|(arm, now)| arm_view(&bench, &season, &stands, arm, now))
            .collect(),
        after: shown::after_lines(&answer, &stands),
        places: places(trial, &season),
        pots: pots::of(trial, &season, None).iter().map(|pot| pot_view(pot, &said)).collect(),
        stages: stages.collect(),
        left: shown::left_so_far(&season, &stands),
        roots: reported::scores(&season),
        funnel: shown::funnel_rows(&season, &stands),
        faults: season.faults.iter().map(|(number, why)| (*number, faults::season(why, &said))).collect(),
        said,
        published: app.published(trial)?,
        closed: season.closed().and_then(|(_, entry)| history::closed_line(entry)),
        has_left: !trial.is_planned && season.is_anything_left(),
        may_leave: private::check_may_leave(&bench, trial).is_ok(),
        trial: stands,
    })
}

fn arm_view(bench: &Bench, season: &Season<'_>, trial: &Trial, arm: &Arm, now: &NowRow) -> ArmView {
    let day = season.last_look().map_or(trial.started_on, |when| *when).middle();
    let spot = bench.spot_of(season, arm.number, day).map(|spot| {
        let care = bench.care_of(&spot).iter().map(|span| format!("{}: {}", span.from, span.care)).collect();
        (spot, care)
    });
    let started = trial.started_of(arm).middle();
    let moves = arm.phases.iter().map(|phase| {
        let weeks = phase.on.middle().weeks_since(started);
        format!("moved to {} after {}", phase.spot, counted(weeks, "week", "weeks"))
    });
    ArmView {
        method: setting_up::facet_words(arm),
        spot,
        moves: moves.collect(),
        pieces: states(&now.row, None, &KindWords::of_trial(trial)),
        now: now.is_entered.then(|| sentences::now(now, &KindWords::of_trial(trial))),
        curve: curve::curve(season, arm),
        arm: arm.clone(),
    }
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
