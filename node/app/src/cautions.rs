//! Which hazards a method, a plant and a spot have; what is said of each stands in `present`, and which plants have
//! which in the list of plants.

use propagule_protocol::names::{self, PlantHazard};
use propagule_protocol::{Facet, Facets, Taxon};

/// A hazard of the work; one line warns of each.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Hazard {
    /// Rooting hormone in any form.
    Hormone,
    /// Dips that a grower mixed.
    HomemadeHormone,
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
    /// Dust and germs of potting mix.
    PottingMix,
    /// Heating cables and mats.
    Heat,
    /// Sprays.
    Spray,
    /// Rights in a cultivar.
    Rights,
    /// Plants from the wild.
    Wild,
    /// Pests that travel with plants.
    Sending,
    /// Plants that spread.
    Invasive,
    /// Eating what was propagated.
    Food,
    /// Milky sap.
    Latex,
    /// Sap that gives a severe rash.
    Allergy,
    /// Sap that daylight acts on.
    Sun,
    /// Sap with crystals like needles.
    Crystals,
    /// Poisonous plants.
    Poison,
    /// Plants whose handling gives a rash.
    Rash,
}

impl Hazard {
    /// All of them.
    pub const ALL: [Self; 24] = [
        Self::Hormone,
        Self::HomemadeHormone,
        Self::Alcohol,
        Self::Lye,
        Self::Disinfectant,
        Self::Knife,
        Self::Wax,
        Self::HotWater,
        Self::MistPower,
        Self::MistWater,
        Self::PottingMix,
        Self::Heat,
        Self::Spray,
        Self::Rights,
        Self::Wild,
        Self::Sending,
        Self::Invasive,
        Self::Food,
        Self::Latex,
        Self::Allergy,
        Self::Sun,
        Self::Crystals,
        Self::Poison,
        Self::Rash,
    ];

    /// Stable name, by which a grower dismisses its caution for a season.
    pub const fn id(self) -> &'static str {
        match self {
            Self::Hormone => "hormone",
            Self::HomemadeHormone => "hormone-homemade",
            Self::Alcohol => "alcohol",
            Self::Lye => "lye",
            Self::Disinfectant => "disinfectant",
            Self::Knife => "knife",
            Self::Wax => "hot-wax",
            Self::HotWater => "hot-water",
            Self::MistPower => "mist-power",
            Self::MistWater => "mist-water",
            Self::PottingMix => "potting-mix",
            Self::Heat => "heat",
            Self::Spray => "spray",
            Self::Rights => "rights",
            Self::Wild => "wild",
            Self::Sending => "sending",
            Self::Invasive => "invasive",
            Self::Food => "not-food",
            Self::Latex => "sap-latex",
            Self::Allergy => "sap-allergy",
            Self::Sun => "sap-sun",
            Self::Crystals => "sap-crystals",
            Self::Poison => "poison",
            Self::Rash => "sap-rash",
        }
    }

    /// The one of that name, or of the name that it had before 0.2.
    pub fn of_id(id: &str) -> Option<Self> {
        let is_it = |hazard: &Self| hazard.id() == id || hazard.former_ids().contains(&id);
        Self::ALL.into_iter().find(is_it)
    }

    /// Names that it had before 0.2, under which it may be hidden in a journal.
    pub const fn former_ids(self) -> &'static [&'static str] {
        match self {
            Self::Hormone => &["auxin-powder", "auxin-dip"],
            Self::Sending => &["plant-health"],
            Self::Food => &["not-for-eating"],
            Self::Allergy => &["sap-urushiol"],
            Self::Sun => &["sap-sunlight"],
            Self::Poison => &["sap-poison"],
            _ => &[],
        }
    }
}

impl From<PlantHazard> for Hazard {
    fn from(hazard: PlantHazard) -> Self {
        match hazard {
            PlantHazard::Latex => Self::Latex,
            PlantHazard::Allergy => Self::Allergy,
            PlantHazard::Sun => Self::Sun,
            PlantHazard::Crystals => Self::Crystals,
            PlantHazard::Poison => Self::Poison,
            PlantHazard::Rash => Self::Rash,
            PlantHazard::Invasive => Self::Invasive,
            PlantHazard::Rights => Self::Rights,
        }
    }
}

/// Dormant wood of these is often treated with hot water.
const HOT_WATER_GENERA: [&str; 1] = ["vitis"];

/// Media that give dust, or in which Legionella may live.
const DUSTY_MEDIA: [&str; 5] = ["perlite", "vermiculite", "compost", "mix", "sphagnum"];

