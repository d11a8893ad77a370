//! The list keeps its own promises, and finds what growers type.

use std::collections::BTreeSet;

use super::{
    OTHER_NAMES_VERSION, PlantHazard, SynonymError, Synonyms, all, hazardous, hazards, lookup, other_names,
    perhaps, suggest,
};
use crate::record::Facets;
use crate::taxon::Taxon;
use crate::vocab::Facet;

#[test]
fn every_row_parses_and_stands_once() {
    assert!((600..=900).contains(&all().len()), "{} rows", all().len());
    let names: BTreeSet<&str> = all().iter().map(|listed| listed.scientific).collect();
    assert_eq!(names.len(), all().len());
    for listed in all() {
        let taxon = Taxon::parse(listed.scientific).expect(listed.scientific);
        assert_eq!(taxon.to_string(), listed.scientific);
        assert!(listed.common.len() <= 4, "{}", listed.scientific);
    }
}

#[test]
fn usual_ways_are_words_of_the_vocabularies() {
    for listed in all() {
        let mut facets = Facets::default();
        let is_word =
            [Facet::Wood, Facet::Kind].into_iter().any(|facet| facets.set(facet, listed.usual).is_ok());
        assert!(is_word, "{}: {}", listed.scientific, listed.usual);
    }
}

#[test]
fn listed_names_are_found_by_themselves() {
    for listed in all() {
        assert!(lookup(listed.scientific).contains(&listed), "{}", listed.scientific);
        assert_eq!(suggest(listed.scientific).first(), Some(&listed.scientific));
        for common in &listed.common {
            assert!(lookup(common).contains(&listed), "{common}");
        }
    }
}

#[test]
fn a_common_name_may_mean_several_plants() {
    let meant: Vec<&str> = lookup("Rose of Sharon").into_iter().map(|listed| listed.scientific).collect();
    assert_eq!(meant, ["Hibiscus syriacus", "Hypericum calycinum"]);
    assert!(lookup("cornus").len() > 5);
}

#[test]
fn misspelt_names_are_suggested() {
    for (typed, meant) in [
        ("Ribes nigra", "Ribes nigrum"),
        ("Ribes nigram", "Ribes nigrum"),
        ("Rybes nigrum", "Ribes nigrum"),
        ("Jugalns regia", "Juglans regia"),
        ("Morus niger", "Morus nigra"),
        ("Cornus mass", "Cornus mas"),
        ("black curant", "Ribes nigrum"),
        ("cornelean cherry", "Cornus mas"),
        ("walnutt", "Juglans regia"),
        ("black mulbery", "Morus nigra"),
    ] {
        assert!(suggest(typed).contains(&meant), "{typed}: {:?}", suggest(typed));
    }
    assert!(suggest("Ribes nigrum").len() <= 3);
    assert_eq!(suggest("qqqqqqqq"), [] as [&str; 0]);
    assert_eq!(suggest(""), [] as [&str; 0]);
}

#[test]
fn synonyms_are_followed_and_taken_back() {
    let name = |text| Taxon::parse(text).expect(text);
    let (old, new) = (name("Lumetta officinalis"), name("Lumetta rosea"));
    let mut synonyms = Synonyms::default();
    assert_eq!(synonyms.add(&old, &new), Ok(()));
    assert_eq!(synonyms.add(&old, &new), Ok(()));
    assert_eq!(synonyms.accepted_key("lumetta officinalis"), "lumetta rosea");
    assert_eq!(synonyms.accepted_key("lumetta rosea"), "lumetta rosea");
    assert!(matches!(synonyms.add(&new, &old), Err(SynonymError::Ring { .. })));
    assert!(matches!(synonyms.add(&old, &name("Ribes nigrum")), Err(SynonymError::Taken { .. })));
    assert!(matches!(
        synonyms.add(&old, &name("Lumetta officinalis 'Brasswing'")),
        Err(SynonymError::Same(_))
    ));
    let json = serde_json::to_string(&synonyms).expect("JSON");
    assert_eq!(serde_json::from_str::<Synonyms>(&json).expect("JSON"), synonyms);
    assert!(synonyms.part(&old) && !synonyms.part(&old));
    assert_eq!(synonyms.accepted_key("lumetta officinalis"), "lumetta officinalis");
}

