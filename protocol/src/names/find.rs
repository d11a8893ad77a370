//! Finds listed plants by exact, common or misspelt names.

use std::sync::LazyLock;

use strsim::damerau_levenshtein;

use super::{LIST, Listed};
use crate::taxon::{ascii, epithet_stem};

/// A listed plant with its names folded once.
struct Folded {
    listed: &'static Listed,
    scientific: String,
    common: Vec<String>,
}

static FOLDED: LazyLock<Vec<Folded>> = LazyLock::new(|| {
    let fold = |listed: &'static Listed| Folded {
        listed,
        scientific: folded(listed.scientific),
        common: listed.common.iter().map(|name| folded(name)).collect(),
    };
    LIST.iter().map(fold).collect()
});

/// Listed plants of exactly this scientific or common name, ignoring case and accents.
///
/// A common name may belong to several plants; a genus alone gives all its listed plants.
pub fn lookup(name: &str) -> Vec<&'static Listed> {
    let wanted = folded(name);
    let is_it = |plant: &&Folded| {
        let genus = plant.scientific.split(' ').next();
        plant.scientific == wanted || genus == Some(&wanted) || plant.common.contains(&wanted)
    };
    FOLDED.iter().filter(is_it).map(|plant| plant.listed).collect()
}

/// At most three scientific names that were perhaps meant, closest first; never accepted by itself.
pub fn suggest(name: &str) -> Vec<&'static str> {
    let wanted = folded(name);
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<(usize, &str)> = FOLDED
        .iter()
        .filter_map(|plant| distance(plant, &wanted).map(|d| (d, plant.listed.scientific)))
        .collect();
    found.sort_unstable();
    found.into_iter().take(3).map(|(_, scientific)| scientific).collect()
}

fn distance(plant: &Folded, wanted: &str) -> Option<usize> {
    let by_common = plant.common.iter().filter_map(|common| close(common, wanted)).min();
    let by_name = close(&plant.scientific, wanted).or_else(|| same_stem(&plant.scientific, wanted));
    by_name.into_iter().chain(by_common).min()
}

/// Distance 1 for up to six letters, 2 for more, and one more for each further word.
fn close(spelling: &str, wanted: &str) -> Option<usize> {
    let letters = spelling.len().max(wanted.len());
    let allowed = if letters <= 6 { 1 } else { 1 + spelling.split(' ').count() };
    if spelling.len().abs_diff(wanted.len()) > allowed {
        return None;
    }
    let distance = damerau_levenshtein(spelling, wanted);
    (distance <= allowed).then_some(distance)
}

/// The same name with another gender ending.
fn same_stem(scientific: &str, wanted: &str) -> Option<usize> {
    let (genus, epithet) = scientific.split_once(' ')?;
    let (wanted_genus, wanted_epithet) = wanted.split_once(' ')?;
    let is_same =
        close(genus, wanted_genus).is_some() && epithet_stem(epithet) == epithet_stem(wanted_epithet);
    is_same.then_some(1)
}

fn folded(name: &str) -> String {
    let plain = ascii(name).to_lowercase().replace(['-', '×', '\''], " ");
    plain.split_whitespace().collect::<Vec<_>>().join(" ")
}
