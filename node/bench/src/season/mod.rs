//! A trial with all that happened to it, put in the order of its days.

mod fault;
mod imported;
mod stages;
mod sums;

use propagule_protocol::Date;

pub use fault::SeasonFault;
pub use stages::StageRow;

use super::entry::{Entry, Fate, Law, Tally, What};
use super::fates::{Standing, Taken};
use super::trial::{Stage, Trial};
use crate::dates::When;

/// A trial and its entries in the order of their days.
#[derive(Clone, Debug)]
pub struct Season<'a> {
    /// As described.
    pub trial: &'a Trial,
    /// Number and entry, by day and then by number.
    pub entries: Vec<(u64, &'a Entry)>,
    /// One line for each replicate, or for each arm without any.
    pub units: Vec<Unit>,
    /// Entries that contradict an earlier one; they are left out.
    pub faults: Vec<(u64, SeasonFault)>,
}

/// Number of a count that came with a table.
pub const IMPORTED: u64 = 0;

/// The smallest thing that is counted: a replicate, or an arm without any.
#[derive(Clone, Debug, PartialEq)]
pub struct Unit {
    /// Number of the arm.
    pub arm: u8,
    /// The replicate.
    pub replicate: Option<String>,
    /// Pieces put in.
    pub started: u16,
    /// After each count that said something of it.
    pub points: Vec<Point>,
}

/// A replicate after a count.
#[derive(Clone, Debug, PartialEq)]
pub struct Point {
    /// Number of the entry.
    pub entry: u64,
    /// The day.
    pub on: When,
    /// The stage; none for a check, or for pieces that left.
    pub stage: Option<Stage>,
    /// What was counted, with what follows from it.
    pub tally: Tally,
    /// How the pieces stood afterwards.
    pub standing: Standing,
}

impl Unit {
    /// How its pieces stand now.
    pub fn standing(&self) -> Standing {
        self.points.last().map_or_else(|| Standing::fresh(self.started), |point| point.standing.clone())
    }

    /// How its pieces stood after all that was entered for this day or earlier.
    pub fn standing_on(&self, day: Date) -> Standing {
        let known = self.points.iter().rev().find(|point| point.on.middle() <= day);
        known.map_or_else(|| Standing::fresh(self.started), |point| point.standing.clone())
    }

    /// The last count that said something of it, up to and with a day.
    pub fn last_point(&self, day: Date) -> Option<&Point> {
        self.points.iter().rev().find(|point| point.on.middle() <= day)
    }

    /// What a grower calls it.
    pub fn label<'a>(&'a self, trial: &'a Trial) -> &'a str {
        self.replicate.as_deref().unwrap_or_else(|| trial.arm(self.arm).map_or("", |arm| arm.label.as_str()))
    }
}

