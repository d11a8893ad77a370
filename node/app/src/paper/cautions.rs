//! One line for each hazard of the work, which names it and defers to label, local code and licensed practice.
//!
//! Which genera have which sap is common knowledge among growers; those of latex, urushiol and bulb rashes have
//! extension leaflets behind them, the rest is from memory. A genus that is missing here is not thereby harmless.

use propagule_protocol::{Facet, Facets};

/// One line at the moment it matters.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// Stable name, by which a grower dismisses it for a season.
    pub id: &'static str,
    /// The line.
    pub line: &'static str,
}

const fn caution(id: &'static str, line: &'static str) -> Caution {
    Caution { id, line }
}

const POWDER: Caution = caution(
    "auxin-powder",
    "Rooting powder: wear gloves and breathe no dust; tip out a little, and put none back. The product label decides.",
);
const DIP: Caution = caution(
    "auxin-dip",
    "Rooting dips and gels: gloves and eye protection; pour out a little, and pour none back. The product label \
     decides.",
);
const ALCOHOL: Caution = caution(
    "alcohol",
    "Alcohol burns, and so does its vapour: no flame near it, fresh air, lid on. Follow the product label.",
);
const LYE: Caution = caution(
    "lye",
    "Sodium hydroxide burns skin and eyes: goggles and gloves, rinse at once and ask a medic. Follow the product \
     label.",
);
const DISINFECTANT: Caution = caution(
    "disinfectant",
    "Cleaning tools: never mix bleach with acid, ammonia or peroxide, which gives poisonous gas. Follow the product \
     label.",
);
const KNIFE: Caution = caution(
    "knife",
    "Knives: cut away from yourself, with a cut-proof glove on the holding hand. For a deep or dirty cut see a medic, \
     who will ask about tetanus.",
);
const WAX: Caution = caution(
    "hot-wax",
    "Hot wax and its heater scald and can catch fire: keep it low, never alone. Follow the product label; cool a \
     burn with water and ask a medic.",
);
const HOT_WATER: Caution = caution(
    "hot-water",
    "Hot water scalds: carry it covered, with gloves. Cool a scald with water at once and ask a medic.",
);
const MIST_POWER: Caution = caution(
    "mist-power",
    "Mains power beside water can kill: low-voltage valves, a residual-current breaker, drip loops. Have it done by a \
     licensed electrician to the local code.",
);
const MIST_WATER: Caution = caution(
    "mist-water",
    "Mist and fog can carry Legionella from lukewarm standing water: clean water, flushed lines, drained tanks. Frail \
     people keep away; the local health authority advises.",
);
const HEAT: Caution = caution(
    "heat",
    "Heating cables and mats can overheat or shock: a thermostat with its probe in the medium, a residual-current \
     breaker. Have it checked by a licensed electrician.",
);
const SPRAY: Caution = caution(
    "spray",
    "Sprays: the product label is the law, for dose, clothing, weather and the time before anyone goes back in.",
);
const RIGHTS: Caution = caution(
    "rights",
    "A protected cultivar may not be multiplied without a licence, by whatever method. Whether yours is, \
     its label or the plant variety authority says.",
);
const PLANT_HEALTH: Caution = caution(
    "plant-health",
    "Plants, parts of them and soil carry pests, and some plants spread where they should not: before any leave your \
     place ask the plant health authority.",
);
const FOOD: Caution = caution(
    "not-for-eating",
    "Nothing here says that a plant may be eaten or used as a remedy; names mislead. Ask a medic or a poison \
     authority.",
);

const LATEX: Caution = caution(
    "sap-latex",
    "The milky sap hurts eyes and skin: gloves and eye protection. Rinse with much water at once; for eyes see a \
     medic.",
);
const URUSHIOL: Caution = caution(
    "sap-urushiol",
    "The sap gives a severe rash, and stays on tools and clothes for months: cover all skin, wash tools. For a \
     spreading rash see a medic; never burn the cuttings, the local authority takes them.",
);
const SUNLIGHT: Caution = caution(
    "sap-sunlight",
    "The sap burns skin that daylight then reaches: cover arms and face, wash it off in the shade. For blisters see \
     a medic.",
);
const POISON: Caution = caution(
    "sap-poison",
    "All parts are poisonous: gloves, wash hands, keep from children and animals. If any is swallowed call a medic \
     or the poison authority.",
);
const RASH: Caution = caution(
    "sap-rash",
    "Handling many can give a rash on fingers and wrists: wear gloves. If it does not go away see a medic.",
);

