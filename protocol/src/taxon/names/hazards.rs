//! What to mind with a plant: one list of genera and species, from which all that is said of them comes.
//!
//! A genus that is missing is not thereby harmless.

use std::sync::LazyLock;

use super::{LIST, Listed};
use crate::taxon::Taxon;

/// What to mind with a plant. Never a verdict: labels, local code and licensed practice decide.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum PlantHazard {
    /// Milky sap that hurts eyes and skin.
    Latex,
    /// Sap that gives a severe rash.
    Allergy,
    /// Sap on skin that daylight then burns.
    Sun,
    /// Sap with crystals like needles.
    Crystals,
    /// Poisonous when swallowed.
    Poison,
    /// Handling gives a rash.
    Rash,
    /// Spreads where it is not wanted.
    Invasive,
    /// Many cultivars are protected.
    Rights,
}

/// Where it is written that a plant has a hazard.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum HazardSource {
    /// `MedlinePlus`, article 002866.
    MedlinePlus,
    /// University of Vermont Extension, on plants and sun.
    VermontExtension,
    /// From memory; to be confirmed.
    Memory,
}

/// A genus or species with a hazard.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct HazardousPlant {
    /// Genus, or genus and species.
    pub name: &'static str,
    /// What.
    pub hazard: PlantHazard,
    /// Where it is written.
    pub source: HazardSource,
}

static HAZARDOUS: LazyLock<Vec<HazardousPlant>> =
    LazyLock::new(|| include_str!("hazards.tsv").lines().filter_map(row).collect());

/// All genera and species whose sap or parts harm, by name.
pub fn hazardous() -> &'static [HazardousPlant] {
    &HAZARDOUS
}

/// What to mind with a plant, the nearest hazard first; a hazard of either parent is one of a hybrid.
pub fn hazards(taxon: &Taxon) -> Vec<PlantHazard> {
    let key = taxon.species_key();
    let names: Vec<&str> = key.split(" x ").collect();
    let is_meant = |plant: &&HazardousPlant| names.iter().any(|name| is_named(name, plant.name));
    let of_list = LIST.iter().filter(|listed| names.iter().any(|name| is_named(name, listed.scientific)));
    let mut found: Vec<PlantHazard> = HAZARDOUS.iter().filter(is_meant).map(|plant| plant.hazard).collect();
    found.extend(of_list.flat_map(|listed: &Listed| listed.hints.iter().copied()));
    found.sort_unstable();
    found.dedup();
    found
}

/// Whether a name is that of a listed genus or species, or of something within it.
fn is_named(name: &str, listed: &str) -> bool {
    let listed = listed.to_lowercase();
    name.strip_prefix(listed.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
}

/// Columns: plant, hazard, mark.
fn row(line: &'static str) -> Option<HazardousPlant> {
    let mut columns = line.split('\t');
    let name = columns.next().filter(|name| !name.is_empty() && !name.starts_with('#'))?;
    let hazard = match columns.next()? {
        "latex" => PlantHazard::Latex,
        "allergy" => PlantHazard::Allergy,
        "sun" => PlantHazard::Sun,
        "crystals" => PlantHazard::Crystals,
        "poison" => PlantHazard::Poison,
        "rash" => PlantHazard::Rash,
        _ => return None,
    };
    let source = match columns.next()? {
        "S1" => HazardSource::MedlinePlus,
        "S6" => HazardSource::VermontExtension,
        "M" => HazardSource::Memory,
        _ => return None,
    };
    Some(HazardousPlant { name, hazard, source })
}

/// What a letter of the list of plants says.
pub(super) fn hint(letter: char) -> Option<PlantHazard> {
    match letter {
        'i' => Some(PlantHazard::Invasive),
        'r' => Some(PlantHazard::Rights),
        _ => None,
    }
}
