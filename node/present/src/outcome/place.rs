//! Places in words.

use crate::document::{Document, List};
use crate::kind::units::{rain, tenths};
use crate::words::{any_kind, published};

use propagule_app::outcome::place::{DayLength, PlaceFacts, PlaceSaved, Places};

/// A place was described.
pub(super) fn saved(saved: &PlaceSaved) -> Document {
    let title = format!("Saved the site \"{}\". It becomes:", saved.place.name);
    described(Document::new(), title, &saved.place)
        .append(saved.day_length_hours.map(day_length).unwrap_or_default())
}

/// All places.
pub(super) fn all(places: &Places) -> Document {
    if places.places.is_empty() {
        return Document::new()
            .say("No site yet. Zone and hemisphere are enough: propagule site --zone 8b --hemisphere north");
    }
    Document::new()
        .each(&places.places, |said, place| described(said, format!("{}: It becomes:", place.name), place))
}

fn described(said: Document, title: String, place: &PlaceFacts) -> Document {
    said.section(title, |under| under.list(List::points(becomes(place)))).say(published(place))
}

/// What the numbers become, in lines; nothing of it leaves but by [`published()`].
fn becomes(place: &PlaceFacts) -> Vec<String> {
    let mut lines = Vec::new();
    if let Some(climate) = &place.climate {
        let from = if climate.numbers == 12 { "twelve months" } else { "six numbers" };
        lines.push(format!("Köppen–Geiger class {}, from {from}, with 0 °C between C and D", climate.koppen));
        lines.push(format!(
            "coldest month {}, hottest month {}, rain {} a year",
            tenths(climate.coldest_month),
            tenths(climate.hottest_month),
            rain(climate.yearly_rain)
        ));
    }
    lines.extend(place.half_zone.as_ref().map(|zone| format!("hardiness half-zone {zone}")));
    let season = if place.season_shift_months == 0 {
        "seasons of the north: what starts in June counts as June"
    } else {
        "seasons of the south, moved by six months: what starts in December counts as June"
    };
    lines.push(season.to_owned());
    lines
}

/// What of a site would ever be published, and that the rest stays.
pub fn published(place: &PlaceFacts) -> String {
    if place.published_region.is_empty() {
        return "Nothing of it could be published yet: a hardiness zone is needed at least.".to_owned();
    }
    let words = any_kind();
    // The rule by which the region came about is told once it has a climate.
    let stated = place
        .published_region
        .iter()
        .filter(|(what, _)| what.as_str() != "rule_of_the_region" || place.climate.is_some());
    let parts = stated.map(|(what, value)| {
        let what = what.replace('_', " ");
        format!("{} {}", published::field(&what, &words), published::value(value, &words))
    });
    let parts = parts.collect::<Vec<_>>().join(", ");
    format!("Only this would ever be published of it: {parts}. Everything else of it stays at home.")
}

fn day_length(hours: DayLength) -> Document {
    Document::new().say(format!(
        "Day length there: {:.1} h on 21 June, {:.1} h on 21 December. The latitude is not kept.",
        hours.june, hours.december
    ))
}
