//! Sums over units: an arm, a trial, a stock plant or an operator on a day.

use std::iter::Sum;
use std::ops::Add;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::Standing;

/// Propagules of some units on a day; each is counted in one state.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
pub struct Row {
    /// Started.
    pub started: u32,
    /// Alive, without roots.
    pub waiting: u32,
    /// Alive and rooted.
    pub rooted_alive: u32,
    /// Growing on, within those; `None` where no unit was counted for it.
    pub established: Option<u32>,
    /// At the grower's grade and here, within those; `None` where no unit was counted for it.
    pub finished: Option<u32>,
    /// With callus, within the living; `None` where no unit was counted for it.
    pub callused: Option<u32>,
    /// Neither known alive nor known dead.
    pub not_known: u32,
    /// Dead.
    pub dead: u32,
    /// Of them, rooted.
    pub dead_rooted: u32,
    /// Lost.
    pub lost: u32,
    /// Of them, rooted.
    pub lost_rooted: u32,
    /// Gone as finished.
    pub left_finished: u32,
    /// Gone before it was finished.
    pub left_below: u32,
    /// Propagules that ever had roots, in the units that were looked at and in the others.
    pub at_least: u32,
    /// Propagules started of the units in which roots were looked for.
    pub looked_for: u32,
}

impl Row {
    /// One unit.
    pub fn of(started: u16, standing: &Standing) -> Self {
        let fates = standing.fates;
        let looked = standing.roots_looked.is_some();
        Self {
            started: started.into(),
            waiting: fates.waiting.into(),
            rooted_alive: fates.rooted.into(),
            established: standing.established.map(u32::from),
            finished: standing.finished.map(u32::from),
            callused: standing.callused.map(u32::from),
            not_known: fates.not_known.all().into(),
            dead: fates.dead.all().into(),
            dead_rooted: fates.dead.with.into(),
            lost: fates.lost.all().into(),
            lost_rooted: fates.lost.with.into(),
            left_finished: fates.finished.all().into(),
            left_below: fates.below.all().into(),
            at_least: fates.ever_rooted().into(),
            looked_for: if looked { started.into() } else { 0 },
        }
    }

    /// Living propagules that are here.
    pub fn alive(&self) -> u32 {
        self.waiting + self.rooted_alive
    }

    /// Propagules that ever had roots; `None` until they were looked for in every unit.
    pub fn ever_rooted(&self) -> Option<u32> {
        self.is_looked_for().then_some(self.at_least)
    }

    /// Living propagules that are rooted; `None` until they were looked for in every unit.
    pub fn rooted(&self) -> Option<u32> {
        self.is_looked_for().then_some(self.rooted_alive)
    }

    /// Whether roots were looked for in every unit.
    pub fn is_looked_for(&self) -> bool {
        self.looked_for == self.started && self.started > 0
    }

    /// Propagules that the next count has to account for.
    pub fn left_to_count(&self) -> u32 {
        self.alive() + self.not_known
    }

    /// What succeeded before the end: alive and rooted, and those that went as finished by then.
    pub fn succeeded(&self) -> Option<u32> {
        self.rooted().map(|rooted| rooted + self.left_finished)
    }
}

impl Add for Row {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        let either = |a: Option<u32>, b: Option<u32>| match (a, b) {
            (None, None) => None,
            (a, b) => Some(a.unwrap_or(0) + b.unwrap_or(0)),
        };
        Self {
            started: self.started + other.started,
            waiting: self.waiting + other.waiting,
            rooted_alive: self.rooted_alive + other.rooted_alive,
            established: either(self.established, other.established),
            finished: either(self.finished, other.finished),
            callused: either(self.callused, other.callused),
            not_known: self.not_known + other.not_known,
            dead: self.dead + other.dead,
            dead_rooted: self.dead_rooted + other.dead_rooted,
            lost: self.lost + other.lost,
            lost_rooted: self.lost_rooted + other.lost_rooted,
            left_finished: self.left_finished + other.left_finished,
            left_below: self.left_below + other.left_below,
            at_least: self.at_least + other.at_least,
            looked_for: self.looked_for + other.looked_for,
        }
    }
}

impl Sum for Row {
    fn sum<I: Iterator<Item = Self>>(rows: I) -> Self {
        rows.fold(Self::default(), Add::add)
    }
}
