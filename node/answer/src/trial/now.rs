//! How each arm stands, how it stood after each day, and what was removed from its stocks.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use propagule_bench::curve::{CurvePoint, curve};
use propagule_bench::dates::When;
use propagule_bench::{Row, Season, Trial, Unit, What};

/// A treatment after one day.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct CurveRow {
    /// Label of the treatment.
    pub arm: String,
    /// Its shares.
    #[serde(flatten)]
    pub point: CurvePoint,
}

/// A place that nobody looked at on the last day.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Carried {
    /// Its code.
    pub place: String,
    /// Alive.
    pub alive: u16,
    /// Started.
    pub started: u16,
    /// When it was last looked at, or started.
    pub since: When,
}

/// A treatment as it stands.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, JsonSchema)]
pub struct NowRow {
    /// Label of the treatment.
    pub arm: String,
    /// The last day on which anybody looked.
    pub on: Option<When>,
    /// Started.
    pub started: u32,
    /// Here and alive.
    pub alive: u32,
    /// With the outcome at any time; none until it was looked for everywhere.
    pub ever_rooted: Option<u32>,
    /// Living ones finished and here.
    pub finished: Option<u32>,
    /// Places that are as they were on an earlier day.
    pub carried: Vec<Carried>,
    /// All its propagules.
    pub row: Row,
    /// Whether anything was entered for it.
    pub is_entered: bool,
}

/// Suckers that were removed.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Suckers {
    /// Times that somebody looked for them.
    pub looks: usize,
    /// All of them.
    pub removed: u32,
    /// Label of each treatment, and how many.
    pub arms: Vec<(String, u32)>,
}

pub(super) fn curves(season: &Season<'_>, trial: &Trial) -> Vec<CurveRow> {
    let of_arm = |arm: &propagule_bench::Arm| -> Vec<CurveRow> {
        let points = curve(season, arm).into_iter();
        points.map(|point| CurveRow { arm: arm.label.clone(), point }).collect()
    };
    trial.arms.iter().flat_map(of_arm).collect()
}

pub(super) fn rows(season: &Season<'_>, trial: &Trial) -> Vec<NowRow> {
    let last = season.last_look().copied();
    let row = |arm: &propagule_bench::Arm| {
        let row = season.arm_now(arm.number);
        let is_entered = season.of_arm(arm.number).any(|unit| !unit.points.is_empty());
        NowRow {
            arm: arm.label.clone(),
            on: last,
            started: row.started,
            alive: row.alive(),
            ever_rooted: row.ever_rooted(),
            finished: row.finished,
            carried: season.of_arm(arm.number).filter_map(|unit| carried(trial, unit, last?)).collect(),
            row,
            is_entered: is_entered || last.is_some(),
        }
    };
    trial.arms.iter().map(row).collect()
}

fn carried(trial: &Trial, unit: &Unit, last: When) -> Option<Carried> {
    let arm = trial.arm(unit.arm)?;
    let since = unit.points.last().map_or(trial.started_of(arm), |point| point.on);
    let standing = unit.standing();
    (since.middle() < last.middle() && standing.base() > 0).then(|| Carried {
        place: unit.label(trial).to_owned(),
        alive: standing.fates.alive(),
        started: unit.started,
        since,
    })
}

pub(super) fn suckers(season: &Season<'_>, trial: &Trial) -> Option<Suckers> {
    if !trial.kind().is_on_stocks() {
        return None;
    }
    let looks: Vec<&Vec<(u8, u16)>> = season
        .entries
        .iter()
        .filter_map(|(_, entry)| match &entry.what {
            What::Suckers { removed, .. } => Some(removed),
            _ => None,
        })
        .collect();
    let of_arm =
        |number: u8| looks.iter().flat_map(|removed| removed.iter()).filter(move |(arm, _)| *arm == number);
    let arms: Vec<(String, u32)> = trial
        .arms
        .iter()
        .map(|arm| (arm.label.clone(), of_arm(arm.number).map(|(_, count)| u32::from(*count)).sum()))
        .collect();
    Some(Suckers { looks: looks.len(), removed: arms.iter().map(|(_, count)| count).sum(), arms })
}