#[test]
fn a_name_is_replaced_by_the_one_it_is_taken_for_and_keeps_its_cultivar() {
    let name = |text| Taxon::parse(text).expect(text);
    let mut synonyms = Synonyms::default();
    synonyms.add(&name("Lumetta officinalis"), &name("Lumetta rosea")).expect("added");
    let accepted = |text| synonyms.accepted(&name(text)).to_string();
    assert_eq!(accepted("Lumetta officinalis 'Brasswing'"), "Lumetta rosea 'Brasswing'");
    assert_eq!(accepted("Lumetta rosea"), "Lumetta rosea");
    assert_eq!(accepted("Ribes nigrum"), "Ribes nigrum");
    for either in ["lumetta officinalis", "lumetta rosea"] {
        assert_eq!(synonyms.one_species(either), ["lumetta rosea", "lumetta officinalis"]);
    }
    assert_eq!(synonyms.one_species("ribes nigrum"), ["ribes nigrum"]);
}

/// What can be a synonym is looked up by its key, so a name must come back from its key.
#[test]
fn only_what_names_a_species_can_be_a_synonym() {
    let name = |text| Taxon::parse(text).expect(text);
    let add = |one, other| Synonyms::default().add(&name(one), &name(other));
    for doubtful in ["Salvia", "Salvia sp.", "Salvia cf. rosmarinus", "Salvia 'Brasswing'"] {
        let refused = |result| matches!(result, Err(SynonymError::NotASpecies(_)));
        assert!(
            refused(add(doubtful, "Ribes nigrum")) && refused(add("Ribes nigrum", doubtful)),
            "{doubtful}"
        );
    }
    assert_eq!(add("Morus alba × Morus rubra", "Berberis ×mentorensis"), Ok(()));
    for listed in all() {
        assert_eq!(add(listed.scientific, "Lumetta rosea"), Ok(()), "{}", listed.scientific);
    }
}

#[test]
fn chains_of_synonyms_end() {
    let name = |text| Taxon::parse(text).expect(text);
    let mut synonyms = Synonyms::default();
    let chain = ["Lumetta rosea", "Lumetta alba", "Lumetta nigra", "Lumetta vera"].map(name);
    for pair in chain.windows(2) {
        assert_eq!(synonyms.add(&pair[0], &pair[1]), Ok(()));
    }
    assert_eq!(synonyms.accepted_key("lumetta rosea"), "lumetta vera");
    assert!(matches!(synonyms.add(&chain[3], &chain[0]), Err(SynonymError::Ring { .. })));
    assert_eq!(synonyms.pairs().count(), 3);
}

#[test]
fn hazards_are_those_of_the_genus_the_species_and_both_parents() {
    let of = |text| hazards(&Taxon::parse(text).expect(text));
    assert_eq!(of("Ficus carica 'Brasswing'"), [PlantHazard::Latex, PlantHazard::Sun]);
    assert_eq!(of("Ficus elastica"), [PlantHazard::Latex], "only the fig is in the leaflet on sun");
    assert_eq!(of("Buddleja davidii"), [PlantHazard::Invasive, PlantHazard::Rights]);
    assert_eq!(of("Prunus laurocerasus"), [PlantHazard::Poison, PlantHazard::Invasive]);
    for taxus in ["Taxus sp.", "Taxus cf. baccata", "Taxus × media", "Taxus baccata × Taxus cuspidata"] {
        assert_eq!(of(taxus), [PlantHazard::Poison], "{taxus}");
    }
    for other in ["Lumetta rosea", "Pseudotaxus chienii", "Ficusella vera", "Prunus mume"] {
        assert_eq!(of(other), [], "{other}");
    }
}

#[test]
fn every_row_of_hazards_is_read_and_names_a_plant() {
    let rows = include_str!("hazards.tsv").lines().filter(|line| !line.starts_with('#')).count();
    assert_eq!(hazardous().len(), rows, "the rows that the build checked are all read");
    for plant in hazardous() {
        let taxon = Taxon::parse(plant.name).expect(plant.name);
        assert!(hazards(&taxon).contains(&plant.hazard), "{}", plant.name);
    }
}

