//! Words both ways. Spellings are common practice, no source, unless named.

use proptest::prelude::*;

use super::{Facet, codes};
use crate::record::{Auxin, Code, Facets};

fn set(facet: Facet, text: &str) -> Result<String, String> {
    let mut facets = Facets::default();
    facets.set(facet, text).map_err(|error| error.to_string())?;
    Ok(facets.word(facet).unwrap_or_default())
}

fn word(facet: Facet, text: &str) -> String {
    set(facet, text).unwrap_or_else(|error| error)
}

#[test]
fn every_listed_spelling_is_read_as_its_word() {
    for facet in Facet::ALL {
        assert_eq!(Facet::from_name(facet.name()), Some(facet));
        for (listed, spellings) in codes::of(facet).unwrap_or_default() {
            for spelling in std::iter::once(listed).chain(*spellings) {
                // A splice graft is a whip graft without a tongue, and is not written any more.
                let expected = if *listed == "splice" { "whip" } else { listed };
                assert_eq!(word(facet, spelling), expected, "{spelling}");
                assert_eq!(word(facet, &spelling.to_uppercase()), expected, "{spelling}");
            }
        }
    }
}

#[test]
fn reasons_of_withdrawals_go_both_ways() {
    for (word, code) in super::withdrawal_reasons().into_iter().zip(2..) {
        assert_eq!(super::withdrawal_reason(word), Ok(Code(code)));
        assert_eq!(super::withdrawal_reason_word(Code(code)), word);
    }
    let error = super::withdrawal_reason("mistakn").expect_err("misspelt");
    assert_eq!(error.suggestions, ["mistaken"]);
}

#[test]
fn codes_of_a_newer_version_are_shown_as_numbers() {
    let facets = Facets { wood: Some(Code(17)), ..Facets::default() };
    assert_eq!(facets.word(Facet::Wood).as_deref(), Some("code 17"));
    assert_eq!(word(Facet::Wood, "code 17"), "code 17");
    assert_eq!(word(Facet::Wood, "unknown"), "unknown");
    assert_eq!(word(Facet::Wood, "other"), "other");
}

#[test]
fn misspelt_words_are_refused_with_suggestions() {
    let wrong = set(Facet::Wood, "semi rip").expect_err("not a word");
    assert_eq!(wrong, "wood: `semi rip`: `semi rip` is not in the list; did you mean semi-ripe?");
    let lost = set(Facet::Wound, "zzzz").expect_err("not a word");
    assert!(lost.contains("is not one of none, light, heavy, slit, leaf-strip"), "{lost}");
}

#[test]
fn an_empty_text_takes_a_facet_back() {
    for facet in Facet::ALL.into_iter().skip(1) {
        let mut facets = Facets { rootstock: crate::Taxon::parse("Ribes aureum").ok(), ..Facets::default() };
        facets.set(facet, " ").expect("empty is fine");
        assert_eq!(facets.word(facet), None);
    }
}

#[test]
fn strengths_of_powders_and_solutions_are_kept_apart() {
    // 1 ppm = 1 mg/L, per cent = ppm / 10,000: definitions.
    for (typed, shown) in [
        ("IBA powder 3000 mg/kg", "IBA powder 3000 mg/kg"),
        ("0.3 % IBA powder", "IBA powder 3000 mg/kg"),
        ("IBA 0,3% talc", "IBA powder 3000 mg/kg"),
        ("IBA quick dip 3000 ppm", "IBA quick dip 3000 mg/L"),
        ("IBA quick dip 0.3 %", "IBA quick dip 3000 mg/L"),
        ("k-iba dip 10,000 ppm", "K-IBA quick dip 10000 mg/L"),
        ("IBA 1.5 g/L quick dip", "IBA quick dip 1500 mg/L"),
        ("iba powder, strength unknown", "IBA powder, strength unknown"),
        ("IBA powder", "IBA powder, strength unknown"),
        ("powder of unknown strength", "powder, strength unknown"),
        ("none", "none"),
        ("carrier only", "carrier only"),
        ("NAA 500 mg/L + IBA 1000 mg/L", "NAA 500 mg/L + IBA 1000 mg/L"),
        ("IBA soak 100 ppm", "IBA soak 100 mg/L"),
        ("unknown", "unknown"),
        ("powder 0.3 %", "powder 3000 mg/kg"),
    ] {
        assert_eq!(word(Facet::Auxin, typed), shown, "{typed}");
        assert_eq!(word(Facet::Auxin, shown), shown, "{shown}");
    }
}

