//! What a screen shows of the bench: the facts that commands tell, with their parts kept apart.

use propagule_protocol::Date;

use super::{history, laying_out, reported, shown, spots};
use crate::answer::trial::{NowRow, TrialAnswer};
use crate::answer::words::kind::KindWords;
use crate::answer::words::{counted, trial as sentences};
use crate::app::App;
use crate::bench::curve::{self, CurvePoint};
use crate::bench::season::{IMPORTED, Unit};
use crate::bench::spot::{CareSpan, Spot};
use crate::bench::{Arm, Bench, Entry, Row, Season, Stage, Standing, Trial, due};
use crate::error::Failure;
use crate::paper::layout::Layout;
use crate::paper::sheet::Section;

/// A trial in one line of a list.
#[expect(clippy::struct_excessive_bools, reason = "each is a fact of its own, said in the line")]
#[derive(Clone, Debug)]
pub(crate) struct TrialLine {
    pub(crate) code: String,
    pub(crate) species: String,
    pub(crate) is_lot: bool,
    pub(crate) is_planned: bool,
    /// Year in which it was put in.
    pub(crate) season: u16,
    pub(crate) started_on: String,
    pub(crate) started: u32,
    pub(crate) arms: usize,
    pub(crate) alive: u32,
    pub(crate) rooted: Option<u32>,
    pub(crate) stage: Option<Stage>,
    /// The words of its kind.
    pub(crate) said: KindWords,
    /// The last revision that was published.
    pub(crate) published: Option<u8>,
    /// It stays at home.
    pub(crate) is_private: bool,
    /// Nothing is due or counted there any more.
    pub(crate) is_closed: bool,
}

/// A part of the list of trials.
#[derive(Clone, Debug)]
pub(crate) struct TrialLines {
    pub(crate) lines: Vec<TrialLine>,
    pub(crate) total: usize,
}

/// Trials, the latest season first.
pub(crate) fn trials(app: &App, skip: usize, most: usize) -> Result<TrialLines, Failure> {
    let bench = app.bench();
    let mut all: Vec<&Trial> = bench.trials().collect();
    all.sort_by_key(|trial| (std::cmp::Reverse(trial.started_on.middle().year()), trial.is_lot()));
    let lines = all.iter().skip(skip).take(most).map(|trial| line(app, &bench, trial));
    Ok(TrialLines { lines: lines.collect::<Result<_, _>>()?, total: all.len() })
}

fn line(app: &App, bench: &Bench, trial: &Trial) -> Result<TrialLine, Failure> {
    let season = bench.season(trial);
    let now = season.all_now();
    Ok(TrialLine {
        code: trial.code.clone(),
        species: trial.species.clone(),
        is_lot: trial.is_lot(),
        is_planned: trial.is_planned,
        season: trial.started_on.middle().year(),
        started_on: trial.started_on.to_string(),
        started: trial.started(),
        arms: trial.arms.len(),
        alive: now.alive(),
        rooted: now.rooted(),
        stage: season.as_it_stands().last_stage(),
        said: KindWords::of_trial(trial),
        published: app.published(trial)?,
        is_private: trial.is_private,
        is_closed: season.closed().is_some(),
    })
}

/// A place where something is counted: a pot, or an arm without any.
#[derive(Clone, Debug)]
pub(crate) struct PlaceView {
    /// Its code, as on its tag.
    pub(crate) code: String,
    /// Label of its arm.
    pub(crate) arm: String,
    pub(crate) started: u16,
    pub(crate) standing: Standing,
    /// How it stands, in words.
    pub(crate) words: String,
    /// Stages at which it was counted.
    pub(crate) counted: Vec<Stage>,
    /// Day of its last count.
    pub(crate) last_on: Option<Date>,
}

