//! The days of a trial, with what was entered on each.

use std::collections::BTreeMap;

use propagule_protocol::Date;

use crate::dates::When;
use crate::season::IMPORTED;
use crate::{Entry, Season, Stage, Unit, What};

/// A day of a trial.
#[derive(Debug)]
pub(super) struct DayOf<'a> {
    date: Date,
    /// Days that were said, each with this one in its middle.
    said: Vec<When>,
    /// What was entered, by number.
    entries: Vec<(u64, &'a Entry)>,
}

/// Every day on which something of the trial was entered or its pieces were put in, in order.
pub(super) fn days<'a>(season: &Season<'a>) -> Vec<DayOf<'a>> {
    let mut days: BTreeMap<Date, DayOf<'a>> = BTreeMap::new();
    let mut said = |on: When, entry: Option<(u64, &'a Entry)>| {
        let empty = || DayOf { date: on.middle(), said: Vec::new(), entries: Vec::new() };
        let day = days.entry(on.middle()).or_insert_with(empty);
        day.said.push(on);
        day.entries.extend(entry);
    };
    for arm in &season.trial.arms {
        said(season.trial.started_of(arm), None);
    }
    for (number, entry) in &season.entries {
        said(entry.on, Some((*number, entry)));
    }
    for point in season.units.iter().flat_map(|unit| &unit.points).filter(|point| point.entry == IMPORTED) {
        said(point.on, None);
    }
    days.into_values().collect()
}

impl DayOf<'_> {
    /// The day, of a range its middle.
    pub(super) fn date(&self) -> Date {
        self.date
    }

    /// The first and the last possible day.
    pub(super) fn range(&self) -> (Date, Date) {
        let first = self.said.iter().map(|on| on.first).min().unwrap_or(self.date);
        let last = self.said.iter().map(|on| on.last).max().unwrap_or(self.date);
        (first, last)
    }

    /// Whether the unit was put in by then, or already has a count.
    pub(super) fn concerns(&self, season: &Season<'_>, unit: &Unit) -> bool {
        let started = season.trial.arm(unit.arm).map(|arm| season.trial.started_of(arm));
        started.is_none_or(|started| started.middle() <= self.date) || unit.last_point(self.date).is_some()
    }

    /// Whether the pieces of the unit were put in on this day, or are to be.
    pub(super) fn is_start_of(&self, season: &Season<'_>, unit: &Unit) -> bool {
        let started = season.trial.arm(unit.arm).map(|arm| season.trial.started_of(arm).middle());
        started == Some(self.date)
    }

    /// Whether somebody counted the unit on this day, or pieces of it left.
    pub(super) fn counts(&self, unit: &Unit) -> bool {
        unit.points.iter().any(|point| point.on.middle() == self.date)
    }

    /// What happened to the unit: a count before a departure, that before a move, and that before a look.
    pub(super) fn event(&self, season: &Season<'_>, unit: &Unit) -> &'static str {
        let starts = self.is_start_of(season, unit);
        if season.trial.is_planned {
            return if starts { "planned" } else { "carried" };
        }
        if self.counts(unit) {
            let only_left =
                unit.points.iter().filter(|point| point.on.middle() == self.date).all(|point| {
                    self.entry(point.entry).is_some_and(|e| matches!(e.what, What::Left { .. }))
                });
            return if only_left { "left" } else { "counted" };
        }
        if starts {
            return "stuck";
        }
        let is_any = |of: &dyn Fn(&What) -> bool| self.entries.iter().any(|(_, entry)| of(&entry.what));
        if is_any(&|what| is_put_elsewhere(what, unit.arm)) {
            "moved"
        } else if is_any(&|what| is_look(what, unit.arm)) {
            "looked"
        } else {
            "carried"
        }
    }

    /// The stage at which any unit of the arm was counted on this day, the latest.
    pub(super) fn stage(&self, season: &Season<'_>, arm: u8) -> Option<Stage> {
        let points = season.of_arm(arm).flat_map(|unit| &unit.points);
        points.filter(|point| point.on.middle() == self.date).filter_map(|point| point.stage).max()
    }

    /// Numbers of its entries.
    pub(super) fn numbers(&self) -> impl Iterator<Item = u64> {
        self.entries.iter().map(|(number, _)| *number)
    }

    /// Notes of its entries.
    pub(super) fn notes(&self) -> impl Iterator<Item = &str> {
        self.entries.iter().filter_map(|(_, entry)| entry.note.as_deref())
    }

    fn entry(&self, number: u64) -> Option<&Entry> {
        self.entries.iter().find(|(other, _)| *other == number).map(|(_, entry)| *entry)
    }
}

fn is_put_elsewhere(what: &What, arm: u8) -> bool {
    matches!(what, What::Moved { arms, .. } | What::Stood { arms, .. } if arms.contains(&arm))
}

fn is_look(what: &What, arm: u8) -> bool {
    match what {
        What::Looked { .. } => true,
        What::Suckers { removed, .. } => removed.iter().any(|(other, _)| *other == arm),
        _ => false,
    }
}
