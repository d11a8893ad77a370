//! Sites of growers: `grower,temp,rain`, mean temperature in °C and rain in mm, by the year.

use std::collections::BTreeMap;

use crate::row::Site;
use propagule_files::fault::{Fault, Problem};
use propagule_files::table::{Problems, Table, TableOf, TableRow};

/// Columns of a sites table.
pub const SITE_COLUMNS: [&str; 3] = ["grower", "temp", "rain"];

/// Sites by the grower's label.
pub type Sites = BTreeMap<String, Site>;

/// mm a year; the wettest places on earth have about 12 m.
const MOST_RAIN: f64 = 15_000.0;

/// Reads a sites table.
///
/// # Errors
/// Everything found wrong: blanks, text where a number belongs, rain of 0 or less, a
/// temperature no place on earth has, a grower listed twice.
pub fn read_sites(file: &str, bytes: &[u8]) -> Result<Sites, Fault> {
    let table = Table::read(TableOf::Sites, file, bytes, &SITE_COLUMNS)?;
    let mut problems = Problems::default();
    let mut sites = Sites::new();
    for row in &table.rows {
        let Some((grower, site)) = check_site(&table, row, &mut problems) else { continue };
        if sites.insert(grower.clone(), site).is_some() {
            let fault = Fault::user("grower-with-two-sites").with("grower", grower);
            problems.add(Problem::of_cell(row.line, "grower", fault));
        }
    }
    problems.settle(TableOf::Sites, file, sites)
}

fn check_site(table: &Table, row: &TableRow, problems: &mut Problems) -> Option<(String, Site)> {
    let grower = table.needed(row, "grower", problems).map(str::to_owned);
    let temp = table.needed_decimal(row, "temp", problems);
    let rain = table.needed_decimal(row, "rain", problems);
    let site = Site { temp: temp?, rain: rain? };
    if !(0.0..=MOST_RAIN).contains(&site.rain) || site.rain == 0.0 {
        let fault = Fault::user("site-without-such-rain").with("rain", site.rain);
        problems.add(Problem::of_cell(row.line, "rain", fault));
        return None;
    }
    if !(-40.0..=45.0).contains(&site.temp) {
        let fault = Fault::user("site-without-such-mean").with("temp", site.temp);
        problems.add(Problem::of_cell(row.line, "temp", fault));
        return None;
    }
    Some((grower?, site))
}
