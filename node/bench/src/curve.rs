//! An arm over time: shares of all pieces put in, as they stood after each day on which something was entered.

use propagule_analysis::survival::{Outcome, cumulative_incidence};

use super::fates::Row;
use super::season::{Season, Unit};
use super::trial::Arm;
use crate::dates::When;

/// A treatment after one day; shares are of all propagules started.
#[derive(Clone, Debug, PartialEq, serde::Serialize, serde::Deserialize, schemars::JsonSchema)]
pub struct CurvePoint {
    /// The day.
    pub on: When,
    /// Days after starting.
    pub days: i32,
    /// Ever rooted, whatever became of them; `None` until roots were looked for everywhere.
    pub ever_rooted: Option<f64>,
    /// Propagules that had roots in the units that were looked at.
    pub at_least: u32,
    /// Propagules started of those units.
    pub looked_for: u32,
    /// All propagules on that day.
    pub row: Row,
    /// Alive and rooted; `None` until roots were looked for everywhere.
    pub rooted_alive: Option<f64>,
    /// Alive.
    pub alive: f64,
    /// Dead.
    pub dead: f64,
    /// Lost.
    pub lost: f64,
    /// Sold, given or planted out, finished or below.
    pub left: f64,
}

/// The curve of a treatment. The figure of a day is that of any stage counted on that day.
pub fn curve(season: &Season<'_>, arm: &Arm) -> Vec<CurvePoint> {
    let started_on = season.trial.started_of(arm).middle();
    let point = |on: When| {
        let row = season.arm_on(arm.number, on.middle());
        let share = |count: u32| f64::from(count) / f64::from(row.started.max(1));
        CurvePoint {
            on,
            days: on.middle().days_since(started_on),
            ever_rooted: row.ever_rooted().map(share),
            at_least: row.at_least,
            looked_for: row.looked_for,
            row,
            rooted_alive: row.rooted().map(share),
            alive: share(row.alive()),
            dead: share(row.dead),
            lost: share(row.lost),
            left: share(row.left_finished + row.left_below),
        }
    };
    season.days().into_iter().map(point).collect()
}

/// The competing-risk estimate of the share rooted by a day: propagules that were lost or left without roots were
/// watched until then (Aalen and Johansen 1978).
#[derive(Clone, Debug, PartialEq)]
pub struct Incidence {
    /// Days after starting.
    pub days: i32,
    /// Estimated share rooted by then.
    pub rooted: f64,
    /// Estimated share dead without roots by then.
    pub dead: f64,
    /// Propagules still watched.
    pub watched: u32,
}

/// The competing-risk estimate for a treatment, by the last day of each interval.
pub fn incidence(season: &Season<'_>, arm: &Arm) -> Vec<Incidence> {
    let started_on = season.trial.started_of(arm).middle();
    let days = |on: When| on.middle().days_since(started_on);
    let pieces: Vec<(f64, Outcome)> =
        season.of_arm(arm.number).flat_map(|unit| firsts(unit, &days)).collect();
    let steps = cumulative_incidence(&pieces);
    let at = |day: i32| steps.iter().rev().find(|step| step.time <= f64::from(day));
    let point = |on: When| {
        let day = days(on);
        Incidence {
            days: day,
            rooted: at(day).map_or(0.0, |step| step.rooted),
            dead: at(day).map_or(0.0, |step| step.dead),
            watched: pieces.iter().filter(|(time, _)| *time > f64::from(day)).count() as u32,
        }
    };
    season.days().into_iter().map(point).collect()
}

/// The first thing that happened to each propagule of a unit: roots, death without roots, or the end of watching.
fn firsts(unit: &Unit, days: &impl Fn(When) -> i32) -> Vec<(f64, Outcome)> {
    let (mut rooted, mut dead, mut gone) = (Vec::new(), Vec::new(), Vec::new());
    for point in &unit.points {
        let (day, fates) = (f64::from(days(point.on)), point.standing.fates);
        let left = fates.lost.without + fates.finished.without + fates.below.without;
        // What is settled later takes back the latest of what it was booked as.
        rooted.resize(usize::from(fates.ever_rooted()), day);
        dead.resize(usize::from(fates.dead.without), day);
        gone.resize(usize::from(left), day);
    }
    let last = unit.points.last().map_or(0, |point| days(point.on));
    let fates = unit.standing().fates;
    let open = usize::from(fates.waiting + fates.not_known.without);
    gone.resize(gone.len() + open, f64::from(last));
    let named = |times: Vec<f64>, outcome: Outcome| times.into_iter().map(move |time| (time, outcome));
    named(rooted, Outcome::Rooted)
        .chain(named(dead, Outcome::Dead))
        .chain(named(gone, Outcome::Watched))
        .collect()
}
