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

/// The list: plant, hazard, mark.
const TABLE: &str = include_str!("hazards.tsv");

/// Hazards by their words in the list.
const HAZARDS: [(&str, PlantHazard); 6] = [
    ("latex", PlantHazard::Latex),
    ("allergy", PlantHazard::Allergy),
    ("sun", PlantHazard::Sun),
    ("crystals", PlantHazard::Crystals),
    ("poison", PlantHazard::Poison),
    ("rash", PlantHazard::Rash),
];

/// Sources by their marks.
const SOURCES: [(&str, HazardSource); 3] =
    [("S1", HazardSource::MedlinePlus), ("S6", HazardSource::VermontExtension), ("M", HazardSource::Memory)];

/// A row that cannot be read stops the build: a caution that is passed over would not be missed.
const _: () = check_table(TABLE.as_bytes());

static HAZARDOUS: LazyLock<Vec<HazardousPlant>> =
    LazyLock::new(|| TABLE.lines().filter(|line| !line.starts_with('#')).filter_map(row).collect());

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

fn row(line: &'static str) -> Option<HazardousPlant> {
    let mut columns = line.split('\t');
    let (name, hazard, source) = (columns.next()?, columns.next()?, columns.next()?);
    let (_, hazard) = HAZARDS.into_iter().find(|(word, _)| *word == hazard)?;
    let (_, source) = SOURCES.into_iter().find(|(mark, _)| *mark == source)?;
    Some(HazardousPlant { name, hazard, source })
}

/// Every row that is no comment has three columns with words that are known, and stands behind the row before it.
const fn check_table(table: &[u8]) {
    let (mut rest, mut before): (&[u8], &[u8]) = (table, b"");
    while !rest.is_empty() {
        let (line, behind) = cut(rest, b'\n');
        rest = behind;
        if !line.is_empty() && line[0] == b'#' {
            continue;
        }
        let (name, columns) = cut(line, b'\t');
        let (hazard, source) = cut(columns, b'\t');
        assert!(!name.is_empty(), "hazards.tsv: a row has no plant");
        assert!(is_word_of_hazard(hazard), "hazards.tsv: a hazard is not known");
        assert!(is_mark(source), "hazards.tsv: a mark is not known, or a row has more than three columns");
        assert!(is_before(before, line), "hazards.tsv: rows are not in order, or one stands twice");
        before = line;
    }
}

/// What stands before a byte, and what behind it.
const fn cut(text: &[u8], at: u8) -> (&[u8], &[u8]) {
    let mut n = 0;
    while n < text.len() {
        if text[n] == at {
            let (first, rest) = text.split_at(n);
            return (first, rest.split_at(1).1);
        }
        n += 1;
    }
    (text, b"")
}

const fn is_word_of_hazard(word: &[u8]) -> bool {
    let mut n = 0;
    while n < HAZARDS.len() {
        if is_same(HAZARDS[n].0.as_bytes(), word) {
            return true;
        }
        n += 1;
    }
    false
}

const fn is_mark(mark: &[u8]) -> bool {
    let mut n = 0;
    while n < SOURCES.len() {
        if is_same(SOURCES[n].0.as_bytes(), mark) {
            return true;
        }
        n += 1;
    }
    false
}

const fn is_same(one: &[u8], other: &[u8]) -> bool {
    !is_before(one, other) && !is_before(other, one)
}

/// Whether a text stands before another one by its bytes.
const fn is_before(one: &[u8], other: &[u8]) -> bool {
    let mut n = 0;
    while n < one.len() && n < other.len() {
        if one[n] != other[n] {
            return one[n] < other[n];
        }
        n += 1;
    }
    one.len() < other.len()
}

/// What a letter of the list of plants says.
pub(super) fn hint(letter: char) -> Option<PlantHazard> {
    match letter {
        'i' => Some(PlantHazard::Invasive),
        'r' => Some(PlantHazard::Rights),
        _ => None,
    }
}
