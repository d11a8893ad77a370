//! What growers call the details of a method.

use super::Facet;

/// Names beside those of the schema, folded as [`Facet::called`] does.
const CALLED: &[(Facet, &[&str])] = &[
    (Facet::Auxin, &["hormone", "rooting_hormone"]),
    (Facet::Humidity, &["mist", "cover", "mist_or_cover"]),
    (Facet::GrowingPlace, &["structure"]),
    (Facet::Form, &["type", "cutting_type", "graft_type", "bud_type", "layer_type"]),
    (Facet::BottomHeat, &["heat"]),
    (Facet::TipNodesRemoved, &["pinched", "tip_pinched", "tip_pruned"]),
    (Facet::Medium, &["mix", "rooting_mix"]),
    (Facet::Stratification, &["pretreatment"]),
    (Facet::Solvent, &["mixed_in"]),
    (Facet::Wound, &["wounding"]),
    (Facet::StockOrigin, &["origin", "raised_from"]),
    (Facet::StockAge, &["age"]),
];

impl Facet {
    /// The facet of that name, or of a name that growers have for it; case, spaces and hyphens do not matter.
    pub fn called(name: &str) -> Option<Self> {
        let name = name.trim().to_lowercase().replace([' ', '-'], "_");
        let by_growers =
            || CALLED.iter().find(|(_, names)| names.contains(&name.as_str())).map(|(facet, _)| *facet);
        Self::from_name(&name).or_else(by_growers)
    }

    /// What growers call the facet, beside its name.
    pub fn also_called(self) -> &'static [&'static str] {
        CALLED.iter().find(|(facet, _)| *facet == self).map_or(&[], |(_, names)| names)
    }
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;

    #[test]
    fn each_name_is_of_one_facet_and_read_as_it_is_typed() {
        let all: Vec<&str> = CALLED.iter().flat_map(|(_, names)| *names).copied().collect();
        assert_eq!(all.iter().collect::<BTreeSet<_>>().len(), all.len());
        for facet in Facet::ALL {
            assert_eq!(Facet::called(facet.name()), Some(facet));
            for name in facet.also_called() {
                assert_eq!(Facet::from_name(name), None, "{name}");
                assert_eq!(Facet::called(&name.to_uppercase().replace('_', " ")), Some(facet), "{name}");
            }
        }
        assert_eq!(Facet::called("glue"), None);
    }
}