/// An arm with where it stands and how.
#[derive(Clone, Debug)]
pub(crate) struct ArmView {
    pub(crate) arm: Arm,
    /// Its method in words.
    pub(crate) method: Vec<String>,
    /// The spot it stands on now, and the care given there.
    pub(crate) spot: Option<(String, Vec<String>)>,
    /// Where it was moved, after how many weeks.
    pub(crate) moves: Vec<String>,
    /// Its pieces, all places together.
    pub(crate) pieces: Row,
    /// How it stands, in words; none before anybody looked.
    pub(crate) now: Option<String>,
    /// What is known by the day of each count.
    pub(crate) curve: Vec<CurvePoint>,
}

/// A stage, and what its counts show and do not show.
#[derive(Clone, Debug)]
pub(crate) struct StageView {
    pub(crate) stage: Stage,
    pub(crate) heading: String,
    pub(crate) lines: Vec<String>,
    /// The same with what only an adviser asks for.
    pub(crate) details: Vec<String>,
}

/// A trial as it stands.
#[derive(Clone, Debug)]
pub(crate) struct TrialView {
    pub(crate) trial: Trial,
    pub(crate) arms: Vec<ArmView>,
    /// In the order of the printed sheet.
    pub(crate) places: Vec<PlaceView>,
    pub(crate) stages: Vec<StageView>,
    /// Pieces that left before any final count.
    pub(crate) left: Vec<String>,
    pub(crate) roots: Option<Section>,
    pub(crate) funnel: Vec<(String, u32, u32)>,
    /// Entries that contradict earlier ones.
    pub(crate) faults: Vec<(u64, String)>,
    /// The whole life, suckers, and the trials that belong to it, in words.
    pub(crate) after: Vec<String>,
    /// The words of its kind.
    pub(crate) said: KindWords,
    pub(crate) published: Option<u8>,
    /// The entry that closed it, in words; none where it is open.
    pub(crate) closed: Option<String>,
    /// Whether pieces are left that a closing must account for.
    pub(crate) has_left: bool,
    /// Whether it may be published: neither it nor the home is kept private.
    pub(crate) may_leave: bool,
}

/// One trial with everything about it.
pub(crate) fn trial(app: &App, code: &str) -> Result<TrialView, Failure> {
    let bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(code), code, bench.trials())?;
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
        stages: stages.collect(),
        left: shown::left_so_far(&season, &stands),
        roots: reported::scores(&season),
        funnel: shown::funnel_rows(&season, &stands),
        faults: season.faults.clone(),
        said,
        published: app.published(trial)?,
        closed: season.closed().and_then(|(_, entry)| history::closed_line(entry)),
        has_left: !trial.is_planned && season.is_anything_left(),
        may_leave: super::private::check_may_leave(&bench, trial).is_ok(),
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
        method: super::setting_up::facet_words(arm),
        spot,
        moves: moves.collect(),
        pieces: now.row,
        now: now.is_entered.then(|| sentences::now(now, &KindWords::of_trial(trial))),
        curve: curve::curve(season, arm),
        arm: arm.clone(),
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
        code: unit.label(trial).to_owned(),
        arm: trial.arm(unit.arm).map(|arm| arm.label.clone()).unwrap_or_default(),
        started: unit.started,
        standing: unit.standing(),
        words: super::entering::standing_words(trial, unit),
        counted: unit.points.iter().filter_map(|point| point.stage).collect(),
        last_on: unit
            .points
            .iter()
            .filter(|point| point.entry != IMPORTED)
            .map(|p| p.on.middle())
            .next_back(),
    }
}

/// What is due, as the command tells it.
pub(crate) fn agenda(app: &App, as_of: Date) -> Result<due::Agenda, Failure> {
    super::due::agenda(app, as_of, &super::DuePart::default())
}

/// The same as a calendar file.
pub(crate) fn calendar(app: &App, as_of: Date) -> Result<String, Failure> {
    Ok(super::due::calendar_text(app, &agenda(app, as_of)?))
}

/// Whether anything is on the bench.
pub(crate) fn has_trials(app: &App) -> bool {
    app.bench().trials().next().is_some()
}

/// Where the pots of a trial stand; none before it was laid out.
pub(crate) fn layout(app: &App, code: &str) -> Result<Option<(Layout, Vec<String>)>, Failure> {
    let bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(code), code, bench.trials())?;
    let labels = || laying_out::specs(trial).into_iter().map(|spec| spec.code).collect();
    Ok(trial.layout.map(|choice| (laying_out::of(trial, choice), labels())))
}