#[test]
fn slips_of_unit_are_asked_about() {
    let error = |text| set(Facet::Auxin, text).expect_err(text);
    assert_eq!(
        error("IBA quick dip 3000 %"),
        "auxin: `IBA quick dip 3000 %`: 3000 % is not from 0 to 50000 mg/L; did you mean 3000 mg/L?"
    );
    assert!(error("IBA powder 3000 %").ends_with("did you mean 3000 mg/kg?"));
    assert!(
        error("IBA powder 3000 mg/L")
            .contains("a powder is measured in mg/kg or %; did you mean 3000 mg/kg?")
    );
    assert!(error("IBA dip 3000 mg/kg").contains("only a powder is measured in mg/kg"));
    assert!(error("IBA soak 3000 ppm").contains("not from 0 to 2000 mg/L"));
    assert!(error("IBA 3000").contains("needs a unit; did you mean 3000 mg/L, 3000 mg/kg?"));
    assert!(error("IBB 3000 ppm").contains("did you mean IBA"));
}

/// A grower who types 0.3 (%) as 0.3 ppm.
#[test]
fn a_strength_below_the_unit_is_asked_about() {
    let error = set(Facet::Auxin, "IBA quick dip 0.3 ppm").expect_err("too weak");
    assert!(error.ends_with("0.3 ppm is less than 1 mg/L; did you mean 0.3 %?"), "{error}");
}

/// Usual ranges of the notes on trade practice.
#[test]
fn unusual_values_are_asked_about_and_usual_ones_are_not() {
    let questions = |facet, text| {
        let mut facets = Facets::default();
        facets.set(facet, text).expect(text);
        facets.questions()
    };
    for (facet, usual) in [
        (Facet::Auxin, "IBA quick dip 3000 mg/L"),
        (Facet::Auxin, "IBA powder 0.3 %"),
        (Facet::Auxin, "none"),
        (Facet::Auxin, "carrier only"),
        (Facet::Auxin, "IBA powder, strength unknown"),
        (Facet::BottomHeat, "22"),
        (Facet::Stratification, "16/20"),
        (Facet::Wood, "softwood"),
    ] {
        assert_eq!(questions(facet, usual), [], "{usual}");
    }
    let slip = questions(Facet::Auxin, "IBA quick dip 3 mg/L");
    assert_eq!(
        slip[0].to_string(),
        "auxin: IBA quick dip 3 mg/L: 250 to 10000 mg/L is usual; did you mean 3000 mg/L?"
    );
    let percent = questions(Facet::Auxin, "IBA powder 1 mg/kg");
    assert_eq!(percent[0].suggestions, ["1000 mg/kg", "10000 mg/kg"]);
    assert_eq!(questions(Facet::Auxin, "IBA quick dip 20000 mg/L")[0].suggestions, [] as [&str; 0]);
    assert_eq!(questions(Facet::BottomHeat, "35")[0].field, "bottom_heat");
    assert_eq!(questions(Facet::Stratification, "cold 60")[0].field, "stratification");
}

#[test]
fn the_salt_of_iba_is_another_substance() {
    let mut facets = Facets::default();
    facets.set(Facet::Auxin, "K-IBA quick dip 3000 mg/L").expect("valid");
    assert_eq!(facets.auxin, Some(vec![Auxin { substance: Code(3), form: Code(4), dose: Some(3000) }]));
}