impl<'a> Season<'a> {
    /// Puts a trial together with `entries`, of which those about other trials are passed over.
    pub fn new(trial: &'a Trial, entries: impl Iterator<Item = (u64, &'a Entry)>) -> Self {
        let mut entries: Vec<_> =
            entries.filter(|(_, entry)| entry.what.trial() == Some(trial.code.as_str())).collect();
        entries.sort_by_key(|(number, entry)| (entry.on.middle(), *number));
        let mut season = Self { trial, entries, units: units(trial), faults: Vec::new() };
        let mut imported = imported::points(trial);
        for (number, entry) in season.entries.clone() {
            season.bring_in(&mut imported, Some(entry.on.middle()));
            if let Err(fault) = season.apply(number, entry) {
                season.faults.push((number, fault));
            }
        }
        season.bring_in(&mut imported, None);
        season
    }

    /// Counts that came with a table, up to and with a day; a fault in them was refused when the table was read.
    fn bring_in(&mut self, imported: &mut Vec<imported::Imported>, until: Option<Date>) {
        let is_now = |counts: &imported::Imported| until.is_none_or(|day| counts.on.middle() <= day);
        for counts in imported.extract_if(.., |counts| is_now(counts)).collect::<Vec<_>>() {
            let Ok(unit) = self.unit_mut(counts.arm, None) else { continue };
            if let Some((standing, tally)) = counts.onto(&unit.standing()) {
                let stage = Some(counts.stage);
                unit.points.push(Point { entry: IMPORTED, on: counts.on, stage, tally, standing });
            }
        }
    }

    fn apply(&mut self, number: u64, entry: &Entry) -> Result<(), SeasonFault> {
        match &entry.what {
            What::Counted { stage, tallies, law, .. } => {
                let taken = Taken { on: entry.on, stage: *stage, rest: None, law: *law };
                self.count_all(number, tallies, taken)?;
            }
            What::Left { arm, replicate, pieces, at_grade, .. } => {
                let unit = self.unit_mut(*arm, replicate.as_deref())?;
                let standing = unit.standing().left(*pieces, *at_grade)?;
                let tally = Tally { arm: *arm, replicate: replicate.clone(), ..Tally::default() };
                unit.points.push(Point { entry: number, on: entry.on, stage: None, tally, standing });
            }
            What::Closed { rest: Some(fate), .. } => {
                let taken = Taken { on: entry.on, stage: None, rest: None, law: Law::Fates };
                let tallies: Vec<Tally> = self.units.iter().filter_map(|unit| closing(unit, *fate)).collect();
                self.count_all(number, &tallies, taken)?;
            }
            _ => {}
        }
        Ok(())
    }

    /// Counts all places of an entry, or none of them.
    fn count_all(&mut self, number: u64, tallies: &[Tally], taken: Taken) -> Result<(), SeasonFault> {
        let mut counted = Vec::new();
        for tally in tallies {
            self.check_order(tally.arm, taken)?;
            let unit = self.unit_mut(tally.arm, tally.replicate.as_deref())?;
            let (standing, tally) = unit.standing().after(tally, taken)?;
            counted.push(Point { entry: number, on: taken.on, stage: taken.stage, tally, standing });
        }
        for point in counted {
            self.unit_mut(point.tally.arm, point.tally.replicate.clone().as_deref())?.points.push(point);
        }
        Ok(())
    }

    /// An arm goes through its stages in their order.
    fn check_order(&self, arm: u8, taken: Taken) -> Result<(), SeasonFault> {
        let Some(stage) = taken.stage.filter(|_| taken.law == Law::Fates) else { return Ok(()) };
        let points = self.of_arm(arm).flat_map(|unit| &unit.points);
        let later = points.filter_map(|point| Some((point.stage.filter(|other| *other > stage)?, point.on)));
        later.last().map_or(Ok(()), |(other, on)| {
            Err(SeasonFault::Order { counted: (stage, taken.on), before: (other, on) })
        })
    }

    fn unit_mut(&mut self, arm: u8, replicate: Option<&str>) -> Result<&mut Unit, SeasonFault> {
        let found =
            self.units.iter_mut().find(|unit| unit.arm == arm && unit.replicate.as_deref() == replicate);
        found.ok_or_else(|| SeasonFault::Gone(replicate.map(str::to_owned)))
    }

    /// Units of an arm.
    pub fn of_arm(&self, arm: u8) -> impl Iterator<Item = &Unit> {
        self.units.iter().filter(move |unit| unit.arm == arm)
    }

    /// The last day on which anybody looked.
    pub fn last_look(&self) -> Option<&When> {
        let looked =
            |entry: &&(u64, &Entry)| matches!(entry.1.what, What::Looked { .. } | What::Counted { .. });
        self.entries.iter().rev().find(looked).map(|(_, entry)| &entry.on)
    }

    /// The entry that closed the trial, where it is closed.
    pub fn closed(&self) -> Option<(u64, &'a Entry)> {
        self.entries.iter().rev().find(|(_, entry)| matches!(entry.what, What::Closed { .. })).copied()
    }

    /// The last day on which something was counted between the stages.
    pub fn last_check(&self) -> Option<When> {
        let days = self.entries.iter().filter_map(|(_, entry)| match entry.what {
            What::Counted { stage: None, .. } => Some(entry.on),
            _ => None,
        });
        days.max_by_key(When::middle)
    }

    /// Pieces that are left on its places; what the closing of a trial left there is nobody's to count.
    pub fn is_anything_left(&self) -> bool {
        self.units.iter().any(|unit| unit.standing().base() > 0)
    }

    /// The day of a stage's counts, the last one where there are several.
    pub fn counted_on(&self, stage: Stage) -> Option<&When> {
        let is_stage = |entry: &&(u64, &Entry)| matches!(&entry.1.what, What::Counted { stage: Some(found), .. } if *found == stage);
        self.entries.iter().rev().find(is_stage).map(|(_, entry)| &entry.on)
    }
}

/// What became of the pieces of a unit when the trial was closed.
fn closing(unit: &Unit, fate: Fate) -> Option<Tally> {
    let left = Some(unit.standing().base()).filter(|left| *left > 0)?;
    let blank =
        Tally { arm: unit.arm, replicate: unit.replicate.clone(), alive: Some(0), ..Tally::default() };
    Some(match fate {
        Fate::Dead => Tally { dead: Some(left), ..blank },
        Fate::Lost => Tally { lost: Some(left), ..blank },
        Fate::NotKnown => Tally { not_known: Some(left), ..blank },
    })
}

fn units(trial: &Trial) -> Vec<Unit> {
    let unit = |arm: u8, replicate: Option<String>, started: u16| Unit {
        arm,
        replicate,
        started,
        points: Vec::new(),
    };
    trial
        .arms
        .iter()
        .flat_map(|arm| {
            if arm.replicates.is_empty() {
                vec![unit(arm.number, None, arm.started)]
            } else {
                arm.replicates.iter().map(|r| unit(arm.number, Some(r.code.clone()), r.started)).collect()
            }
        })
        .collect()
}

#[cfg(test)]
mod properties;
#[cfg(test)]
pub(crate) mod tests;