/// Genera by what their sap does.
const SAPS: [(Caution, &[&str]); 5] = [
    (LATEX, &["Euphorbia", "Ficus"]),
    (URUSHIOL, &["Toxicodendron"]),
    (SUNLIGHT, &["Dictamnus", "Ficus", "Heracleum", "Pastinaca", "Ruta"]),
    (
        POISON,
        &[
            "Aconitum",
            "Brugmansia",
            "Colchicum",
            "Daphne",
            "Datura",
            "Digitalis",
            "Laburnum",
            "Nerium",
            "Ricinus",
            "Taxus",
        ],
    ),
    (RASH, &["Alstroemeria", "Chrysanthemum", "Dieffenbachia", "Hyacinthus", "Narcissus", "Tulipa"]),
];

/// Dormant wood of these is often treated with hot water.
const HOT_WATER_GENERA: [&str; 1] = ["Vitis"];

/// Every caution there is.
pub fn all() -> Vec<Caution> {
    let work = [
        POWDER,
        DIP,
        ALCOHOL,
        LYE,
        DISINFECTANT,
        KNIFE,
        WAX,
        HOT_WATER,
        MIST_POWER,
        MIST_WATER,
        HEAT,
        SPRAY,
        RIGHTS,
        PLANT_HEALTH,
        FOOD,
    ];
    work.into_iter().chain(SAPS.iter().map(|(caution, _)| *caution)).collect()
}

/// Cautions for a method on plants of a genus, the nearest hazard first; each stands once.
pub fn for_method(genus: &str, facets: &Facets) -> Vec<Caution> {
    let genus = bare_genus(genus);
    let word = |facet| facets.word(facet).unwrap_or_default();
    let (kind, auxin, solvent) = (word(Facet::Kind), word(Facet::Auxin), word(Facet::Solvent));
    let is_grafted = matches!(kind.as_str(), "graft" | "bud" | "cutting-graft");
    let is_cut =
        !matches!(kind.as_str(), "seed" | "spores" | "offset" | "sucker" | "runner" | "bulb splitting");
    let has_powder = auxin.contains("powder") || auxin == "carrier only";
    let has_other_auxin = !matches!(auxin.as_str(), "" | "none" | "carrier only")
        && auxin.split(" + ").any(|one| !one.contains("powder"));
    let is_misted =
        matches!(word(Facet::Humidity).as_str(), "mist" | "fog" | "high-pressure fog" | "submist");
    let names_a_cultivar = facets.cultivar.as_deref().is_some_and(|name| name != "seedling");
    let cautions = [
        (is_cut, KNIFE),
        (is_grafted, WAX),
        (is_cut, DISINFECTANT),
        (has_powder, POWDER),
        (has_other_auxin, DIP),
        (auxin.contains("spray"), SPRAY),
        (matches!(solvent.as_str(), "ethanol" | "isopropanol"), ALCOHOL),
        (solvent == "sodium hydroxide", LYE),
        (kind == "seed" || is_among(&HOT_WATER_GENERA, genus), HOT_WATER),
        (is_misted, MIST_POWER),
        (is_misted, MIST_WATER),
        (facets.bottom_heat.is_some() || word(Facet::BottomHeat) == "on", HEAT),
        (names_a_cultivar, RIGHTS),
        (true, PLANT_HEALTH),
        (true, FOOD),
    ];
    let saps = SAPS.iter().map(|(caution, genera)| (is_among(genera, genus), *caution));
    chosen(saps.chain(cautions))
}

/// Cautions for a spot with mist or fog, bottom heat, or spraying.
pub fn for_spot(has_mist: bool, has_heat: bool, has_spray: bool) -> Vec<Caution> {
    chosen([(has_mist, MIST_POWER), (has_mist, MIST_WATER), (has_heat, HEAT), (has_spray, SPRAY)].into_iter())
}

fn chosen(cautions: impl Iterator<Item = (bool, Caution)>) -> Vec<Caution> {
    cautions.filter_map(|(is_meant, caution)| is_meant.then_some(caution)).collect()
}

/// The genus without a hybrid or graft sign, and without what follows.
fn bare_genus(genus: &str) -> &str {
    let bare = genus.trim().trim_start_matches(['×', '+']).trim_start();
    let bare = bare.strip_prefix("x ").unwrap_or(bare);
    bare.split_whitespace().next().unwrap_or_default()
}

