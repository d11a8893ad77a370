//! A stage of a trial: every arm, all of them together, and totals by mother and by who did the work.

use propagule_analysis::{Count, interval};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::LEVEL;
use super::moves::{self, MoveRow};
use super::verdict::{Judged, judged};
use propagule_bench::dates::When;
use propagule_bench::results::{StageResult, rate};
use propagule_bench::season::StageRow;
use propagule_bench::{Arm, Row, Season, Stage, Trial};

/// A rate with its interval: Wilson's at 95 %; at none and at all of them the one-sided bound, the other end shut.
#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct RateRow {
    /// The lead outcome.
    pub count: u32,
    /// Of so many.
    pub of: u32,
    /// Lower limit.
    pub lower: f64,
    /// Upper limit.
    pub upper: f64,
}

impl RateRow {
    /// The rate of a count.
    pub fn of(count: u32, of: u32) -> Self {
        let counted = Count { succeeded: count, started: of };
        let (lower, upper) = match count {
            0 => (0.0, interval::one_sided_upper(counted, LEVEL)),
            all if all == of => (interval::one_sided_lower(counted, LEVEL), 1.0),
            _ => interval::wilson(counted, LEVEL),
        };
        Self { count, of, lower, upper }
    }

    /// The share.
    pub fn share(&self) -> f64 {
        rate(Count { succeeded: self.count, started: self.of })
    }
}

/// A treatment at a stage, or all of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct ArmRow {
    /// Label of the treatment; the same again under its newer name.
    pub arm: String,
    /// Label of the treatment.
    pub label: String,
    /// The day from which it is read.
    pub on: When,
    /// Started.
    pub started: u32,
    /// Here and alive.
    pub alive: u32,
    /// Here and alive, without the outcome.
    pub waiting: u32,
    /// Here and alive, with it.
    pub rooted_alive: u32,
    /// With it at any time, whatever became of them; none until it was looked for everywhere.
    pub ever_rooted: Option<u32>,
    /// So many at least, where it was looked for.
    pub at_least: u32,
    /// Started there.
    pub looked_for: u32,
    /// Growing on.
    pub established: Option<u32>,
    /// At the grower's grade and here.
    pub finished: Option<u32>,
    /// Neither known alive nor known dead.
    pub not_known: u32,
    /// Dead.
    pub dead: u32,
    /// Of them, with the outcome.
    pub dead_rooted: u32,
    /// Lost.
    pub lost: u32,
    /// Gone as finished.
    pub left_finished: u32,
    /// Gone before it was finished.
    pub left_below: u32,
    /// Living ones that were kept when the last left.
    pub kept: u32,
    /// The lead outcome; none while not all is known.
    pub rate: Option<RateRow>,
    /// The lead outcome without the lost ones, where that changes the rate by five points or the order of treatments.
    pub without_lost: Option<RateRow>,
    /// Places with propagules that were not counted at the stage.
    pub pending: Vec<String>,
    /// Places that were counted, but in which the outcome was not looked for.
    pub unlooked: Vec<String>,
    /// Of the outcome, what was first seen after a move.
    pub moves: Vec<MoveRow>,
    /// The lead outcome, under its first name.
    pub succeeded: Option<u32>,
    /// Gone as finished, under its first name.
    pub left: u32,
    /// Wilson's interval at 95 %.
    pub wilson: Option<(f64, f64)>,
    /// The one-sided upper limit where none succeeded.
    pub one_sided_upper: Option<f64>,
    /// All its propagules on that day.
    pub row: Row,
}

impl ArmRow {
    /// The propagules of a treatment on a day; `lead` are those with the lead outcome.
    pub fn of(label: &str, on: When, row: Row, lead: Option<u32>) -> Self {
        let rate = lead.map(|lead| RateRow::of(lead, row.started));
        let count = |lead| Count { succeeded: lead, started: row.started };
        Self {
            arm: label.to_owned(),
            label: label.to_owned(),
            on,
            started: row.started,
            alive: row.alive(),
            waiting: row.waiting,
            rooted_alive: row.rooted_alive,
            ever_rooted: row.ever_rooted(),
            at_least: row.at_least,
            looked_for: row.looked_for,
            established: row.established,
            finished: row.finished,
            not_known: row.not_known,
            dead: row.dead,
            dead_rooted: row.dead_rooted,
            lost: row.lost,
            left_finished: row.left_finished,
            left_below: row.left_below,
            kept: 0,
            rate,
            without_lost: None,
            pending: Vec::new(),
            unlooked: Vec::new(),
            moves: Vec::new(),
            succeeded: lead,
            left: row.left_finished,
            wilson: lead.map(|lead| interval::wilson(count(lead), LEVEL)),
            one_sided_upper: lead
                .filter(|lead| *lead == 0)
                .map(|lead| interval::one_sided_upper(count(lead), LEVEL)),
            row,
        }
    }

    /// Finished plants that are still here, where the end is what was counted and all of it is known.
    pub fn finished_here(&self, stage: Stage) -> Option<u32> {
        let all = self.rate.as_ref().filter(|_| stage == Stage::Final)?;
        Some(all.count.saturating_sub(self.left_finished))
    }
}

/// Units that share a stock plant or a worker: counts only.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Group {
    /// The name; it never leaves.
    pub name: String,
    /// The lead outcome; none while not all is known.
    pub count: Option<u32>,
    /// Started.
    pub of: u32,
    /// Of those, lost.
    pub lost: u32,
}