/// An entry in words, with how it stood before.
#[derive(Clone, Debug)]
pub(crate) struct EntryView {
    pub(crate) number: u64,
    /// None when it was taken back.
    pub(crate) entry: Option<Entry>,
    pub(crate) words: String,
    /// When it was typed.
    pub(crate) at: String,
    /// How it stood, until when.
    pub(crate) earlier: Vec<(String, String)>,
}

/// Every entry of a trial, and every change of its description.
#[derive(Clone, Debug)]
pub(crate) struct HistoryView {
    pub(crate) entries: Vec<EntryView>,
    /// When, and what.
    pub(crate) changes: Vec<(String, String)>,
}

/// Every entry of a trial, and every change of its description.
pub(crate) fn history(app: &App, code: &str) -> Result<HistoryView, Failure> {
    let bench = app.bench();
    let trial = crate::app::trial::find(bench.trial(code), code, bench.trials())?;
    let said =
        |entry: Option<&Entry>| entry.map_or("taken back".to_owned(), |entry| history::words(trial, entry));
    let entries = history::of_trial(&bench, trial).map(|(number, recorded)| EntryView {
        number,
        entry: recorded.entry.clone(),
        words: said(recorded.entry.as_ref()),
        at: recorded.at.clone(),
        earlier: recorded.earlier.iter().map(|(entry, at)| (said(entry.as_ref()), at.clone())).collect(),
    });
    let entries = entries.collect();
    Ok(HistoryView { entries, changes: bench.changes(&trial.code).to_vec() })
}

/// A spot with its care and what stands on it.
#[derive(Clone, Debug)]
pub(crate) struct SpotView {
    pub(crate) spot: Spot,
    /// What lots take from it today.
    pub(crate) words: String,
    pub(crate) care: Vec<CareSpan>,
    pub(crate) lots: Vec<String>,
}

/// All spots, or one.
pub(crate) fn spots(app: &App, name: Option<&str>) -> Result<Vec<SpotView>, Failure> {
    let bench = app.bench();
    let today = app.clock().today_date();
    let found: Vec<Spot> = match name {
        Some(name) => vec![spots::find(&bench, name)?.clone()],
        None => bench.spots().cloned().collect(),
    };
    let view = |spot: Spot| SpotView {
        words: spots::words(&bench.facets_of_spot(&spot.name, today)),
        care: bench.care_of(&spot.name),
        lots: spots::lots_on(&bench, &spot.name, today),
        spot,
    };
    Ok(found.into_iter().map(view).collect())
}

/// Names to choose from in forms.
#[derive(Clone, Debug, Default)]
pub(crate) struct Names {
    pub(crate) trials: Vec<String>,
    pub(crate) spots: Vec<String>,
    pub(crate) places: Vec<String>,
    pub(crate) species: Vec<String>,
    /// Whether trials are opened on the network; none before it was asked.
    pub(crate) opens: Option<bool>,
    /// Whether results are to be published; none before it was chosen.
    pub(crate) publishing: Option<bool>,
}

/// Names to choose from in forms.
pub(crate) fn names(app: &App) -> Names {
    let bench = app.bench();
    let species: std::collections::BTreeSet<String> =
        bench.trials().map(|trial| trial.species.clone()).collect();
    Names {
        trials: bench.trials().map(|trial| trial.code.clone()).collect(),
        spots: bench.spots().map(|spot| spot.name.clone()).collect(),
        places: bench.places().map(|(name, _)| name.clone()).collect(),
        species: species.into_iter().collect(),
        opens: bench.opens(),
        publishing: bench.publishing(),
    }
}

/// What is known of the climate of a place, so that a form that does not ask for it keeps it.
pub(crate) fn climate(app: &App, place: &str) -> Option<propagule_protocol::place::Climate> {
    app.bench().place(place).map(|place| place.climate.clone())
}
