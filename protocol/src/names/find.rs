//! Finds listed plants by exact, common or misspelt names.

use strsim::damerau_levenshtein;

use super::{LIST, Listed};
use crate::taxon::{ascii, epithet_stem};

/// Listed plants of exactly this scientific or common name, ignoring case and accents.
///
/// A common name may belong to several plants; a genus alone gives all its listed plants.
pub fn lookup(name: &str) -> Vec<&'static Listed> {
    let wanted = folded(name);
    let is_it = |listed: &&Listed| {
        let scientific = folded(listed.scientific);
        let genus = scientific.split(' ').next();
        scientific == wanted
            || genus == Some(&wanted)
            || listed.common.iter().any(|common| folded(common) == wanted)
    };
    LIST.iter().filter(is_it).collect()
}

/// At most three scientific names that were perhaps meant, closest first; never accepted by itself.
pub fn suggest(name: &str) -> Vec<&'static str> {
    let wanted = folded(name);
    if wanted.is_empty() {
        return Vec::new();
    }
    let mut found: Vec<(usize, &str)> =
        LIST.iter().filter_map(|listed| distance(listed, &wanted).map(|d| (d, listed.scientific))).collect();
    found.sort_unstable();
    found.into_iter().take(3).map(|(_, scientific)| scientific).collect()
}

fn distance(listed: &Listed, wanted: &str) -> Option<usize> {
    let scientific = folded(listed.scientific);
    let by_common = listed.common.iter().filter_map(|common| close(&folded(common), wanted)).min();
    let by_name = close(&scientific, wanted).or_else(|| same_stem(&scientific, wanted));
    by_name.into_iter().chain(by_common).min()
}

/// Distance 1 for up to six letters, 2 for more, and one more for each further word.
fn close(spelling: &str, wanted: &str) -> Option<usize> {
    let letters = spelling.len().max(wanted.len());
    let allowed = if letters <= 6 { 1 } else { 1 + spelling.split(' ').count() };
    let distance = if letters.abs_diff(spelling.len().min(wanted.len())) > allowed {
        return None;
    } else {
        damerau_levenshtein(spelling, wanted)
    };
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
