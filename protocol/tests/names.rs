//! The grammar of names against a general parser of scientific names; source at the head of the file.

use propagule_protocol::{Note, Noting, Taxon};
use proptest::prelude::*;
use serde_json::Value as Json;

#[test]
fn names_are_read_as_a_general_parser_reads_them() {
    let rows = include_str!("data/names.tsv").lines().filter(|row| !row.starts_with('#'));
    let mut number = 0;
    for row in rows {
        number += 1;
        let columns: Vec<&str> = row.split('\t').collect();
        let taxon = Taxon::parse(columns[0]).unwrap_or_else(|error| panic!("{error}"));
        let (rank, below) = taxon.infraspecific.clone().unwrap_or_default();
        let ranks = ["", "", "subsp.", "var.", "f."];
        let hybrid = if taxon.is_marked(Taxon::HYBRID) { "hybrid" } else { "" };
        let read = [
            columns[0].to_owned(),
            capitalised(&taxon.genus),
            taxon.species.clone().unwrap_or_default(),
            ranks[usize::from(rank)].to_owned(),
            below,
            taxon.cultivar.clone().unwrap_or_default(),
            hybrid.to_owned(),
        ];
        assert_eq!(read.to_vec(), columns);
    }
    assert!(number >= 200, "{number} names");
}

fn capitalised(text: &str) -> String {
    text[..1].to_uppercase() + &text[1..]
}

/// The eleven cases were decided for this project; their offers come from its list of plants.
#[test]
fn what_growers_type_is_taken_noted_or_asked_back() {
    let file: Json =
        serde_json::from_str(include_str!("../../node/tests/cases/bench-names.json")).expect("JSON");
    let cases = file["cases"].as_array().expect("cases");
    assert_eq!(cases.len(), 11);
    for case in cases {
        let typed = case["typed"].as_str().expect("a text");
        let noting = Taxon::parse_noting(typed);
        let texts = |list: &Json| -> Vec<String> {
            let list = list.as_array().cloned().unwrap_or_default();
            list.iter().filter_map(Json::as_str).map(str::to_owned).collect()
        };
        let notes: Vec<String> = noting.notes.iter().map(ToString::to_string).collect();
        assert_eq!(
            noting.taxon.as_ref().map(ToString::to_string).as_deref(),
            case["taken"].as_str(),
            "{typed}"
        );
        assert_eq!(notes, texts(&case["noted"]), "{typed}");
        assert_eq!(noting.offers, texts(&case["offers"]), "{typed}");
        assert_eq!(noting.asks(), case["asks"] == true, "{typed}");
        assert_eq!(noting.is_refused(), case["refused"] == true, "{typed}");
    }
}

/// A name as it is shown, then its notes, then what is offered, on one line.
fn line(typed: &str) -> String {
    let Noting { taxon, notes, offers } = Taxon::parse_noting(typed);
    let name = taxon.map_or_else(|| "-".to_owned(), |taxon| taxon.to_string());
    let notes = notes.iter().map(|note| format!(" | {note}"));
    let offers = offers.iter().map(|offer| format!(" > {offer}"));
    std::iter::once(name).chain(notes).chain(offers).collect()
}

/// Spellings of invented growers; names from memory, cultivars and Xyloria invented.
#[test]
fn names_are_read_as_they_were_meant_or_it_is_said() {
    for (typed, expected) in [
        ("Morus nigra", "Morus nigra"),
        ("morus nigra", "Morus nigra"),
        ("Xyloria magna", "Xyloria magna"),
        ("Rosa 'Lantern 2'", "Rosa 'Lantern 2'"),
        ("Acer palmatum (Dissectum Group)", "Acer palmatum Dissectum Group"),
        (
            "Berberis ×mentorensis Ahrendt",
            "Berberis ×mentorensis | dropped: Ahrendt; if it is a cultivar, write 'Ahrendt' in quotes",
        ),
        ("MORUS NIGRA L.", "Morus nigra | capitals read as Morus nigra | author left out: L."),
        (
            "ACER PALMATUM VAR. DISSECTUM",
            "Acer palmatum var. dissectum | capitals read as Acer palmatum var. dissectum",
        ),
        ("Acer palmatum Var. Dissectum", "Acer palmatum var. dissectum"),
        ("BERBERIS X MENTORENSIS", "Berberis ×mentorensis | capitals read as Berberis ×mentorensis"),
        ("RIBES SP.", "Ribes sp. | capitals read as Ribes sp."),
        ("XYLORIA MAGNA", "Xyloria magna | capitals read as Xyloria magna"),
        ("Xyloria Magna", "Xyloria magna | Magna read as the epithet magna"),
        ("Ribes Cf. Nigrum", "Ribes cf. nigrum | Nigrum read as the epithet nigrum"),
        ("Abies koreana K. Koch", "Abies koreana | author left out: K. Koch"),
        ("Abies koreana Siebold & Zucc.", "Abies koreana | author left out: Siebold & Zucc."),
        ("Acer palmatum Thunb. 1784", "Acer palmatum | author left out: Thunb. 1784"),
        (
            "Acer palmatum Low Lantern",
            "Acer palmatum | dropped: Low Lantern; if it is a cultivar, write 'Low Lantern' in quotes",
        ),
        (
            "Acer palmatum dissectum",
            "Acer palmatum | dropped: dissectum > Acer palmatum subsp. dissectum > Acer palmatum var. dissectum \
             > Acer palmatum f. dissectum",
        ),
        (
            "Acer Low Lantern",
            "- | dropped: Low Lantern; if it is a cultivar, write 'Low Lantern' in quotes | a genus alone: write Acer sp. if that is all you know",
        ),
        ("ribes", "- | a genus alone: write Ribes sp. if that is all you know"),
        ("black mulberry", "Morus nigra | black mulberry means Morus nigra"),
        ("Black Mulberry", "Morus nigra | Black Mulberry means Morus nigra"),
        ("Japanese maple 'Lantern'", "Acer palmatum 'Lantern' | Japanese maple means Acer palmatum"),
        ("wite mulberry", "- | not in the list; is it one of these? > Morus alba"),
        ("sum:", "- | sum is not a plant: a totals row?"),
        ("Morus 2", "- | a digit in a name"),
        ("", "- | it is empty"),
        ("Ribes 'Lantern", "- | the quote of the cultivar is not closed"),
    ] {
        assert_eq!(line(typed), expected, "{typed}");
    }
}

