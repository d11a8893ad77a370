//! What kind of propagation a trial is: which words its screens use follows from it, and nothing else does.

use std::collections::BTreeMap;

use propagule_protocol::Facet;
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::spot::checked;
use super::trial::Trial;

/// Kinds of propagation that share their words.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Cuttings of any sort, and whatever is not said.
    #[default]
    Cutting,
    /// Scions on stocks.
    Graft,
    /// Single buds on stocks.
    Bud,
    /// Seed and spores.
    Seed,
    /// Shoots that root while they hang on the mother.
    Layer,
    /// Parts of a plant that have roots or make them anew.
    Division,
    /// Shoots in vessels.
    Micropropagation,
    /// Treatments of several kinds that share no words.
    Mixed,
}

impl Kind {
    /// All of them.
    pub const ALL: [Self; 8] = [
        Self::Cutting,
        Self::Graft,
        Self::Bud,
        Self::Seed,
        Self::Layer,
        Self::Division,
        Self::Micropropagation,
        Self::Mixed,
    ];

    /// Its word, as in JSON.
    pub const fn word(self) -> &'static str {
        match self {
            Self::Cutting => "cutting",
            Self::Graft => "graft",
            Self::Bud => "bud",
            Self::Seed => "seed",
            Self::Layer => "layer",
            Self::Division => "division",
            Self::Micropropagation => "micropropagation",
            Self::Mixed => "mixed",
        }
    }

    /// Whether propagules stand on stocks, whose suckers are removed and whose wraps are cut.
    pub fn is_on_stocks(self) -> bool {
        matches!(self, Self::Graft | Self::Bud)
    }

    /// The kind that a word of the vocabulary stands for.
    fn of_word(word: &str) -> Self {
        match word {
            "graft" | "cutting-graft" => Self::Graft,
            "bud" => Self::Bud,
            "seed" | "spores" => Self::Seed,
            "layer" => Self::Layer,
            "division" | "offset" | "bulb splitting" | "sucker" | "runner" => Self::Division,
            "micropropagation" => Self::Micropropagation,
            _ => Self::Cutting,
        }
    }

    /// The word of the vocabulary that stands for it where nothing more exact is said; none where kinds are mixed.
    pub fn usual_word(self) -> Option<&'static str> {
        Facet::Kind.words().into_iter().find(|word| Self::of_word(word) == self)
    }

    /// Details that growers of this kind ask about first; all others come behind them.
    pub const fn asked_first(self) -> &'static [Facet] {
        match self {
            Self::Cutting | Self::Mixed => &[
                Facet::Auxin,
                Facet::Wound,
                Facet::Medium,
                Facet::Humidity,
                Facet::Leaves,
                Facet::BottomHeat,
                Facet::Form,
                Facet::Wood,
            ],
            Self::Graft | Self::Bud => &[Facet::Form, Facet::Rootstock, Facet::Wood, Facet::Cultivar],
            Self::Seed => &[Facet::Stratification, Facet::Scarified, Facet::Medium, Facet::BottomHeat],
            Self::Layer => &[Facet::Form, Facet::Wound, Facet::Auxin, Facet::Medium],
            Self::Division => &[Facet::Form, Facet::Container, Facet::Medium, Facet::GrowingPlace],
            Self::Micropropagation => &[Facet::Medium, Facet::Auxin, Facet::Container, Facet::GrowingPlace],
        }
    }

    /// Words of the form that propagules of this kind have, in the order of the vocabulary; none is none of its own.
    pub fn forms(self) -> Vec<&'static str> {
        let numbers: &[std::ops::RangeInclusive<usize>] = match self {
            Self::Cutting => &[2..=15],
            Self::Layer => &[5..=5, 16..=20, 44..=45],
            // Number 25 is written no more.
            Self::Graft => &[21..=24, 26..=29, 38..=41],
            Self::Bud => &[30..=32, 42..=43],
            Self::Division => &[46..=49],
            Self::Seed | Self::Micropropagation | Self::Mixed => &[],
        };
        let all = Facet::Form.words();
        // The first word of a list is number 2.
        numbers.iter().cloned().flatten().filter_map(|number| all.get(number - 2).copied()).collect()
    }

    /// The kind that details as typed state; `None` where it is not said.
    pub fn of_facets(facets: &BTreeMap<String, String>) -> Option<Self> {
        checked(facets).ok()?.word(Facet::Kind).map(|word| Self::of_word(&word))
    }

    /// The kind whose words hold for all of these; cuttings' where there is none.
    fn common(mut kinds: impl Iterator<Item = Self>) -> Self {
        let first = kinds.next().unwrap_or_default();
        kinds.fold(first, |all, kind| match (all, kind) {
            (all, kind) if all == kind => all,
            // Buds are worked and counted as grafts are.
            (Self::Graft, Self::Bud) | (Self::Bud, Self::Graft) => Self::Graft,
            _ => Self::Mixed,
        })
    }

    /// The kind whose words hold for several trials.
    pub fn of_all<'a>(trials: impl Iterator<Item = &'a Trial>) -> Self {
        Self::common(trials.map(Trial::kind))
    }
}

