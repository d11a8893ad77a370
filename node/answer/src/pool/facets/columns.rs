//! Which facets enter, and which words each of them has.

use std::collections::{BTreeMap, BTreeSet};

use propagule_evidence::EvidenceRow;

/// Facets that are looked at when none is named, in this order; kind is the same for all arms.
const USUAL: [&str; 12] = [
    "wood",
    "auxin",
    "wound",
    "leaves",
    "medium",
    "humidity",
    "bottom_heat",
    "form",
    "stratification",
    "container",
    "light",
    "method",
];
/// Most facets taken together.
const MOST_FACETS: usize = 8;
/// Word of an arm that does not say.
const NOT_KNOWN: &str = "not known";

/// The facets with their known words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Columns {
    pub(super) names: Vec<String>,
    pub(super) words: Vec<Vec<String>>,
}

impl Columns {
    /// Those of `chosen`, or of the usual ones where none is chosen, with at least two known words.
    pub(super) fn of(rows: &[&EvidenceRow], chosen: &[String]) -> Self {
        let usual = || USUAL.map(str::to_owned).to_vec();
        let names = if chosen.is_empty() { usual() } else { chosen.to_vec() };
        let with_words = names.into_iter().map(|name| (words(rows, &name), name));
        let several = with_words.filter(|(words, _)| words.len() > 1);
        let (words, names) = several.take(MOST_FACETS).unzip();
        Self { names, words }
    }

    pub(super) fn is_empty(&self) -> bool {
        self.names.is_empty()
    }

    /// The word of each facet that an arm has.
    pub(super) fn words_of<'a>(&self, row: &'a EvidenceRow) -> Vec<&'a str> {
        self.names.iter().map(|name| word_of(row, name)).collect()
    }
}

/// Trials that hold `word` of a facet beside another, with one replicate in some arm.
pub(super) fn single_replicate(rows: &[&EvidenceRow], facet: &str, word: &str) -> usize {
    let mut trials: BTreeMap<&str, (BTreeSet<&str>, bool)> = BTreeMap::new();
    for row in rows {
        let (words, single) = trials.entry(&row.trial).or_default();
        words.insert(word_of(row, facet));
        *single |= row.flags.single_replicate;
    }
    trials.values().filter(|(words, single)| *single && words.len() > 1 && words.contains(word)).count()
}

fn word_of<'a>(row: &'a EvidenceRow, facet: &str) -> &'a str {
    row.facets.get(facet).map_or(NOT_KNOWN, String::as_str)
}

fn words(rows: &[&EvidenceRow], facet: &str) -> Vec<String> {
    let known: BTreeSet<&String> = rows.iter().filter_map(|row| row.facets.get(facet)).collect();
    known.into_iter().cloned().collect()
}