/// Hazards of a plant, however it is propagated; those of its cultivars are asked of the cultivar alone.
pub fn for_plant(taxon: &Taxon) -> Vec<Hazard> {
    let of_species = names::hazards(taxon).into_iter().map(Hazard::from);
    of_species.filter(|hazard| *hazard != Hazard::Rights || taxon.cultivar.is_some()).collect()
}

/// Hazards of a method on a plant, the nearest hazard first; each stands once.
pub fn for_method(taxon: &Taxon, facets: &Facets) -> Vec<Hazard> {
    let word = |facet| facets.word(facet).unwrap_or_default();
    let (kind, auxin, solvent) = (word(Facet::Kind), word(Facet::Auxin), word(Facet::Solvent));
    let is_grafted = matches!(kind.as_str(), "graft" | "bud" | "cutting-graft");
    let is_cut =
        !matches!(kind.as_str(), "seed" | "spores" | "offset" | "sucker" | "runner" | "bulb splitting");
    let has_hormone = !matches!(auxin.as_str(), "" | "none");
    let is_in_alcohol = matches!(solvent.as_str(), "ethanol" | "isopropanol");
    let is_in_lye = solvent == "sodium hydroxide";
    let is_misted =
        matches!(word(Facet::Humidity).as_str(), "mist" | "fog" | "high-pressure fog" | "submist");
    let medium = word(Facet::Medium);
    let names_a_cultivar =
        taxon.cultivar.is_some() || facets.cultivar.as_deref().is_some_and(|name| name != "seedling");
    let hazards = [
        (is_cut, Hazard::Knife),
        (is_grafted, Hazard::Wax),
        (is_cut, Hazard::Disinfectant),
        (has_hormone, Hazard::Hormone),
        (auxin.contains("spray"), Hazard::Spray),
        (has_hormone && (is_in_alcohol || is_in_lye), Hazard::HomemadeHormone),
        (is_in_alcohol, Hazard::Alcohol),
        (is_in_lye, Hazard::Lye),
        (kind == "seed" || HOT_WATER_GENERA.contains(&taxon.genus.as_str()), Hazard::HotWater),
        (is_misted, Hazard::MistPower),
        (is_misted, Hazard::MistWater),
        (DUSTY_MEDIA.iter().any(|dusty| medium.contains(dusty)), Hazard::PottingMix),
        (facets.bottom_heat.is_some() || word(Facet::BottomHeat) == "on", Hazard::Heat),
        (names_a_cultivar, Hazard::Rights),
        (is_grafted, Hazard::Sending),
        (true, Hazard::Food),
    ];
    let of_method = hazards.into_iter().filter_map(|(is_meant, hazard)| is_meant.then_some(hazard));
    each_once(for_plant(taxon).into_iter().chain(of_method))
}

/// The same in their order, each where it stands first.
pub fn each_once(hazards: impl Iterator<Item = Hazard>) -> Vec<Hazard> {
    hazards.fold(Vec::new(), |mut once, hazard| {
        if !once.contains(&hazard) {
            once.push(hazard);
        }
        once
    })
}

