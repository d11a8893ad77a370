//! Places: what a grower knows of the climate, and what would be published of it.

use std::fmt::Write;

use propagule_protocol::place::{Class, Climate, Hemisphere, Place, koppen, koppen_of_six};
use serde_json::json;

use super::{App, Reply};
use propagule_bench::Event;
use propagule_files::fault::Fault;

/// Writes a place down and shows what it becomes.
pub(super) fn set(app: &App, name: &str, place: &Place) -> Result<Reply, Fault> {
    check_name("a place", name)?;
    place.climate.check().map_err(|e| Fault::user("place-malformed").with("name", &name).with("e", &e))?;
    app.bench().record(Event::PlaceSet { name: name.to_owned(), place: place.clone() })?;
    let text = format!("Saved the place \"{name}\". {}{}", becomes(place), describe(place));
    let mut json = to_json(name, place);
    json["format"] = "propagule.place/1".into();
    Ok(Reply::report(text, json))
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
    Err(Fault::usage("name-malformed").with("name", &name).with("what", &what))
}

/// All places.
pub(super) fn show(app: &App) -> Reply {
    let bench = app.bench();
    let mut text = String::new();
    for (name, place) in bench.places() {
        let _ = writeln!(text, "{name}: {}{}", becomes(place), describe(place).trim_end());
    }
    if text.is_empty() {
        text.push_str(
            "No place yet. Zone and hemisphere are enough: propagule place --zone 8b --hemisphere north\n",
        );
    }
    let places: Vec<_> = bench.places().map(|(name, place)| to_json(name, place)).collect();
    Reply::report(text, json!({ "format": "propagule.places/1", "places": places }))
}

/// What the numbers of a climate come to.
struct Sums {
    class: Class,
    coldest: f64,
    hottest: f64,
    rain: f64,
}

fn sums(climate: &Climate) -> Option<Sums> {
    match climate {
        Climate::None => None,
        Climate::Six { coldest, hottest, rain, .. } => {
            let class = koppen_of_six(climate)?;
            Some(Sums { class, coldest: *coldest, hottest: *hottest, rain: *rain })
        }
        Climate::Twelve { temperature, rain } => Some(Sums {
            class: koppen(temperature, rain),
            coldest: temperature.iter().copied().fold(f64::INFINITY, f64::min),
            hottest: temperature.iter().copied().fold(f64::NEG_INFINITY, f64::max),
            rain: rain.iter().sum(),
        }),
    }
}

/// What the numbers become, in lines; nothing of it leaves but by [`describe`].
fn becomes(place: &Place) -> String {
    let mut text = "It becomes:\n".to_owned();
    if let Some(Sums { class, coldest, hottest, rain }) = sums(&place.climate) {
        let from =
            if matches!(place.climate, Climate::Twelve { .. }) { "twelve months" } else { "six numbers" };
        let _ = writeln!(text, "  Köppen–Geiger class {class}, from {from}, with 0 °C between C and D");
        let _ = writeln!(
            text,
            "  coldest month {coldest:.1} °C, hottest month {hottest:.1} °C, rain {rain:.0} mm a year"
        );
    }
    if let Some(zone) = place.zone {
        let _ = writeln!(text, "  hardiness half-zone {zone}");
    }
    text.push_str(match place.hemisphere {
        Hemisphere::North => "  seasons of the north: what is put in during June counts as June\n",
        Hemisphere::South => {
            "  seasons of the south, moved by six months: what is put in during December counts as June\n"
        }
    });
    text
}

fn describe(place: &Place) -> String {
    let words = place.region().words();
    let parts: Vec<String> = words.iter().map(|(what, value)| format!("{what} {value}")).collect();
    if parts.is_empty() {
        return "Nothing of it could be published yet: a hardiness zone is needed at least.\n".to_owned();
    }
    format!(
        "Only this would ever be published of it: {}. It stays on this machine otherwise.\n",
        parts.join(", ")
    )
}

fn to_json(name: &str, place: &Place) -> serde_json::Value {
    let region: serde_json::Map<String, serde_json::Value> = place
        .region()
        .words()
        .into_iter()
        .map(|(what, value)| (what.replace(' ', "_"), value.into()))
        .collect();
    let sums = sums(&place.climate);
    let climate = sums.map(|sums| {
        json!({
            "koppen": sums.class.to_string(), "coldest_month": sums.coldest, "hottest_month": sums.hottest,
            "yearly_rain": sums.rain,
        })
    });
    let shift = if place.hemisphere == Hemisphere::South { 6 } else { 0 };
    json!({
        "name": name, "climate": climate, "half_zone": place.zone.map(|zone| zone.to_string()),
        "season_shift_months": shift, "published_region": region,
    })
}