impl Trial {
    /// Its kind: that of its treatments.
    pub fn kind(&self) -> Kind {
        Kind::common(self.arms.iter().map(|arm| Kind::of_facets(&arm.facets).unwrap_or_default()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Arm;
    use crate::dates::When;

    fn trial(kinds: &[&str]) -> Trial {
        let arm = |kind: &&str| Arm {
            facets: std::iter::once(("kind".to_owned(), (*kind).to_owned()))
                .filter(|(_, kind)| !kind.is_empty())
                .collect(),
            ..Arm::default()
        };
        let on = When::day("2026-06-06".parse().expect("a day"));
        Trial { arms: kinds.iter().map(arm).collect(), ..Trial::empty("M1", "Morus nigra", on) }
    }

    #[test]
    fn forms_are_offered_where_they_belong() {
        // Words of the trade by kind, as they stand in the vocabulary's own order (SPEC, table of codes: form).
        let has = |kind: Kind, word: &str| kind.forms().contains(&word);
        for (kind, word) in [
            (Kind::Cutting, "heel"),
            (Kind::Cutting, "root distal"),
            (Kind::Layer, "air"),
            (Kind::Layer, "tip"),
            (Kind::Graft, "whip-and-tongue"),
            (Kind::Graft, "omega"),
            (Kind::Bud, "chip"),
            (Kind::Bud, "four-flap"),
            (Kind::Division, "twin scales"),
        ] {
            assert!(has(kind, word), "{kind:?} {word}");
        }
        let usual = [Kind::Cutting, Kind::Graft, Kind::Seed, Kind::Mixed].map(Kind::usual_word);
        assert_eq!(usual, [Some("stem cutting"), Some("graft"), Some("seed"), None]);
        assert!(!has(Kind::Graft, "splice") && !has(Kind::Cutting, "simple") && !has(Kind::Bud, "whip"));
        assert!(Kind::ALL.iter().all(|kind| !kind.asked_first().contains(&Facet::Kind)));
    }

    #[test]
    fn the_kind_is_that_of_all_arms() {
        for (kinds, kind) in [
            (&["stem cutting", "root cutting"][..], Kind::Cutting),
            (&[""], Kind::Cutting),
            (&["graft", "graft"], Kind::Graft),
            (&["budding"], Kind::Bud),
            (&["graft", "bud"], Kind::Graft),
            (&["seed"], Kind::Seed),
            (&["layer"], Kind::Layer),
            (&["division", "offset"], Kind::Division),
            (&["tissue culture"], Kind::Micropropagation),
            (&["seed", "graft"], Kind::Mixed),
        ] {
            assert_eq!(trial(kinds).kind(), kind, "{kinds:?}");
        }
    }
}
