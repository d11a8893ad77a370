//! Names and keys. Forms follow the ICN and ICNCP as cited in `parse`; the names themselves are from memory.

use super::{Taxon, TaxonFault};

fn shown(text: &str) -> String {
    Taxon::parse(text).map_or_else(|error| error.to_string(), |taxon| taxon.to_string())
}

#[test]
fn one_display_form_for_each_name() {
    for (typed, display) in [
        ("Ribes nigrum", "Ribes nigrum"),
        ("ribes nigrum", "Ribes nigrum"),
        ("Ribes nigrum L.", "Ribes nigrum"),
        ("Ribes  nigrum  \"Brasswing\"", "Ribes nigrum 'Brasswing'"),
        ("Ribes nigrum cv. Low Lantern", "Ribes nigrum 'Low Lantern'"),
        ("Ribes ‘Brasswing’", "Ribes 'Brasswing'"),
        ("Berberis x mentorensis L.M.Ames", "Berberis ×mentorensis"),
        ("Berberis ×mentorensis", "Berberis ×mentorensis"),
        ("Berberis _x_ mentorensis", "Berberis ×mentorensis"),
        ("xCuprocyparis", "×Cuprocyparis"),
        ("Xanthoceras sorbifolium Bunge", "Xanthoceras sorbifolium"),
        ("+ Laburnocytisus adamii", "+Laburnocytisus adamii"),
        ("Morus alba x Morus rubra", "Morus alba × Morus rubra"),
        ("Morus alba × M. rubra", "Morus alba × Morus rubra"),
        ("Morus alba L. × rubra", "Morus alba × Morus rubra"),
        ("Cornus sericea ssp. occidentalis (Torr. & A.Gray) Fosberg", "Cornus sericea subsp. occidentalis"),
        ("Cornus florida f. rubra", "Cornus florida f. rubra"),
        ("Cornus wilsoniana Hook. f.", "Cornus wilsoniana"),
        ("Cornus wilsoniana Hook. f. var. alba", "Cornus wilsoniana var. alba"),
        ("Cornus wilsoniana Hook. f. f. alba Rehder", "Cornus wilsoniana f. alba"),
        ("Acer palmatum Thunb. var. dissectum", "Acer palmatum var. dissectum"),
        ("Acer palmatum (Dissectum Group) 'Low Lantern'", "Acer palmatum (Dissectum Group) 'Low Lantern'"),
        ("Acer palmatum Dissectum Group", "Acer palmatum Dissectum Group"),
        ("Ribes sp.", "Ribes sp."),
        ("Ribes cf. nigrum", "Ribes cf. nigrum"),
        ("Lumetta rosea", "Lumetta rosea"),
        ("Ribes uva-crispa", "Ribes uva-crispa"),
        ("Isoëtes", "Isoetes"),
        ("Pyrus communis 'Beurré d'Essai'", "Pyrus communis 'Beurré d'Essai'"),
    ] {
        assert_eq!(shown(typed), display, "{typed}");
        assert_eq!(shown(display), display, "{display} does not stay itself");
    }
}

#[test]
fn dropped_words_are_named() {
    let dropped = |text| Taxon::parse_dropping(text).expect(text).1.join(" ");
    assert_eq!(dropped("Ribes nigrum 'Brasswing'"), "");
    assert_eq!(dropped("Ribes nigrum Low Lantern"), "Low Lantern");
    assert_eq!(dropped("Acer palmatum Thunb. var. dissectum (Thunb.) Miq."), "Thunb. (Thunb.) Miq.");
    assert_eq!(dropped("Morus alba L. × rubra L."), "L. L.");
}

#[test]
fn hybrid_marks_and_cultivars_do_not_part_a_species() {
    let key = |text| Taxon::parse(text).expect("valid").species_key();
    assert_eq!(key("Berberis x mentorensis"), key("Berberis mentorensis"));
    assert_eq!(key("Ribes nigrum 'Brasswing'"), "ribes nigrum");
    assert_eq!(key("Morus alba × Morus rubra"), key("Morus rubra × Morus alba"));
    assert_ne!(key("Ribes cf. nigrum"), key("Ribes nigrum"));
}

#[test]
fn full_keys_part_cultivars_and_ranks() {
    let key = |text| Taxon::parse(text).expect("valid").key();
    assert_eq!(key("Ribes nigrum 'Zlatá'"), "ribes nigrum||||zlata");
    assert_eq!(key("Acer palmatum var. dissectum"), "acer palmatum|var.|dissectum||");
}

#[test]
fn other_texts_are_refused_with_the_word_at_fault() {
    let fault = |text| Taxon::parse(text).expect_err(text).fault().clone();
    assert_eq!(fault("  "), TaxonFault::Empty);
    assert_eq!(fault("blackcurrant"), TaxonFault::Genus("blackcurrant".to_owned()));
    assert_eq!(fault("Ribes nigrum europaeum"), TaxonFault::Rank("europaeum".to_owned()));
    assert_eq!(fault("Ribes nigrum 'Brasswing"), TaxonFault::OpenQuote);
    assert_eq!(fault("Ribes nigrum var."), TaxonFault::Missing("var.".to_owned()));
    assert_eq!(fault("Ribes n!grum"), TaxonFault::Unexpected("n!grum".to_owned()));
    assert_eq!(fault("Ribes (Gp Group)"), TaxonFault::Name("Gp".to_owned()));
    assert_eq!(fault("Ribes (Low Group' Group)"), TaxonFault::Name("Low Group".to_owned()));
    assert_eq!(fault("R2 nigrum"), TaxonFault::Genus("R2".to_owned()));
}

#[test]
fn refusals_suggest_what_was_perhaps_meant() {
    let suggestions = |text| Taxon::parse(text).expect_err(text).suggestions().to_vec();
    assert_eq!(suggestions("blackcurrant"), ["Ribes nigrum"]);
    assert_eq!(suggestions("lumetta rosea"), ["Lumetta rosea"]);
    assert!(suggestions("Ribes nigrum europaeum").contains(&"Ribes nigrum subsp. europaeum".to_owned()));
}