/// Hazards of a spot with mist or fog, bottom heat, or spraying.
pub fn for_spot(has_mist: bool, has_heat: bool, has_spray: bool) -> Vec<Hazard> {
    let hazards = [
        (has_mist, Hazard::MistPower),
        (has_mist, Hazard::MistWater),
        (has_heat, Hazard::Heat),
        (has_spray, Hazard::Spray),
    ];
    hazards.into_iter().filter_map(|(is_meant, hazard)| is_meant.then_some(hazard)).collect()
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

    fn plant(name: &str) -> Taxon {
        Taxon::parse(name).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    fn ids(name: &str, words: &[(Facet, &str)]) -> Vec<&'static str> {
        for_method(&plant(name), &facets(words)).into_iter().map(Hazard::id).collect()
    }

    /// Every caution there is, by the methods and spots that call for it.
    fn all() -> Vec<Hazard> {
        let graft = facets(&[
            (Facet::Kind, "graft"),
            (Facet::Auxin, "IBA powder 3000 mg/kg + IBA spray 100 mg/L"),
            (Facet::Solvent, "ethanol"),
            (Facet::Humidity, "fog"),
            (Facet::BottomHeat, "22 °C"),
            (Facet::Medium, "perlite 50 + peat 50"),
            (Facet::Cultivar, "Brasswing"),
        ]);
        let seed = facets(&[(Facet::Kind, "seed"), (Facet::Solvent, "sodium hydroxide")]);
        let plants = names::hazardous().iter().map(|plant| plant.name).chain(["Buddleja davidii"]);
        let methods =
            plants.flat_map(|name| [for_method(&plant(name), &graft), for_method(&plant(name), &seed)]);
        methods.flatten().chain(for_spot(true, true, true)).collect()
    }

    /// Nothing that is entered says that a plant grew wild, so that caution stands in the list alone.
    #[test]
    fn every_hazard_is_met_by_some_method_or_spot_under_a_name_of_its_own() {
        let met: BTreeSet<&str> = all().into_iter().map(Hazard::id).chain(["wild"]).collect();
        assert_eq!(met, Hazard::ALL.into_iter().map(Hazard::id).collect());
        assert_eq!(met.len(), Hazard::ALL.len());
        for id in met {
            assert!(id.chars().all(|c| c.is_ascii_lowercase() || c == '-'), "{id}");
        }
    }

    #[test]
    fn a_former_name_is_that_of_one_hazard() {
        let known: Vec<_> =
            Hazard::ALL.into_iter().flat_map(|one| one.former_ids().iter().copied()).collect();
        assert_eq!(known.iter().collect::<BTreeSet<_>>().len(), known.len());
        assert!(Hazard::ALL.into_iter().all(|one| Hazard::of_id(one.id()) == Some(one)));
        assert_eq!(Hazard::of_id("sap-poison"), Some(Hazard::Poison));
        assert_eq!(Hazard::of_id("sap"), None);
    }

    #[test]
    fn none_stands_twice() {
        for name in ["Ficus carica", "Morus nigra 'Brasswing'"] {
            let ids = ids(name, &[(Facet::Kind, "graft"), (Facet::Humidity, "mist")]);
            assert_eq!(ids.iter().collect::<BTreeSet<_>>().len(), ids.len(), "{ids:?}");
        }
    }

    #[test]
    fn what_the_list_says_of_a_plant_comes_first() {
        let words = [(Facet::Kind, "stem cutting")];
        assert_eq!(ids("Ficus carica", &words)[..3], ["sap-latex", "sap-sun", "knife"]);
        assert_eq!(ids("Nerium oleander", &words)[..2], ["poison", "knife"]);
        assert_eq!(ids("Dieffenbachia seguine", &words)[..2], ["sap-crystals", "knife"]);
        assert_eq!(ids("Lumetta rosea", &words)[0], "knife");
    }

    #[test]
    fn a_method_calls_for_what_it_uses() {
        assert_eq!(ids("Ribes nigrum", &[(Facet::Kind, "offset")]), ["not-food"]);
        assert_eq!(
            ids("Ribes nigrum", &[(Facet::Kind, "stem cutting"), (Facet::Auxin, "none")]),
            ["knife", "disinfectant", "not-food"]
        );
        let dip = [
            (Facet::Kind, "offset"),
            (Facet::Auxin, "IBA quick dip 3000 mg/L"),
            (Facet::Solvent, "isopropanol"),
        ];
        assert_eq!(ids("Ribes nigrum", &dip), ["hormone", "hormone-homemade", "alcohol", "not-food"]);
        let talc = [(Facet::Kind, "offset"), (Facet::Auxin, "IBA powder, strength unknown")];
        assert_eq!(ids("Ribes nigrum", &talc), ["hormone", "not-food"]);
        assert_eq!(ids("Cornus mas", &[(Facet::Kind, "seed")]), ["hot-water", "not-food"]);
        assert!(ids("Vitis vinifera", &[(Facet::Kind, "stem cutting")]).contains(&"hot-water"));
        let bud = ids("Juglans regia", &[(Facet::Kind, "bud")]);
        assert!(bud.contains(&"hot-wax") && bud.contains(&"sending"), "{bud:?}");
        let seedling = [(Facet::Kind, "seed"), (Facet::Cultivar, "seedling")];
        assert!(!ids("Morus nigra", &seedling).contains(&"rights"));
        let named = [(Facet::Kind, "bud"), (Facet::Cultivar, "Low Lantern")];
        assert!(ids("Morus nigra", &named).contains(&"rights"));
        assert!(ids("Morus nigra 'Low Lantern'", &[(Facet::Kind, "bud")]).contains(&"rights"));
        for (medium, is_dusty) in
            [("coir 50 + perlite 50", true), ("seed compost", true), ("sharp sand", false)]
        {
            let ids = ids("Ribes nigrum", &[(Facet::Kind, "stem cutting"), (Facet::Medium, medium)]);
            assert_eq!(ids.contains(&"potting-mix"), is_dusty, "{medium}");
        }
    }

    #[test]
    fn a_spot_calls_for_what_it_has() {
        let ids = |hazards: Vec<Hazard>| hazards.into_iter().map(Hazard::id).collect::<Vec<_>>();
        assert_eq!(ids(for_spot(false, false, false)), Vec::<&str>::new());
        assert_eq!(ids(for_spot(true, false, false)), ["mist-power", "mist-water"]);
        assert_eq!(ids(for_spot(false, true, true)), ["heat", "spray"]);
    }
}
