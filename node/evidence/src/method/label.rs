//! What a method is called.

use propagule_protocol::vocab::Facet;

use super::pretreatment::{pretreatment_words, scarified};
use super::{MethodKey, NOT_KNOWN};
use crate::Family;
use crate::family::kind_family;
use crate::row::{EvidenceRow, FacetWords};

/// Names by which arms can be grouped: the facets, and the method of an evidence table.
pub(super) fn facet_names() -> Vec<&'static str> {
    Facet::ALL.iter().map(|facet| facet.name()).chain(["method"]).collect()
}

/// Whether a word, or a component of a list, stands for a code that a newer vocabulary gave a word.
pub(super) fn is_newer_word(word: &str) -> bool {
    let is_code = |part: &str| {
        let code = part.trim().strip_prefix("code ");
        code.is_some_and(|code| code.starts_with(|first: char| first.is_ascii_digit()))
    };
    word.split('+').any(is_code)
}

/// Whether a facet's word is `value`, letter case apart. Of a list one component is enough, and of a component its
/// first words: `perlite` is had by `peat 50 + perlite 50`, `IBA` by `IBA powder 8000 mg/kg`.
pub(super) fn word_is(word: &str, value: &str) -> bool {
    let (word, value) = (word.to_lowercase(), value.to_lowercase());
    let begins = |part: &str| {
        part.strip_prefix(value.as_str()).is_some_and(|rest| rest.is_empty() || rest.starts_with([' ', ',']))
    };
    word == value || (!value.is_empty() && word.split('+').map(str::trim).any(begins))
}

/// What a method of this key is called, with the weeks of its moves.
pub(super) fn method_label(key: &MethodKey, rows: &[&EvidenceRow]) -> String {
    let base = if key.facets.is_empty() { "all methods".to_owned() } else { base_label(&key.facets) };
    let mut label = base;
    for (facet, word) in further(&key.facets) {
        label.push_str(", ");
        label.push_str(&further_words(facet, word));
    }
    label + &moves(key, rows)
}

fn get<'a>(facets: &'a FacetWords, facet: &str) -> &'a str {
    facets.get(facet).map_or(NOT_KNOWN, String::as_str)
}

fn known_or(word: &str, what: &str) -> String {
    if word == NOT_KNOWN { format!("{what} not known") } else { word.to_owned() }
}

fn base_label(facets: &FacetWords) -> String {
    if let Some(method) = facets.get("method") {
        return method.clone();
    }
    let kind = get(facets, "kind");
    match kind_family(kind) {
        Family::Cuttings => cuttings_label(kind, facets),
        Family::Seed => {
            let words = pretreatment_words(get(facets, "stratification"), scarified(facets));
            format!("seed, {words}")
        }
        _ => match get(facets, "form") {
            NOT_KNOWN => format!("{}, form not known", known_or(kind, "kind")),
            form => format!("{form} {}", known_or(kind, "kind")),
        },
    }
}

/// Most letters of a name made from the facets of the usual grouping: what a table, a plot and a telephone can show.
const NAME_MOST: usize = 40;

/// The first of the whole name and shorter ones that fits. Each names all three facets, so none stands for another.
fn cuttings_label(kind: &str, facets: &FacetWords) -> String {
    let (wood, humidity) = (get(facets, "wood"), get(facets, "humidity"));
    let (whole, short) = (format!("{kind}s"), short_kind(kind));
    let name = |kind: &str, not_known: &str| {
        let humidity =
            if humidity == NOT_KNOWN { format!("humidity {not_known}") } else { humidity.to_owned() };
        match wood {
            NOT_KNOWN => format!("{kind}, wood {not_known}, {humidity}"),
            wood => format!("{wood} {kind}, {humidity}"),
        }
    };
    let names = [name(&whole, NOT_KNOWN), name(short, NOT_KNOWN), name(short, "?")];
    let fitting = names.iter().find(|name| name.chars().count() <= NAME_MOST);
    fitting.unwrap_or(&names[2]).clone()
}

/// Cuttings of which nothing else is said are stem cuttings.
fn short_kind(kind: &str) -> &str {
    if kind == "stem cutting" { "cuttings" } else { kind.strip_suffix(" cutting").unwrap_or(kind) }
}

/// Facets beside those of the default grouping.
fn further(facets: &FacetWords) -> impl Iterator<Item = (&str, &str)> {
    const DEFAULT: [&str; 6] = ["method", "kind", "wood", "humidity", "form", "stratification"];
    let is_scarified_seed = get(facets, "kind") == "seed" && scarified(facets).is_some();
    facets
        .iter()
        .map(|(facet, word)| (facet.as_str(), word.as_str()))
        .filter(move |(facet, _)| !(DEFAULT.contains(facet) || *facet == "scarified" && is_scarified_seed))
}

fn further_words(facet: &str, word: &str) -> String {
    let facet = facet.replace('_', " ");
    if word == NOT_KNOWN { format!("{facet} not known") } else { format!("{facet} {word}") }
}

/// Facets of a later phase that say where the survivors went.
const MOVED_BY: [&str; 8] =
    ["growing_place", "humidity", "bottom_heat", "container", "medium", "watering", "light", "auxin"];

/// What is different in a later phase, in words; "another spot" where it does not say.
pub(crate) fn phase_words(before: &FacetWords, after: &FacetWords) -> String {
    let changed = MOVED_BY.iter().filter_map(|facet| {
        let word = after.get(*facet)?;
        (before.get(*facet) != Some(word)).then_some(word.as_str())
    });
    let words: Vec<&str> = changed.collect();
    if words.is_empty() { "another spot".to_owned() } else { words.join(", ") }
}

/// ", then frame after 15 weeks", with the range of weeks over the arms.
fn moves(key: &MethodKey, rows: &[&EvidenceRow]) -> String {
    key.moved_to.iter().enumerate().map(|(index, words)| one_move(words, index, rows)).collect()
}

fn one_move(words: &str, index: usize, rows: &[&EvidenceRow]) -> String {
    let weeks = || rows.iter().filter_map(|row| row.phases.get(index)).map(|phase| phase.after_weeks);
    match (weeks().min(), weeks().max()) {
        (Some(first), Some(last)) if first != last => format!(", then {words} after {first}–{last} weeks"),
        (Some(1), _) => format!(", then {words} after 1 week"),
        (Some(first), _) => format!(", then {words} after {first} weeks"),
        _ => format!(", then {words}"),
    }
}