/// A stage of a trial.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct StageAnswer {
    /// The stage.
    pub stage: Stage,
    /// The last day on which a treatment was counted there.
    pub on: When,
    /// Treatments that were counted, and those of which only a part was.
    pub arms: Vec<ArmRow>,
    /// All of them together; none where there is one, or not all is known of one.
    pub all: Option<ArmRow>,
    /// By stock plant, in the order of their names; empty where there are not two.
    pub by_mother: Vec<Group>,
    /// By who did the work, in the order of their names; empty where there are not two.
    pub by_operator: Vec<Group>,
    /// What may be said of pairs of treatments, which is shown with its words.
    #[serde(skip)]
    pub judged: Option<Judged>,
}

/// A stage; none where no place was counted there.
pub(super) fn answer(
    season: &Season<'_>,
    trial: &Trial,
    stage: Stage,
    result: Option<StageResult>,
) -> Option<StageAnswer> {
    let found: Vec<(&Arm, StageRow)> =
        trial.arms.iter().filter_map(|arm| Some((arm, season.at_stage(arm.number, stage)?))).collect();
    let on = found.iter().map(|(_, row)| row.on).max_by_key(When::middle)?;
    let mut arms: Vec<ArmRow> = found.iter().map(|(arm, row)| arm_row(season, arm, stage, row)).collect();
    read_without_lost(&mut arms);
    let groups = |name: &dyn Fn(&Arm, usize) -> Option<String>| by(&found, stage, name);
    Some(StageAnswer {
        stage,
        on,
        all: together(&arms, on),
        arms,
        by_mother: groups(&|arm, at| {
            arm.replicates.get(at).and_then(|r| r.stock_plant.clone()).or_else(|| arm.stock_plant.clone())
        }),
        by_operator: groups(&|arm, at| {
            arm.replicates.get(at).and_then(|r| r.operator.clone()).or_else(|| arm.operator.clone())
        }),
        judged: result.map(|result| judged(trial, &result)),
    })
}

fn arm_row(season: &Season<'_>, arm: &Arm, stage: Stage, found: &StageRow) -> ArmRow {
    let lead = found.lead(stage);
    let mut row = ArmRow::of(&arm.label, found.on, found.row, lead);
    row.pending.clone_from(&found.pending);
    // Of finished plants it does not matter whether anybody looked for roots.
    if stage != Stage::Final {
        row.unlooked.clone_from(&found.unlooked);
        row.moves = moves::of(season, arm, found);
    }
    row.kept = propagule_bench::results::kept_after_leaving(season, arm.number);
    row
}

/// The other reading of lost propagules, where it changes a rate by five points or more, or the order of two treatments.
fn read_without_lost(arms: &mut [ArmRow]) {
    let readings: Vec<Option<(f64, f64)>> = arms.iter().map(both_readings).collect();
    let turns = |own: (f64, f64), other: (f64, f64)| own.0.total_cmp(&other.0) != own.1.total_cmp(&other.1);
    for (arm, own) in arms.iter_mut().zip(&readings) {
        let (Some(own), Some(rate), true) = (*own, arm.rate, arm.lost > 0) else { continue };
        let order = readings.iter().flatten().any(|other| turns(own, *other));
        if order || (own.0 - own.1).abs() >= 0.05 - 1e-9 {
            arm.without_lost = Some(RateRow::of(rate.count.min(rate.of - arm.lost), rate.of - arm.lost));
        }
    }
}

/// The rate with the lost ones as failures, and without them; none where nothing else is left.
fn both_readings(arm: &ArmRow) -> Option<(f64, f64)> {
    let rate = arm.rate.filter(|rate| rate.of > arm.lost)?;
    Some((rate.share(), f64::from(rate.count) / f64::from(rate.of - arm.lost)))
}

fn together(arms: &[ArmRow], on: When) -> Option<ArmRow> {
    if arms.len() < 2 {
        return None;
    }
    let lead = arms.iter().map(|arm| arm.succeeded).sum::<Option<u32>>()?;
    let row = arms.iter().map(|arm| arm.row).sum();
    let mut all = ArmRow::of("All arms", on, row, Some(lead));
    all.kept = arms.iter().map(|arm| arm.kept).sum();
    Some(all)
}

/// Sums over units of one name; empty where there are not two names.
fn by(found: &[(&Arm, StageRow)], stage: Stage, name: &dyn Fn(&Arm, usize) -> Option<String>) -> Vec<Group> {
    let mut groups: std::collections::BTreeMap<String, Group> = std::collections::BTreeMap::new();
    for (arm, row) in found {
        let leads = row.leads(stage);
        for (at, unit) in row.units.iter().enumerate() {
            let Some(name) = name(arm, at) else { continue };
            let lead = leads.as_ref().and_then(|leads| leads.get(at).copied());
            let empty = Group { name: name.clone(), count: Some(0), of: 0, lost: 0 };
            let group = groups.entry(name).or_insert(empty);
            group.count = group.count.zip(lead).map(|(sum, lead)| sum + lead);
            group.of += unit.started;
            group.lost += unit.lost;
        }
    }
    if groups.len() < 2 { Vec::new() } else { groups.into_values().collect() }
}