#[test]
fn every_other_name_is_read_and_leads_to_a_listed_plant() {
    let rows = include_str!("other_names.tsv").lines().filter(|line| !line.starts_with('#'));
    assert_eq!(other_names().len(), rows.count(), "a row is not read");
    let version = format!("version {OTHER_NAMES_VERSION}.");
    assert!(include_str!("other_names.tsv").lines().next().is_some_and(|head| head.contains(&version)));
    let own = Synonyms::default();
    for other in other_names() {
        let taxon = Taxon::parse(other.name).expect(other.name);
        assert_eq!(taxon.to_string(), other.name);
        let accepted = Taxon::parse(other.accepted).expect(other.accepted);
        assert!(all().iter().any(|listed| listed.scientific == other.accepted), "{}", other.accepted);
        let (key, of) = (taxon.species_key(), accepted.species_key());
        assert_eq!(own.accepted_key(&of), of, "{} is no other name itself", other.accepted);
        assert_eq!(own.accepted_key(&key), if other.is_sure { of } else { key }, "{}", other.name);
        assert_eq!(perhaps(&taxon).is_some(), !other.is_sure);
    }
    let names: BTreeSet<&str> = other_names().iter().map(|other| other.name).collect();
    assert_eq!(names.len(), other_names().len());
}

#[test]
fn what_a_grower_said_goes_before_the_list_and_no_ring_comes_of_both() {
    let name = |text| Taxon::parse(text).expect(text);
    let (old, new) = (name("Rosmarinus officinalis"), name("Salvia rosmarinus"));
    let (old_key, new_key) = (old.species_key(), new.species_key());
    let mut own = Synonyms::default();
    assert_eq!(own.one_species(&old_key), [new_key.clone(), old_key.clone()]);
    assert_eq!(
        own.accepted(&name("Rosmarinus officinalis 'Brasswing'")).to_string(),
        "Salvia rosmarinus 'Brasswing'"
    );
    assert!(matches!(own.add(&new, &old), Err(SynonymError::Ring { .. })));
    assert!(own.part(&old) && !own.part(&old), "parted once");
    assert_eq!(
        (own.one_species(&old_key), own.one_species(&new_key)),
        (vec![old_key.clone()], vec![new_key.clone()])
    );
    assert_eq!((own.pairs().count(), own.parted().count()), (0, 1));
    assert_eq!(own.add(&new, &old), Ok(()));
    assert_eq!(own.one_species(&new_key), [old_key, new_key]);
}

#[test]
fn a_common_name_of_one_plant_is_taken_in_every_dialect_and_others_are_asked_about() {
    let read = |typed: &str| {
        let noting = Taxon::parse_noting(typed);
        noting.taxon.map_or_else(|| noting.offers.join(" or "), |taxon| taxon.to_string())
    };
    for (typed, taken) in [
        ("fig", "Ficus carica"),
        ("Figs", "Ficus carica"),
        ("rosemary", "Salvia rosmarinus"),
        ("crepe myrtle 'Lantern'", "Lagerstroemia indica 'Lantern'"),
        ("weeping bottlebrush", "Melaleuca viminalis"),
        ("lilly pilly", "Syzygium paniculatum or Syzygium smithii"),
        ("pohutukawa", "Metrosideros excelsa"),
        ("spotted laurel", "Aucuba japonica"),
        ("blackcurrants", "Ribes nigrum"),
        ("eastern redbud", "Cercis canadensis"),
        ("common box", "Buxus sempervirens"),
        ("sycamore", "Acer pseudoplatanus or Platanus occidentalis"),
        ("mimosa", "Acacia dealbata or Albizia julibrissin"),
        ("mountain ash", "Eucalyptus regnans or Sorbus aucuparia"),
        ("walnut", "Juglans nigra or Juglans regia"),
    ] {
        assert_eq!(read(typed), taken, "{typed}");
    }
}