fn is_among(genera: &[&str], genus: &str) -> bool {
    genera.iter().any(|listed| listed.eq_ignore_ascii_case(genus))
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    fn facets(words: &[(Facet, &str)]) -> Facets {
        let mut facets = Facets::default();
        for (facet, word) in words {
            facets.set(*facet, word).unwrap_or_else(|error| panic!("{word}: {error}"));
        }
        facets
    }

    fn ids(genus: &str, words: &[(Facet, &str)]) -> Vec<&'static str> {
        for_method(genus, &facets(words)).into_iter().map(|caution| caution.id).collect()
    }

    /// Every caution there is, by the methods and spots that call for it.
    fn all() -> Vec<Caution> {
        let graft = facets(&[
            (Facet::Kind, "graft"),
            (Facet::Auxin, "IBA powder 3000 mg/kg + IBA spray 100 mg/L"),
            (Facet::Solvent, "ethanol"),
            (Facet::Humidity, "fog"),
            (Facet::BottomHeat, "22 °C"),
            (Facet::Cultivar, "Brasswing"),
        ]);
        let seed = facets(&[(Facet::Kind, "seed"), (Facet::Solvent, "sodium hydroxide")]);
        let genera = SAPS.iter().flat_map(|(_, genera)| genera.iter());
        let methods = genera.flat_map(|genus| [for_method(genus, &graft), for_method(genus, &seed)]);
        methods.flatten().chain(for_spot(true, true, true)).collect()
    }

    #[test]
    fn each_defers_and_fits_a_line_of_a_sheet() {
        let all = all();
        let distinct: BTreeSet<&str> = all.iter().map(|caution| caution.id).collect();
        assert_eq!(distinct.len(), 20, "{distinct:?}");
        for Caution { id, line } in all {
            let deferred_to = ["label", "local code", "licensed", "medic", "authority"];
            assert!(deferred_to.iter().any(|whom| line.contains(whom)), "{id}: {line}");
            assert!(line.len() <= 200 && line.ends_with('.') && !line.contains("  "), "{id}: {line}");
            assert!(id.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{id}");
        }
    }

    #[test]
    fn none_stands_twice_and_none_gives_a_dose() {
        for genus in ["Ficus", "Morus"] {
            let ids = ids(genus, &[(Facet::Kind, "graft"), (Facet::Humidity, "mist")]);
            assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "{ids:?}");
        }
        for Caution { id, line } in all() {
            assert!(!line.contains(|c: char| c.is_ascii_digit()), "{id}: {line}");
        }
    }

    #[test]
    fn genera_are_matched_whole() {
        let saps = |genus| -> Vec<_> {
            ids(genus, &[(Facet::Kind, "stem cutting")])
                .into_iter()
                .filter(|id| id.starts_with("sap-"))
                .collect()
        };
        assert_eq!(saps("Ficus"), ["sap-latex", "sap-sunlight"]);
        for genus in ["euphorbia", "×Euphorbia", "x Euphorbia", "Euphorbia pallida"] {
            assert_eq!(saps(genus), ["sap-latex"], "{genus}");
        }
        for genus in ["Ficusella", "Fic", "Pseudotaxus", "Taxusia", "Morus", "", "×", "Lumetta"] {
            assert_eq!(saps(genus), Vec::<&str>::new(), "{genus}");
        }
    }

    #[test]
    fn a_method_calls_for_what_it_uses() {
        let always = ["plant-health", "not-for-eating"];
        assert_eq!(ids("Ribes", &[(Facet::Kind, "offset")]), always);
        assert_eq!(
            ids("Ribes", &[(Facet::Kind, "stem cutting"), (Facet::Auxin, "none")]),
            ["knife", "disinfectant", "plant-health", "not-for-eating"]
        );
        let dip = [
            (Facet::Kind, "offset"),
            (Facet::Auxin, "IBA quick dip 3000 mg/L"),
            (Facet::Solvent, "isopropanol"),
        ];
        assert_eq!(ids("Morus", &dip), ["auxin-dip", "alcohol", "plant-health", "not-for-eating"]);
        let talc = [(Facet::Kind, "offset"), (Facet::Auxin, "IBA powder, strength unknown")];
        assert_eq!(ids("Morus", &talc), ["auxin-powder", "plant-health", "not-for-eating"]);
        let carrier = [(Facet::Kind, "offset"), (Facet::Auxin, "carrier only")];
        assert_eq!(ids("Morus", &carrier), ["auxin-powder", "plant-health", "not-for-eating"]);
        assert_eq!(ids("Cornus", &[(Facet::Kind, "seed")]), ["hot-water", "plant-health", "not-for-eating"]);
        assert!(ids("Vitis", &[(Facet::Kind, "stem cutting")]).contains(&"hot-water"));
        assert!(ids("Juglans", &[(Facet::Kind, "bud")]).contains(&"hot-wax"));
        assert!(!ids("Morus", &[(Facet::Kind, "seed"), (Facet::Cultivar, "seedling")]).contains(&"rights"));
        assert!(ids("Morus", &[(Facet::Kind, "bud"), (Facet::Cultivar, "Low Lantern")]).contains(&"rights"));
    }

    #[test]
    fn a_spot_calls_for_what_it_has() {
        let ids = |cautions: Vec<Caution>| cautions.into_iter().map(|caution| caution.id).collect::<Vec<_>>();
        assert_eq!(ids(for_spot(false, false, false)), Vec::<&str>::new());
        assert_eq!(ids(for_spot(true, false, false)), ["mist-power", "mist-water"]);
        assert_eq!(ids(for_spot(false, true, true)), ["heat", "spray"]);
    }
}
