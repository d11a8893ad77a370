//! Benches in words, and the hazards of work.

use std::collections::BTreeMap;

use crate::document::{Action, Document, Item, List};
use propagule_files::counted::counted;

use super::command::ending_in_command;
use super::{said, undo};
use propagule_app::cautions::Hazard;
use propagule_app::outcome::said::Said;
use propagule_app::outcome::spots::{
    CareDays, CautionHidden, CautionKnown, CautionsKnown, SpotFacts, SpotSaved, Spots, Stood,
};
use propagule_bench::locale::Country;
use propagule_bench::spot::Care;

use crate::kind::units;
use crate::kind::{described, reads};
use crate::words::any_kind;
use crate::words::cautions::{caution, source};
use crate::words::sentences::{and, when};

/// A spot was described.
pub(super) fn saved(saved: &SpotSaved) -> Document {
    let spot = &saved.spot;
    Document::new().say(format!(
        "Saved the bench \"{}\": {}. It stays at home; trials that stand on it take this from it.",
        spot.name,
        facets(&spot.facets)
    ))
}

/// Facets of a spot or a stock plant.
pub fn facets(facets: &BTreeMap<String, String>) -> String {
    if facets.is_empty() {
        return "nothing recorded yet".to_owned();
    }
    let said = facets.iter().map(|(name, words)| described(name, words));
    said.collect::<Vec<_>>().join(", ")
}

/// The spots with their care and the lots on them.
pub(super) fn all(spots: &Spots) -> Document {
    if spots.spots.is_empty() {
        return Document::new().say(ending_in_command(
            "No benches yet. Describe one: propagule bench 'mist house' --about 'structure=greenhouse'",
        ));
    }
    Document::new().list(List::points(spots.spots.iter().map(spot)))
}

fn spot(spot: &SpotFacts) -> Item {
    let care = spot.care.iter().map(care_with_entry);
    let lots = (!spot.lots.is_empty()).then(|| format!("on it: {}", spot.lots.join(", ")));
    Item::from(format!("{}: {}", spot.name, facets(&spot.today)))
        .with(Document::new().each(care.chain(lots), Document::say))
}

fn care_with_entry(said: &Said) -> String {
    let entry = match said {
        Said::CareDays(days) => format!(" (entry {})", days.entry),
        _ => String::new(),
    };
    said::line(said) + &entry
}

/// Care in words; a grower's own stay as they were typed.
pub(super) fn care_words(care: &Care) -> String {
    match care {
        Care::Heat { .. } => units::said(&care.to_string()),
        _ => care.to_string(),
    }
}

/// Care with its days.
pub(super) fn care(days: &CareDays) -> String {
    let words = any_kind();
    let until = days.until.map(|until| format!(" to {}", when(&words, &until))).unwrap_or_default();
    format!("{}{until}: {}", when(&words, &days.from), care_words(&days.given))
}

/// Lots stand on a spot from a day on.
pub(super) fn stood(stood: &Stood) -> Document {
    let Stood { spot, on, lots, entries } = stood;
    let first = lots.first().zip(entries.first());
    Document::new()
        .say(format!(
            "{} on {spot} from {}: {}.",
            counted(lots.len(), "trial", "trials"),
            when(&any_kind(), on),
            lots.join(", ")
        ))
        .each(first, |said, (lot, entry)| {
            let entry = entry.to_string();
            said.action(undo::by(["undo", lot, &entry]))
        })
}

/// Every caution by its name, with where it is written, and whom to call.
pub(super) fn cautions(known: &CautionsKnown) -> Document {
    let line = |caution: &CautionKnown| {
        let hidden = caution.hidden_for.map(|year| format!(" (hidden for {year})")).unwrap_or_default();
        let plants = &caution.plants;
        let plants = if plants.is_empty() { String::new() } else { format!(" For {}.", and(plants)) };
        let (id, said, source) = (&caution.id, said::line(&caution.line), said::line(&caution.source));
        format!("[{id}] {said}{plants} ({source}){hidden}")
    };
    let is_unknown = reads().country == Country::Other;
    Document::new()
        .list(List::points(known.cautions.iter().map(line)))
        .say("Nothing here is legal or medical advice. A plant that is not named may harm all the same.")
        .say("When a life is in danger, call your emergency number first.")
        .when(is_unknown, |said| {
            said.action(Action::command(
                "To be told whom to call where you are",
                "propagule settings country NZ",
            ))
        })
        .action(Action::command("To hide one until next season", "propagule cautions hide NAME"))
}

/// A caution is not shown for a season.
pub(super) fn hidden(hidden: &CautionHidden) -> Document {
    let CautionHidden { caution, hidden_for } = hidden;
    Document::new()
        .say(format!("The caution \"{caution}\" is hidden for {hidden_for}; it comes back next year."))
}

/// The line of a hazard, by its name. A program of another version may know more of them.
pub(super) fn hazard(id: &str) -> String {
    Hazard::of_id(id).map_or_else(|| id.to_owned(), caution)
}

/// Where the line of a hazard is written.
pub(super) fn hazard_source(id: &str) -> String {
    Hazard::of_id(id).map_or_else(|| id.to_owned(), source)
}

/// Cautions to mind now, by their names.
pub(super) fn to_mind(said: Document, ids: &[String]) -> Document {
    said.each(ids, |said, id| said.say(format!("Caution [{id}]: {}", hazard(id))))
}
