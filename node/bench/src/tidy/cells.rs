//! The cells of a row: each part of a row is read from the one place that knows it.

use std::collections::BTreeMap;

use propagule_protocol::{Date, Facet, Facets, Taxon};

use super::columns::COLUMNS;
use super::day::DayOf;
use crate::design::{block_of, unit_is_piece};
use crate::{Bench, Row, Season, Trial, Unit, What};

/// Cells that are not blank, by column.
#[derive(Clone, Debug, Default)]
pub(super) struct Cells(BTreeMap<&'static str, String>);

impl Cells {
    /// All cells in the order of the columns.
    pub(super) fn into_row(mut self) -> Vec<String> {
        COLUMNS.iter().map(|column| self.0.remove(column.name).unwrap_or_default()).collect()
    }

    fn put<T: ToString + ?Sized>(&mut self, column: &'static str, cell: &T) {
        debug_assert!(COLUMNS.iter().any(|known| known.name == column), "{column}");
        self.0.insert(column, cell.to_string());
    }

    fn put_known(&mut self, column: &'static str, cell: Option<impl ToString>) {
        if let Some(cell) = cell {
            self.put(column, &cell);
        }
    }

    /// What the trial says of all its rows.
    pub(super) fn of_trial(&mut self, bench: &Bench, trial: &Trial) {
        self.put("trial", &trial.code);
        self.put("series", &trial.series);
        let parent = trial.parent.as_deref().and_then(|code| bench.trial(code));
        self.put_known("parent", parent.map(|parent| &parent.series));
        self.put_known("relation", parent.map(|_| trial.relation.unwrap_or_default().word()));
        self.put_known("grower", trial.entered_for.as_ref().map(|other| &other.name));
        let taxon = Taxon::parse(&trial.species).map(|taxon| bench.synonyms().accepted(&taxon));
        self.put("species", &taxon.map_or_else(|_| trial.species.clone(), |taxon| taxon.to_string()));
        self.put("species_typed", trial.species_typed.as_ref().unwrap_or(&trial.species));
        self.put_known("question", trial.question.as_ref());
        self.put("private", &trial.is_private);
    }

    /// What the arm and the replicate are.
    pub(super) fn of_unit(&mut self, trial: &Trial, unit: &Unit) {
        let Some(arm) = trial.arm(unit.arm) else { return };
        let at = arm.replicates.iter().position(|one| Some(&one.code) == unit.replicate.as_ref());
        let replicate = at.map(|at| &arm.replicates[at]);
        let block = at.and_then(|at| block_of(trial, at, &arm.replicates[at]));
        self.put("arm", &arm.number);
        self.put("arm_label", &arm.label);
        self.put("is_control", &(trial.control == Some(arm.number)));
        self.put("pot", unit.label(trial));
        self.put("unit", if unit_is_piece(trial) { "piece" } else { "pot" });
        let stock = replicate.and_then(|one| one.stock_plant.as_ref());
        let operator = replicate.and_then(|one| one.operator.as_ref());
        self.put_known("block", block.as_ref().or(stock).or(operator));
        self.put_known("stock_plant", stock.or(arm.stock_plant.as_ref()));
        self.put_known("operator", operator.or(arm.operator.as_ref()));
    }

    /// Where the arm stood that day, and the facets that were in force there.
    pub(super) fn of_place(&mut self, bench: &Bench, season: &Season<'_>, arm: u8, day: Date) {
        self.put_known("spot", bench.spot_of(season, arm, day));
        for (name, words) in bench.facets_in_force(season, arm, day) {
            if let Some(facet) = Facet::from_name(&name) {
                self.facet(facet, &words);
            }
        }
    }

    /// A facet: a code in the words of the schema, a number as a number, and what has a form of its own as typed.
    fn facet(&mut self, facet: Facet, words: &str) {
        let Some(column) = COLUMNS.iter().find(|column| column.name == facet.name()) else { return };
        let mut facets = Facets::default();
        let is_read = facets.set(facet, words).is_ok();
        match facet {
            // The column holds degrees: heat that was not measured has none.
            Facet::BottomHeat => self.put_known(column.name, facets.bottom_heat),
            Facet::Bbch => self.put_known(column.name, facets.bbch),
            Facet::TipNodesRemoved => self.put_known(column.name, facets.tip_nodes_removed),
            _ => {
                let code = facets.code(facet).filter(|_| is_read).and_then(|_| facets.word(facet));
                self.put(column.name, &code.unwrap_or_else(|| words.to_owned()));
            }
        }
    }

    /// What was entered on the day.
    pub(super) fn of_day(&mut self, season: &Season<'_>, unit: &Unit, day: &DayOf<'_>) {
        let date = day.date();
        let (first, last) = day.range();
        self.put("date", &date);
        self.put("date_first", &first);
        self.put("date_last", &last);
        let started = season.trial.arm(unit.arm).map(|arm| season.trial.started_of(arm).middle());
        self.put_known("days", started.map(|started| date.days_since(started)));
        self.put("event", day.event(season, unit));
        self.put_known("stage", day.stage(season, unit.arm).map(crate::Stage::word));
        let is_start = day.is_start_of(season, unit) && !season.trial.is_planned;
        self.put("counted", &(day.counts(unit) || is_start));
        let causes = unit.points.iter().filter(|point| point.on.middle() == date);
        self.put_joined("causes", causes.filter_map(|point| point.tally.cause.clone()));
        self.put_joined("note", day.notes().map(str::to_owned));
        let until = || season.entries.iter().filter(|(_, entry)| entry.on.middle() <= date);
        let removed = until().filter_map(|(_, entry)| match &entry.what {
            What::Suckers { removed, .. } => {
                removed.iter().find(|(arm, _)| *arm == unit.arm).map(|(_, removed)| u32::from(*removed))
            }
            _ => None,
        });
        self.put_known("suckers_removed", removed.reduce(|all, removed| all + removed));
        self.put("closed", &until().any(|(_, entry)| matches!(entry.what, What::Closed { .. })));
    }

    fn put_joined(&mut self, column: &'static str, parts: impl Iterator<Item = String>) {
        let mut parts: Vec<String> = parts.collect();
        parts.dedup();
        if !parts.is_empty() {
            self.put(column, &parts.join("; "));
        }
    }

    /// Where its pieces are after the day; blank while nothing has been put in.
    pub(super) fn of_pieces(&mut self, bench: &Bench, trial: &Trial, unit: &Unit, day: &DayOf<'_>) {
        let began = bench.began(&trial.code);
        self.put("planned", &began.and_then(|began| began.planned_of(unit)).unwrap_or(unit.started));
        let starts = trial.arm(unit.arm).is_some_and(|arm| trial.started_of(arm).middle() == day.date());
        let begin = began.filter(|_| starts).map(|began| began.put_in.unwrap_or(began.set_up));
        let numbers = begin.into_iter().chain(day.numbers());
        self.put("entries", &numbers.map(|number| number.to_string()).collect::<Vec<_>>().join(";"));
        if trial.is_planned {
            return;
        }
        let row = unit.row_on(day.date());
        self.of_row(&row);
        let ever = if starts && !day.counts(unit) { Some(0) } else { row.ever_rooted() };
        self.put_known("ever_rooted", ever);
        let looked = unit.standing_on(day.date()).roots_looked;
        self.put_known("roots_looked", looked.map(|on| on.middle()));
    }

    fn of_row(&mut self, row: &Row) {
        self.put("started", &row.started);
        self.put("alive", &row.alive());
        self.put("waiting", &row.waiting);
        self.put("rooted_alive", &row.rooted_alive);
        self.put_known("established_alive", row.established);
        self.put_known("finished_alive", row.finished);
        self.put_known("callused", row.callused);
        self.put("not_known", &row.not_known);
        self.put("dead", &row.dead);
        self.put("dead_rooted", &row.dead_rooted);
        self.put("lost", &row.lost);
        self.put("lost_rooted", &row.lost_rooted);
        self.put("left_finished", &row.left_finished);
        self.put("left_below", &row.left_below);
    }
}