#[test]
fn media_are_read_with_and_without_shares() {
    for (typed, shown) in [
        ("peat 50 + perlite 50", "peat 50 + perlite 50"),
        ("50 % peat, 50% perlite", "peat 50 + perlite 50"),
        ("1:1 peat:perlite", "peat 50 + perlite 50"),
        ("3:1 perlite:peat", "perlite 75 + peat 25"),
        ("coarse perlite", "perlite"),
        ("bark mix", "bark"),
        ("peat, grit", "peat + grit"),
        ("perlite 100", "perlite 100"),
    ] {
        assert_eq!(word(Facet::Medium, typed), shown, "{typed}");
        assert_eq!(word(Facet::Medium, shown), shown, "{shown}");
    }
    assert!(set(Facet::Medium, "peat 60 + perlite 50").expect_err("110 %").contains("add up to 110 %"));
    assert!(set(Facet::Medium, "peat 50 + peat 50").expect_err("twice").contains("twice"));
    let misspelt = set(Facet::Medium, "pete").expect_err("misspelt");
    assert!(misspelt.ends_with("did you mean perlite, peat?"), "{misspelt}");
}

#[test]
fn other_quantities() {
    for (facet, typed, shown) in [
        (Facet::BottomHeat, "72 F", "22 °C"),
        (Facet::BottomHeat, "22 °C", "22 °C"),
        (Facet::BottomHeat, "-5", "-5 °C"),
        (Facet::Stratification, "warm 8 + cold 12 weeks", "warm 8 + cold 12 weeks"),
        (Facet::Stratification, "cold 12 wk", "cold 12 weeks"),
        (Facet::Stratification, "8/12", "warm 8 + cold 12 weeks"),
        (Facet::Stratification, "none", "none"),
        (Facet::Bbch, "5", "05"),
        (Facet::TipNodesRemoved, "2", "2"),
        (Facet::StockAge, "8 years", "6-10 years"),
        (Facet::StockAge, "0.5", "under 1 year"),
        (Facet::StockAge, "21", "over 20 years"),
        (Facet::Light, "30 % shade", "60-80 % let through"),
        (Facet::Light, "100 % let through", "80-100 % let through"),
        (Facet::Cultivar, "'Brasswing'", "Brasswing"),
        (Facet::Rootstock, "Ferulastra vulgata", "Ferulastra vulgata"),
    ] {
        assert_eq!(word(facet, typed), shown, "{typed}");
        assert_eq!(word(facet, shown), shown, "{shown}");
    }
}

#[test]
fn bottom_heat_is_a_temperature_or_a_word() {
    for (typed, shown) in [
        ("none", "none"),
        ("off", "none"),
        ("on", "on"),
        ("on, not measured", "on"),
        ("heat mat", "on"),
        ("22", "22 °C"),
        ("unknown", "unknown"),
        ("code 17", "code 17"),
    ] {
        assert_eq!(word(Facet::BottomHeat, typed), shown, "{typed}");
        assert_eq!(word(Facet::BottomHeat, shown), shown, "{shown}");
    }
    let mut facets = Facets::default();
    for (typed, held) in [("22", (Some(22), None)), ("on", (None, Some(Code(3)))), ("-5", (Some(-5), None))] {
        facets.set(Facet::BottomHeat, typed).expect(typed);
        assert_eq!((facets.bottom_heat, facets.bottom_heat_state), held, "{typed} takes the other back");
    }
    facets.set(Facet::BottomHeat, "").expect("empty is fine");
    assert_eq!(facets, Facets::default());
    let error = set(Facet::BottomHeat, "warm").expect_err("no number");
    assert_eq!(error, "bottom_heat: `warm`: not a temperature, none, or on; did you mean none, on?");
}

