//! A trial with all that happened to it, put in the order of its days.

mod imported;
mod stages;
mod standing;

use propagule_protocol::Date;

pub use standing::{Rest, Standing, TallyFault};

use super::entry::{Entry, Tally, What};
use super::trial::{Stage, Trial};
use crate::paper::dates::When;

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
    pub faults: Vec<(u64, String)>,
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
        self.points.last().map_or(Standing::fresh(self.started), |point| point.standing)
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
            let before = unit.standing();
            if let Some((standing, tally)) = counts.onto(before) {
                let stage = Some(counts.stage);
                unit.points.push(Point { entry: IMPORTED, on: counts.on, stage, tally, standing });
            }
        }
    }

    fn apply(&mut self, number: u64, entry: &Entry) -> Result<(), String> {
        match &entry.what {
            What::Counted { stage, tallies, .. } => {
                for tally in tallies {
                    self.count(number, entry.on, *stage, tally)?;
                }
            }
            What::Left { arm, replicate, pieces, at_grade, .. } => {
                let unit = self.unit_mut(*arm, replicate.as_deref())?;
                let standing = unit.standing().left(*pieces, *at_grade).map_err(|e| e.to_string())?;
                let tally = Tally { arm: *arm, replicate: replicate.clone(), ..Tally::default() };
                unit.points.push(Point { entry: number, on: entry.on, stage: None, tally, standing });
            }
            _ => {}
        }
        Ok(())
    }

    fn count(&mut self, number: u64, on: When, stage: Option<Stage>, tally: &Tally) -> Result<(), String> {
        let unit = self.unit_mut(tally.arm, tally.replicate.as_deref())?;
        let (standing, tally) = unit.standing().after(tally, stage, None).map_err(|e| e.to_string())?;
        unit.points.push(Point { entry: number, on, stage, tally, standing });
        Ok(())
    }

    fn unit_mut(&mut self, arm: u8, replicate: Option<&str>) -> Result<&mut Unit, String> {
        let found =
            self.units.iter_mut().find(|unit| unit.arm == arm && unit.replicate.as_deref() == replicate);
        found.ok_or_else(|| format!("there is no {} any more", replicate.unwrap_or("such arm")))
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

    /// The day of a stage's counts, the last one where there are several.
    pub fn counted_on(&self, stage: Stage) -> Option<&When> {
        let is_stage = |entry: &&(u64, &Entry)| matches!(&entry.1.what, What::Counted { stage: Some(found), .. } if *found == stage);
        self.entries.iter().rev().find(is_stage).map(|(_, entry)| &entry.on)
    }
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
pub(crate) mod tests;
