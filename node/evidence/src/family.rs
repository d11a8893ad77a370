//! Families of kinds and groups of humidity, by the words of the vocabulary.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::row::FacetWords;

/// Families of kinds that share their words.
#[derive(
    Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize, JsonSchema,
)]
#[serde(rename_all = "snake_case")]
pub enum Family {
    /// Kinds mixed, or a kind with no words of its own.
    #[default]
    Mixed,
    /// Cuttings of any kind.
    Cuttings,
    /// Grafts.
    Grafts,
    /// Buds.
    Buds,
    /// Seed.
    Seed,
    /// Layers.
    Layers,
    /// Division.
    Division,
}

/// The family of a row's kind; a row of an evidence table has none.
pub fn method_family(facets: &FacetWords) -> Family {
    facets.get("kind").map_or(Family::Mixed, |kind| kind_family(kind))
}

/// The family of a kind.
pub fn kind_family(kind: &str) -> Family {
    match kind {
        "seed" => Family::Seed,
        "division" | "offset" | "bulb splitting" | "sucker" | "runner" => Family::Division,
        "graft" | "cutting-graft" => Family::Grafts,
        "bud" => Family::Buds,
        "layer" => Family::Layers,
        kind if kind.ends_with("cutting") => Family::Cuttings,
        _ => Family::Mixed,
    }
}

/// Humidity groups that make different methods of cuttings.
pub const HUMIDITY_GROUPS: [&str; 3] = ["mist or fog", "covered", "open"];

/// The group that a humidity word belongs to; a word outside the groups stands for itself.
pub fn humidity_group(word: &str) -> &str {
    let [wet, covered, open] = HUMIDITY_GROUPS;
    match word {
        "mist" | "fog" | "high-pressure fog" | "submist" => wet,
        "dome" | "polythene tent" => covered,
        "open" => open,
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use propagule_protocol::vocab::Facet;

    use super::*;

    #[test]
    fn every_kind_of_the_vocabulary_but_two_has_a_family() {
        let without: Vec<&str> =
            Facet::Kind.words().into_iter().filter(|kind| kind_family(kind) == Family::Mixed).collect();
        assert_eq!(without, ["micropropagation", "spores"]);
    }

    #[test]
    fn every_humidity_of_the_vocabulary_has_a_group() {
        for word in Facet::Humidity.words() {
            assert!(HUMIDITY_GROUPS.contains(&humidity_group(word)), "{word}");
        }
        assert_eq!(humidity_group("code 40"), "code 40");
    }
}
