//! From what was typed to a species: scientific and common names, slips, parts of names held here.

use propagule_protocol::{Date, Taxon, names};

use crate::App;
use crate::evidence::{parse_species, species_held};
use propagule_files::closest;
use propagule_files::fault::Fault;

/// Most names that are offered.
const OFFERED: usize = 12;

/// A species that was perhaps meant.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Offer {
    /// The name.
    pub name: String,
    /// Common names, where it is listed.
    pub common: String,
    /// Whether records of it are held here.
    pub is_held: bool,
    /// Whether it stands, or stood, on the own bench.
    pub is_grown: bool,
}

/// What was found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Found {
    /// One species.
    One(Taxon),
    /// Several that were perhaps meant, those held here first.
    Several(Vec<Offer>),
}

/// The species that `text` names, or those that were perhaps meant.
///
/// A common name leads to its species. A name that is on no list and held by nobody is taken as it is.
///
/// # Errors
/// When the text is no plant name and like none.
pub fn find(app: &App, text: &str) -> Result<Found, Fault> {
    let held = species_held(app)?;
    let listed = names::lookup(text);
    if let [only] = listed.as_slice() {
        return parse_species(only.scientific).map(Found::One);
    }
    if listed.len() > 1 {
        return Ok(Found::Several(offers(listed.iter().map(|plant| plant.scientific.to_owned()), &held)));
    }
    let parsed = parse_species(text);
    if let Ok(taxon) = &parsed
        && taxon.species.is_some()
    {
        return Ok(Found::One(taxon.clone()));
    }
    let near = closest(text, held.iter().map(String::as_str), OFFERED);
    let near = near.into_iter().chain(names::suggest(text).into_iter().map(str::to_owned));
    let offers = offers(near, &held);
    match parsed {
        _ if !offers.is_empty() => Ok(Found::Several(offers)),
        Ok(taxon) => Ok(Found::One(taxon)),
        Err(failure) => Err(failure),
    }
}

/// Names with what is known of them, those held here first.
fn offers(names: impl Iterator<Item = String>, held: &[String]) -> Vec<Offer> {
    let mut offers: Vec<Offer> = Vec::new();
    for name in names {
        if !offers.iter().any(|offer| offer.name == name) {
            let is_held = held.contains(&name);
            offers.push(Offer { common: common(&name), is_held, is_grown: false, name });
        }
    }
    offers.sort_by_key(|offer| !offer.is_held);
    offers.truncate(OFFERED);
    offers
}

fn common(name: &str) -> String {
    let listed = names::lookup(name);
    let own = listed.iter().find(|plant| plant.scientific == name);
    own.map(|plant| plant.common.join(", ")).unwrap_or_default()
}

/// Species to choose from: those on the own bench, the last one first, then others that records are held of.
///
/// # Errors
/// When the records cannot be read.
pub fn offered(app: &App) -> Result<Vec<Offer>, Fault> {
    let held = species_held(app)?;
    let mut names: Vec<String> = Vec::new();
    let bench = app.bench();
    let mut trials: Vec<(Date, &str)> =
        bench.trials().map(|trial| (trial.started_on.first, trial.species.as_str())).collect();
    trials.sort_unstable_by(|a, b| b.cmp(a));
    for name in trials.iter().filter_map(|(_, plant)| species_of(plant)) {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let grown = names.len();
    let others: Vec<String> = held.iter().filter(|name| !names.contains(name)).cloned().collect();
    names.extend(others);
    let offer = |(number, name): (usize, String)| Offer {
        common: common(&name),
        is_held: held.contains(&name),
        is_grown: number < grown,
        name,
    };
    Ok(names.into_iter().enumerate().map(offer).collect())
}

/// A plant without its cultivar, as its results are held.
fn species_of(plant: &str) -> Option<String> {
    let taxon = Taxon::parse(plant).ok()?;
    Taxon::parse(&taxon.species_key()).ok().map(|species| species.to_string())
}