#[test]
fn words_that_say_too_little_are_read_and_asked_about() {
    let asked = |typed| {
        let mut facets = Facets::default();
        facets.set(Facet::Medium, typed).expect(typed);
        facets.questions().iter().map(ToString::to_string).collect::<Vec<_>>()
    };
    assert_eq!(
        asked("compost 50 + perlite 50"),
        ["medium: compost: a more exact word is usual; did you mean potting mix, garden compost?"]
    );
    assert_eq!(
        asked("plug"),
        ["medium: plug: a more exact word is usual; did you mean rockwool, rooting foam, peat plug?"]
    );
    assert_eq!(asked("rockwool + garden compost"), [] as [&str; 0]);
    let older = Facets { form: Some(Code(25)), ..Facets::default() };
    assert_eq!(older.word(Facet::Form).as_deref(), Some("whip"), "it counts as one with whip grafts");
    assert_eq!(older.code(Facet::Form), Some(Code(25)), "and stays what was signed");
    let mut typed = Facets::default();
    typed.set(Facet::Form, "splice").expect("a word");
    assert_eq!(typed.form, Some(Code(21)));
}

/// Words of the codes that came last, in spellings that growers use for them.
#[test]
fn newer_codes_are_read_in_common_spellings() {
    for (facet, typed, shown) in [
        (Facet::Kind, "root sucker", "sucker"),
        (Facet::Kind, "stolon", "runner"),
        (Facet::Wood, "two-year wood", "older wood"),
        (Facet::Form, "inarching", "inarch"),
        (Facet::Form, "machine graft", "omega"),
        (Facet::Medium, "potting soil 50 + silver sand 50", "potting mix 50 + fine sand 50"),
        (Facet::Medium, "LECA", "clay pebbles"),
        (Facet::Auxin, "K-NAA quick dip 500 ppm", "NAA salt quick dip 500 mg/L"),
        (Facet::Auxin, "willow water soak", "willow water soak, strength unknown"),
        (Facet::Auxin, "IBA lanolin paste", "IBA paste, strength unknown"),
        (Facet::Auxin, "aloe dip", "aloe quick dip, strength unknown"),
        (Facet::Solvent, "glycol", "glycol"),
        (Facet::GrowingPlace, "lath house", "shade house"),
        (Facet::GrowingPlace, "standing-out ground", "outdoors in pots"),
        (Facet::Container, "tubestock", "tube"),
        (Facet::Container, "glass of water", "jar"),
        (Facet::Scarified, "none", "no"),
        (Facet::Scarified, "boiling water", "hot water"),
    ] {
        assert_eq!(word(facet, typed), shown, "{typed}");
        assert_eq!(word(facet, shown), shown, "{shown}");
    }
}

#[test]
fn hard_limits_are_refused() {
    let error = |facet, text| set(facet, text).expect_err(text);
    assert!(error(Facet::BottomHeat, "72").ends_with("not from -5 to 40 °C; did you mean 72 °F?"));
    assert!(error(Facet::Bbch, "100").contains("0 to 99"));
    assert!(error(Facet::Stratification, "cold 105").contains("0 to 104"));
    assert!(error(Facet::TipNodesRemoved, "21").contains("0 to 20"));
    assert!(
        error(Facet::Light, "4 %")
            .contains("blocked, or let through?; did you mean 4 % shade, 4 % let through?")
    );
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 100, ..ProptestConfig::default() })]

    #[test]
    fn any_text_is_read_or_refused_without_panic(text in "\\PC{0,60}") {
        for facet in Facet::ALL {
            let mut facets = Facets::default();
            if facets.set(facet, &text).is_ok() {
                let shown = facets.word(facet);
                if let Some(shown) = shown {
                    let mut again = Facets::default();
                    prop_assert!(again.set(facet, &shown).is_ok(), "{facet:?} does not read its own {shown}");
                    prop_assert_eq!(again, facets);
                }
            }
        }
    }
}
