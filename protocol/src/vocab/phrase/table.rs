//! Phrases that say more than one word of a list, or less. Common practice, no source.

use super::said::Missing;
use crate::vocab::Facet::{
    self, Auxin, Bbch, BottomHeat, Form, GrowingPlace, Humidity, Kind, Light, Medium, StockAge, StockOrigin,
    TipNodesRemoved, Wood,
};
use crate::vocab::list::folded;

/// Details with their words.
type Details = &'static [(Facet, &'static str)];

/// Phrases of a detail that say the same.
pub(super) struct Phrase {
    pub(super) facet: Facet,
    pub(super) texts: &'static [&'static str],
    pub(super) says: Says,
}

/// What a phrase says.
#[derive(Clone, Copy)]
pub(super) enum Says {
    Means(Details),
    Asks(Missing, &'static [Details]),
}

/// The phrase of that detail, whatever its case, hyphens, plurals and spelling.
pub(super) fn find(facet: Facet, text: &str) -> Option<&'static Phrase> {
    let wanted = folded(text);
    let is_it = |phrase: &&Phrase| {
        phrase.facet == facet && phrase.texts.iter().any(|spelling| folded(spelling) == wanted)
    };
    PHRASES.iter().find(is_it)
}

const fn means(facet: Facet, texts: &'static [&'static str], details: Details) -> Phrase {
    Phrase { facet, texts, says: Says::Means(details) }
}

const fn asks(
    facet: Facet,
    texts: &'static [&'static str],
    missing: Missing,
    choices: &'static [Details],
) -> Phrase {
    Phrase { facet, texts, says: Says::Asks(missing, choices) }
}

const STEM: (Facet, &str) = (Kind, "stem cutting");
const LAYER: (Facet, &str) = (Kind, "layer");
const BULB: (Facet, &str) = (Kind, "bulb splitting");
const HEEL: (Facet, &str) = (Form, "heel");

const PHRASES: &[Phrase] = &[
    asks(Kind, &["slip"], Missing::Which, &[&[STEM], &[STEM, HEEL]]),
    means(Kind, &["air layer", "air layering", "marcot", "marcotting"], &[LAYER, (Form, "air")]),
    means(
        Kind,
        &["stool layer", "stooling", "stool layering", "mound layer", "mound layering"],
        &[LAYER, (Form, "mound")],
    ),
    means(Kind, &["tip layer", "tip layering"], &[LAYER, (Form, "tip")]),
    means(Kind, &["chipping", "bulb chipping"], &[BULB, (Form, "bulb chips")]),
    means(Kind, &["scaling", "bulb scaling"], &[BULB, (Form, "scales")]),
    means(Kind, &["twin scaling", "twin scales"], &[BULB, (Form, "twin scales")]),
    means(Kind, &["chip bud", "chip budding"], &[(Kind, "bud"), (Form, "chip")]),
    means(Kind, &["t bud", "t budding", "shield bud", "shield budding"], &[(Kind, "bud"), (Form, "T")]),
    asks(Wood, &["new growth", "new wood"], Missing::Which, &[&[(Wood, "softwood")], &[(Wood, "greenwood")]]),
    asks(
        Wood,
        &["current season's growth", "this year's growth", "this year's wood"],
        Missing::Which,
        &[&[(Wood, "softwood")], &[(Wood, "semi-ripe")], &[(Wood, "hardwood")]],
    ),
    asks(
        Wood,
        &["heel cutting", "heel"],
        Missing::Which,
        &[&[(Wood, "softwood"), HEEL], &[(Wood, "semi-ripe"), HEEL], &[(Wood, "hardwood"), HEEL]],
    ),
    asks(Form, &["tip removed", "pinched", "topped"], Missing::Nodes, &[&[(TipNodesRemoved, "1")]]),
    asks(
        Form,
        &["side graft", "side"],
        Missing::Which,
        &[&[(Form, "side-veneer")], &[(Form, "side stub")], &[(Form, "side tongue")]],
    ),
    asks(Medium, &["sand"], Missing::Which, &[&[(Medium, "sharp sand")], &[(Medium, "fine sand")]]),
    asks(
        Medium,
        &["plug"],
        Missing::Which,
        &[&[(Medium, "rockwool")], &[(Medium, "rooting foam")], &[(Medium, "peat plug")]],
    ),
    asks(Medium, &["compost"], Missing::Which, &[&[(Medium, "potting mix")], &[(Medium, "garden compost")]]),
    means(Medium, &["loam-based compost", "soil-based compost"], &[(Medium, "potting mix + soil")]),
    means(
        Auxin,
        &[
            "rooting hormone",
            "hormone",
            "rooting hormone, unknown",
            "rooting hormone, do not know which",
            "rooting hormone, don't know which",
        ],
        &[(Auxin, "unknown")],
    ),
    means(
        Auxin,
        &["do not know whether", "don't know whether", "not known whether", "not known if"],
        &[(Auxin, "")],
    ),
    asks(
        Humidity,
        &["heated propagator", "hot box"],
        Missing::Heat,
        &[&[(Humidity, "dome"), (BottomHeat, "on")]],
    ),
    asks(GrowingPlace, &["shade cloth"], Missing::PerCent, &[]),
    asks(Light, &["dappled", "dappled shade", "part shade", "shade cloth", "shade"], Missing::PerCent, &[]),
    asks(
        Bbch,
        &[
            "january",
            "february",
            "march",
            "april",
            "may",
            "june",
            "july",
            "august",
            "september",
            "october",
            "november",
            "december",
            "early june",
            "late june",
            "spring",
            "summer",
            "midsummer",
            "autumn",
            "fall",
            "winter",
        ],
        Missing::Date,
        &[],
    ),
    // The end of flowering, in the published scale of growth stages (from memory).
    asks(Bbch, &["after flowering", "flowering over"], Missing::Date, &[&[(Bbch, "69")]]),
    asks(
        StockOrigin,
        &["named variety", "named cultivar"],
        Missing::Which,
        &[&[(StockOrigin, "own-root clone")], &[(StockOrigin, "grafted")]],
    ),
    asks(StockAge, &["old", "mature", "juvenile", "young"], Missing::Years, &[]),
];
