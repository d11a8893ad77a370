//! The tidy table: a row for each unit and day with an entry of its trial, as it stood after that day.
//!
//! All counts are those of [`super::Row`], so that the table says what every other figure of the program says.

mod cells;
mod columns;
mod day;

pub use columns::{COLUMNS, Column, KEY, Kind, descriptor};

use std::collections::BTreeMap;

use super::{Bench, Season, Trial};
use cells::Cells;
use day::{DayOf, days};

/// Name of the table's file.
pub const TABLE: &str = "bench-table.csv";
/// Name of the file that describes the table.
pub const DESCRIPTOR: &str = "datapackage.json";
/// The descriptor as it is handed out; [`descriptor`] says the same.
pub const DESCRIPTOR_TEXT: &str = include_str!("datapackage.json");

/// The header and all rows: trials by code, in each the days in order, on each day the units as laid out.
pub fn table(bench: &Bench) -> Vec<Vec<String>> {
    let header = COLUMNS.iter().map(|column| column.name.to_owned()).collect();
    let mut rows = vec![header];
    for trial in bench.trials() {
        rows.extend(rows_of(bench, trial).into_iter().map(Cells::into_row));
    }
    rows
}

/// The rows of one trial.
fn rows_of(bench: &Bench, trial: &Trial) -> Vec<Cells> {
    let season = bench.season(trial);
    let mut rows = Vec::new();
    let mut of_trial = Cells::default();
    of_trial.of_trial(bench, trial);
    for day in days(&season) {
        // Where an arm stands is the same for all its units, and takes a look at all care of the spot.
        let mut places: BTreeMap<u8, Cells> = BTreeMap::new();
        for unit in season.units.iter().filter(|unit| day.concerns(&season, unit)) {
            let place = places.entry(unit.arm).or_insert_with(|| {
                let mut cells = of_trial.clone();
                cells.of_place(bench, &season, unit.arm, day.date());
                cells
            });
            rows.push(row(bench, &season, unit, &day, place.clone()));
        }
    }
    rows
}

fn row(bench: &Bench, season: &Season<'_>, unit: &super::Unit, day: &DayOf<'_>, place: Cells) -> Cells {
    let mut cells = place;
    cells.of_unit(season.trial, unit);
    cells.of_day(season, unit, day);
    cells.of_pieces(bench, season.trial, unit, day);
    cells
}

#[cfg(test)]
mod tests;
