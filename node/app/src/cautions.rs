//! Which hazards a method, a plant and a spot have; what is said of each stands in `present`.
//!
//! Which genera have which sap is common knowledge among growers; those of latex, urushiol and bulb rashes have
//! extension leaflets behind them, the rest is from memory. A genus that is missing here is not thereby harmless.

use propagule_protocol::{Facet, Facets};

/// A hazard of the work; one line warns of each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hazard {
    /// Auxin as powder.
    Powder,
    /// Auxin in dips and gels.
    Dip,
    /// Alcohol.
    Alcohol,
    /// Sodium hydroxide.
    Lye,
    /// Cleaning tools.
    Disinfectant,
    /// Knives.
    Knife,
    /// Hot wax.
    Wax,
    /// Hot water.
    HotWater,
    /// Mains power beside water.
    MistPower,
    /// Lukewarm standing water.
    MistWater,
    /// Heating cables and mats.
    Heat,
    /// Sprays.
    Spray,
    /// Rights in a cultivar.
    Rights,
    /// Pests, and plants that spread.
    PlantHealth,
    /// Eating what was propagated.
    Food,
    /// Milky sap.
    Latex,
    /// Sap that gives a severe rash.
    Urushiol,
    /// Sap that daylight acts on.
    Sunlight,
    /// Poisonous plants.
    Poison,
    /// Plants whose handling gives a rash.
    Rash,
}

impl Hazard {
    /// All of them.
    pub const ALL: [Self; 20] = [
        Self::Powder,
        Self::Dip,
        Self::Alcohol,
        Self::Lye,
        Self::Disinfectant,
        Self::Knife,
        Self::Wax,
        Self::HotWater,
        Self::MistPower,
        Self::MistWater,
        Self::Heat,
        Self::Spray,
        Self::Rights,
        Self::PlantHealth,
        Self::Food,
        Self::Latex,
        Self::Urushiol,
        Self::Sunlight,
        Self::Poison,
        Self::Rash,
    ];

    /// Stable name, by which a grower dismisses its caution for a season.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Powder => "auxin-powder",
            Self::Dip => "auxin-dip",
            Self::Alcohol => "alcohol",
            Self::Lye => "lye",
            Self::Disinfectant => "disinfectant",
            Self::Knife => "knife",
            Self::Wax => "hot-wax",
            Self::HotWater => "hot-water",
            Self::MistPower => "mist-power",
            Self::MistWater => "mist-water",
            Self::Heat => "heat",
            Self::Spray => "spray",
            Self::Rights => "rights",
            Self::PlantHealth => "plant-health",
            Self::Food => "not-for-eating",
            Self::Latex => "sap-latex",
            Self::Urushiol => "sap-urushiol",
            Self::Sunlight => "sap-sunlight",
            Self::Poison => "sap-poison",
            Self::Rash => "sap-rash",
        }
    }
}

/// Genera by what their sap does.
const SAPS: [(Hazard, &[&str]); 5] = [
    (Hazard::Latex, &["Euphorbia", "Ficus"]),
    (Hazard::Urushiol, &["Toxicodendron"]),
    (Hazard::Sunlight, &["Dictamnus", "Ficus", "Heracleum", "Pastinaca", "Ruta"]),
    (
        Hazard::Poison,
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
    (Hazard::Rash, &["Alstroemeria", "Chrysanthemum", "Dieffenbachia", "Hyacinthus", "Narcissus", "Tulipa"]),
];

/// Dormant wood of these is often treated with hot water.
const HOT_WATER_GENERA: [&str; 1] = ["Vitis"];

/// Hazards of a method on plants of a genus, the nearest hazard first; each stands once.
pub fn for_method(genus: &str, facets: &Facets) -> Vec<Hazard> {
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
    let hazards = [
        (is_cut, Hazard::Knife),
        (is_grafted, Hazard::Wax),
        (is_cut, Hazard::Disinfectant),
        (has_powder, Hazard::Powder),
        (has_other_auxin, Hazard::Dip),
        (auxin.contains("spray"), Hazard::Spray),
        (matches!(solvent.as_str(), "ethanol" | "isopropanol"), Hazard::Alcohol),
        (solvent == "sodium hydroxide", Hazard::Lye),
        (kind == "seed" || is_among(&HOT_WATER_GENERA, genus), Hazard::HotWater),
        (is_misted, Hazard::MistPower),
        (is_misted, Hazard::MistWater),
        (facets.bottom_heat.is_some() || word(Facet::BottomHeat) == "on", Hazard::Heat),
        (names_a_cultivar, Hazard::Rights),
        (true, Hazard::PlantHealth),
        (true, Hazard::Food),
    ];
    let saps = SAPS.iter().map(|(hazard, genera)| (is_among(genera, genus), *hazard));
    chosen(saps.chain(hazards))
}

/// Hazards of a spot with mist or fog, bottom heat, or spraying.
pub fn for_spot(has_mist: bool, has_heat: bool, has_spray: bool) -> Vec<Hazard> {
    chosen(
        [
            (has_mist, Hazard::MistPower),
            (has_mist, Hazard::MistWater),
            (has_heat, Hazard::Heat),
            (has_spray, Hazard::Spray),
        ]
        .into_iter(),
    )
}

fn chosen(hazards: impl Iterator<Item = (bool, Hazard)>) -> Vec<Hazard> {
    hazards.filter_map(|(is_meant, hazard)| is_meant.then_some(hazard)).collect()
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
        for_method(genus, &facets(words)).into_iter().map(Hazard::id).collect()
    }

    /// Every caution there is, by the methods and spots that call for it.
    fn all() -> Vec<Hazard> {
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
    fn every_hazard_is_met_by_some_method_or_spot_under_a_name_of_its_own() {
        let met: BTreeSet<&str> = all().into_iter().map(Hazard::id).collect();
        assert_eq!(met, Hazard::ALL.into_iter().map(Hazard::id).collect());
        assert_eq!(met.len(), Hazard::ALL.len());
        for id in met {
            assert!(id.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{id}");
        }
    }

    #[test]
    fn none_stands_twice() {
        for genus in ["Ficus", "Morus"] {
            let ids = ids(genus, &[(Facet::Kind, "graft"), (Facet::Humidity, "mist")]);
            assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "{ids:?}");
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
        let ids = |hazards: Vec<Hazard>| hazards.into_iter().map(Hazard::id).collect::<Vec<_>>();
        assert_eq!(ids(for_spot(false, false, false)), Vec::<&str>::new());
        assert_eq!(ids(for_spot(true, false, false)), ["mist-power", "mist-water"]);
        assert_eq!(ids(for_spot(false, true, true)), ["heat", "spray"]);
    }
}
