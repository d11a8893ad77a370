//! From what was typed to a species: scientific and common names, slips, parts of names held here.

use propagule_protocol::{Taxon, names};

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
            offers.push(Offer { common: common(&name), is_held: held.contains(&name), name });
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

/// Species that records are held of, those on the own bench first.
pub fn held(app: &App) -> Result<Vec<Offer>, Fault> {
    let own: Vec<String> = app.bench().trials().map(|trial| trial.species.clone()).collect();
    let own: Vec<String> = own
        .iter()
        .filter_map(|name| Taxon::parse(name).ok())
        .filter_map(|taxon| Taxon::parse(&taxon.species_key()).ok())
        .map(|taxon| taxon.to_string())
        .collect();
    let offer = |name: String| Offer { common: common(&name), is_held: true, name };
    let mut all: Vec<Offer> = species_held(app)?.into_iter().map(offer).collect();
    all.sort_by_key(|offer| !own.contains(&offer.name));
    Ok(all)
}
