//! Places: what a grower knows of the climate, and what would be published of it.

use propagule_protocol::place::{
    Class, Climate, DayEdge, Hemisphere, Place, day_length, koppen, koppen_of_six,
};

use super::outcome::Outcome;
use super::outcome::place::{ClimateFacts, DayLength, PlaceFacts, PlaceSaved, Places};
use super::{App, Reply};
use propagule_bench::Event;
use propagule_files::fault::Fault;

/// Days of the year on which the day is longest and shortest: 21 June and 21 December.
const SOLSTICES: [u16; 2] = [172, 355];

/// Writes a place down and shows what it becomes; the latitude is not kept.
pub(super) fn set(app: &App, name: &str, place: &Place, latitude: Option<f64>) -> Result<Reply, Fault> {
    check_name("place", name)?;
    place.climate.check().map_err(|e| Fault::user("place-malformed").with("name", name).with("e", &e))?;
    app.bench().record(Event::PlaceSet { name: name.to_owned(), place: place.clone() })?;
    let day_length_hours = latitude.map(|latitude| {
        let [june, december] = SOLSTICES.map(|day| day_length(latitude, day, DayEdge::Sunrise));
        DayLength { june, december }
    });
    Ok(Reply::done(Outcome::PlaceSaved(PlaceSaved { place: facts(name, place), day_length_hours })))
}

/// A name that a table's column and a command line can hold.
pub(super) fn check_name(what: &str, name: &str) -> Result<(), Fault> {
    let fits = (1..=60).contains(&name.chars().count())
        && name.trim() == name
        && !name.starts_with('-')
        && !name.contains(char::is_control);
    if fits {
        return Ok(());
    }
    Err(Fault::usage("name-malformed").with("name", name).with("what", what))
}

/// All places.
pub(super) fn show(app: &App) -> Reply {
    let places = app.bench().places().map(|(name, place)| facts(name, place)).collect();
    Reply::done(Outcome::Places(Places { places }))
}

fn facts(name: &str, place: &Place) -> PlaceFacts {
    let region = place.region().words().into_iter();
    PlaceFacts {
        name: name.to_owned(),
        climate: climate(&place.climate),
        half_zone: place.zone.map(|zone| zone.to_string()),
        season_shift_months: if place.hemisphere == Hemisphere::South { 6 } else { 0 },
        published_region: region.map(|(what, value)| (what.replace(' ', "_"), value)).collect(),
    }
}

fn climate(climate: &Climate) -> Option<ClimateFacts> {
    let facts = |class: Class, [coldest_month, hottest_month, yearly_rain]: [f64; 3], numbers| ClimateFacts {
        koppen: class.to_string(),
        coldest_month,
        hottest_month,
        yearly_rain,
        numbers,
    };
    match climate {
        Climate::None => None,
        Climate::Six { coldest, hottest, rain, .. } => {
            Some(facts(koppen_of_six(climate)?, [*coldest, *hottest, *rain], 6))
        }
        Climate::Twelve { temperature, rain } => {
            let coldest = temperature.iter().copied().fold(f64::INFINITY, f64::min);
            let hottest = temperature.iter().copied().fold(f64::NEG_INFINITY, f64::max);
            Some(facts(koppen(temperature, rain), [coldest, hottest, rain.iter().sum()], 12))
        }
    }
}