/// A yes is asked for where more was left out or changed than goes without saying.
#[test]
fn only_authors_ranks_and_signs_go_without_a_yes() {
    for (typed, needs_yes) in [
        ("Morus nigra L.", false),
        ("Abies koreana Wilson", true),
        ("Abies koreana 2019", true),
        ("Abies koreana Wilson 1920", false),
        ("Acer palmatum Thunb. Lantern", true),
        ("Acer palmatum pot 3", true),
        ("Cornus Mas", false),
        ("Cornus Lantern", true),
        ("CORNUS LANTERN", false),
        ("Acer palmatum subsp. amoenum var. dissectum", false),
    ] {
        let noting = Taxon::parse_noting(typed);
        assert_eq!((noting.needs_yes(), noting.asks()), (needs_yes, needs_yes), "{typed}");
        assert!(noting.taxon.is_some() && !noting.is_refused(), "{typed}");
    }
    let alone = Taxon::parse_noting("Ribes");
    assert_eq!(alone.notes, [Note::GenusAlone("Ribes".to_owned())]);
    assert!(alone.asks() && !alone.needs_yes() && !alone.is_refused(), "a yes does not help");
}

/// A common name of one plant is that plant, and is said; one of several offers each of them.
#[test]
fn a_common_name_is_its_one_plant_or_offers_all_that_have_it() {
    let is_genus =
        |word: &str| Taxon::parse_noting(word).notes.iter().any(|n| matches!(n, Note::GenusAlone(_)));
    let (mut asked, mut taken) = (0, 0);
    for listed in propagule_protocol::names::all() {
        for common in
            listed.common.iter().filter(|name| !is_genus(name.split(' ').next().unwrap_or_default()))
        {
            let noting = Taxon::parse_noting(common);
            let own = Taxon::parse(listed.scientific).expect("a name");
            if let Some(taxon) = &noting.taxon {
                assert!(matches!(&noting.notes[..], [Note::Common { .. }]), "{common}: {:?}", noting.notes);
                assert_eq!(taxon, &own, "{common}");
                taken += 1;
            } else {
                assert_eq!(noting.notes[..], [Note::CommonName], "{common}");
                assert!(noting.offers.contains(&own.to_string()), "{common}: {:?}", noting.offers);
                assert!(noting.offers.len() > 1, "{common} is one plant only");
                asked += 1;
            }
        }
    }
    assert!(asked > 40 && taken > 300, "only {asked} and {taken} common names");
    let cherries = Taxon::parse_noting("cherry").offers;
    assert!(cherries.len() > 1 && cherries.is_sorted(), "{cherries:?}");
}

/// The list itself, and what a general parser reads, needs no question but for what the source of those names
/// has beside them.
#[test]
fn every_listed_plant_is_taken_as_it_stands() {
    for listed in propagule_protocol::names::all() {
        let expected = Noting { taxon: Taxon::parse(listed.scientific).ok(), ..Noting::default() };
        assert_eq!(Taxon::parse_noting(listed.scientific), expected);
        let loud = Taxon::parse_noting(&listed.scientific.to_uppercase());
        assert_eq!((loud.taxon, loud.notes.len()), (expected.taxon, 1), "{}", listed.scientific);
    }
}

fn any_name() -> impl Strategy<Value = String> {
    let words = [
        "Cornus",
        "CORNUS",
        "cornus",
        "mas",
        "MAS",
        "Mas",
        "×",
        "x",
        "X",
        "var.",
        "VAR.",
        "f.",
        "alba",
        "Thunb.",
        "L.",
        "2019",
        "bought",
        "sp.",
        "SP.",
        "cf.",
        "'Lantern'",
        "Low",
        "Group",
        "mulberry",
        "black",
        "Total",
        "Xyloria",
        "Xyloria2",
        "&",
        "ex",
        "(",
        "Ähre",
        "DC.",
        "none",
        "-",
        "'",
        "×mas",
        "+",
    ];
    let known =
        proptest::collection::vec(proptest::sample::select(words.to_vec()), 0..6).prop_map(|w| w.join(" "));
    prop_oneof![4 => known, 1 => "\\PC{0,30}"]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 2_000, ..ProptestConfig::default() })]

    /// What the preview shows is what is published: typed again, it is the same name and asks nothing.
    #[test]
    fn a_name_that_was_taken_stays_itself(text in any_name()) {
        let noting = Taxon::parse_noting(&text);
        prop_assert!(noting.taxon.is_some() || !noting.notes.is_empty(), "nothing is said of {text}");
        if let Some(taxon) = noting.taxon {
            let shown = taxon.to_string();
            let again = Taxon::parse_noting(&shown);
            prop_assert_eq!(again.taxon.as_ref().map(Taxon::key), Some(taxon.key()), "{}", shown);
            prop_assert!(!again.asks(), "{} asks {:?}", shown, again.notes);
        }
    }
}
