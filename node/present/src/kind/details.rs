//! Details of a method, as growers call them; the record keeps names of its own.

use propagule_bench::compared::UNLISTED;

use super::{in_dialect, reads, units};

/// What a detail is called; a name that is none of the record's stands for itself.
pub fn detail(name: &str) -> String {
    let said = match name {
        "kind" => "kind of propagation",
        "auxin" => "rooting hormone",
        "solvent" => "mixed in",
        "wound" => "wounding",
        "humidity" => "mist or cover",
        "growing_place" | "growing place" => "structure",
        "form" => "type",
        "bbch" => "growth stage (BBCH)",
        "stock plant" => return stock_plant().to_owned(),
        "stock_origin" | "stock origin" => return format!("{} raised from", stock_plant()),
        "stock_age" | "stock age" => return format!("age of the {}", stock_plant()),
        "watering" => "watering at the base",
        "light" => "light let through",
        "tip_nodes_removed" | "tip nodes removed" => "tip nodes removed",
        "operator" => "who did the work",
        "spot" => "bench",
        "day put in" => "day of starting",
        UNLISTED => "something not listed",
        "facet" | "facets" => "detail",
        other => return other.replace('_', " "),
    };
    said.to_owned()
}

/// A stock plant, or a mother plant where the reader says so.
fn stock_plant() -> &'static str {
    in_dialect("stock plant", reads().dialect)
}

/// The key under which a detail is typed.
pub fn typed_key(name: &str) -> String {
    let said = match name {
        "auxin" => "hormone",
        "humidity" => "cover",
        "growing_place" => "structure",
        "form" => "type",
        "bottom_heat" => "heat",
        "tip_nodes_removed" => "pinched",
        "stock_origin" => "origin",
        "stock_age" => "age",
        other => return other.replace('_', " "),
    };
    said.to_owned()
}

/// A detail with what was said of it, as one reads both together: `rooting hormone IBA`, `no cover`, `stem cutting`.
pub fn described(name: &str, words: &str) -> String {
    match (name, words) {
        ("kind" | "humidity", words) => in_our_words(name, words),
        ("stock_age", words) => format!("{} {words} old", stock_plant()),
        ("stock_origin", "seedling") => format!("{} raised from seed", stock_plant()),
        ("stock_origin", "own-root clone") => format!("{} on its own roots", stock_plant()),
        ("stock_origin", "grafted") => format!("grafted {}", stock_plant()),
        ("watering", "drained") => "free-draining".to_owned(),
        ("watering", "standing") => "standing water at the base".to_owned(),
        ("watering", words) => format!("{words} at the base"),
        (name, "none") => format!("no {}", detail(name)),
        (name, words) => format!("{} {}", detail(name), in_our_words(name, words)),
    }
}

/// Words of the code lists that the trade says otherwise, by their details: in the US form, which has its place among the
/// words of the dialects.
const STORED: [(&str, &str, &str); 13] = [
    ("growing_place", "tunnel", "hoop house"),
    ("growing_place", "glass", "greenhouse"),
    ("growing_place", "room", "indoors"),
    ("humidity", "dome", "humidity dome"),
    ("humidity", "open", "no cover"),
    ("humidity", "polythene tent", "plastic tent"),
    ("container", "cell tray", "cell tray"),
    ("container", "flat", "flat"),
    ("wood", "semi-ripe", "semi-hardwood"),
    ("wood", "evergreen hardwood", "evergreen hardwood"),
    ("medium", "potting mix", "potting mix"),
    ("medium", "seed and cutting mix", "seed and cutting mix"),
    ("medium", "wood fiber", "wood fiber"),
];
/// Of a medium, too, but with another spelling in the list than anywhere.
const LEAF_MOLD: (&str, &str) = ("leafmould", "leaf mold");

/// What was said of a detail, in the reader's trade words and units.
pub fn in_our_words(name: &str, words: &str) -> String {
    let name = name.replace(' ', "_");
    let said = match name.as_str() {
        "medium" => words.split(" + ").map(component).collect::<Vec<_>>().join(" + "),
        _ => word(&name, words).map_or_else(|| words.to_owned(), str::to_owned),
    };
    units::said(&said)
}

fn word(name: &str, words: &str) -> Option<&'static str> {
    let known = STORED.iter().find(|(of, stored, _)| *of == name && *stored == words);
    known.map(|(_, _, us)| in_dialect(us, reads().dialect))
}

/// A component of a medium, with its share behind it: `leafmould 50`.
fn component(words: &str) -> String {
    let name = words.trim_end_matches(|c: char| c.is_ascii_digit() || c == ' ');
    let leaf_mold = (name == LEAF_MOLD.0).then(|| in_dialect(LEAF_MOLD.1, reads().dialect));
    let said = leaf_mold.or_else(|| word("medium", name));
    said.map_or_else(|| words.to_owned(), |said| format!("{said}{}", &words[name.len()..]))
}

/// Details that a name of a method calls by the record's word where they are not known.
const UNNAMED: [&str; 4] = ["humidity", "form", "auxin", "growing_place"];

/// The name of a method that was made from its details, in the reader's words; a name that a table gave stays. It is short,
/// so a dome is a dome there.
pub fn method(label: &str, facets: &propagule_evidence::FacetWords) -> String {
    if facets.is_empty() || facets.contains_key("method") {
        return label.to_owned();
    }
    let mut said = label.to_owned();
    // What is not known is named by the detail, and so are details by which a reader split.
    for name in UNNAMED {
        said = said.replace(&format!("{name} not known"), &format!("{} not known", detail(name)));
    }
    for (name, words) in facets {
        let ours = in_our_words(name, words);
        if ours != *words && words != "dome" && said.contains(words.as_str()) {
            said = said.replacen(words.as_str(), &ours, 1);
        }
    }
    said
}

/// Several of them.
pub fn details(names: &[String]) -> Vec<String> {
    names.iter().map(|name| detail(name)).collect()
}

#[cfg(test)]
mod tests {
    use propagule_bench::locale::Dialect;

    use super::*;

    /// The dialect of these tests is that of the United States, as nothing else was said.
    #[test]
    fn what_is_stored_is_said_as_the_trade_says_it() {
        assert_eq!(described("growing_place", "tunnel"), "structure hoop house");
        assert_eq!(described("humidity", "open"), "no cover");
        assert_eq!(described("humidity", "dome"), "humidity dome");
        assert_eq!(described("wood", "semi-ripe"), "wood semi-hardwood");
        assert_eq!(described("medium", "leafmould 50 + perlite 50"), "medium leaf mold 50 + perlite 50");
        assert_eq!(described("medium", "bark"), "medium bark");
        assert_eq!(described("growing place", "room"), "structure indoors");
        assert_eq!(described("stock_age", "over 20 years"), "stock plant over 20 years old");
        assert_eq!(described("stock_origin", "grafted"), "grafted stock plant");
    }

    #[test]
    fn every_word_that_is_said_is_understood_in_every_dialect() {
        use propagule_protocol::vocab::{Facet, Heard, hear};
        let all = STORED.iter().copied().chain([("medium", LEAF_MOLD.0, LEAF_MOLD.1)]);
        for (name, stored, us) in all {
            let facet = Facet::from_name(name).expect("a detail");
            for dialect in [Dialect::Us, Dialect::Uk, Dialect::Au] {
                let said = in_dialect(us, dialect);
                let Ok(Heard::Understood(heard)) = hear(facet, said, dialect) else {
                    panic!("{name}: {said}")
                };
                assert_eq!(heard.facets[0].1, stored, "{said}");
            }
        }
    }

    #[test]
    fn a_method_is_called_as_its_details_are_and_a_name_of_a_table_stays() {
        let facets = |all: &[(&str, &str)]| {
            all.iter().map(|(name, words)| ((*name).to_owned(), (*words).to_owned())).collect()
        };
        let made = facets(&[("kind", "stem cutting"), ("wood", "semi-ripe"), ("humidity", "dome")]);
        assert_eq!(method("semi-ripe stem cuttings, dome", &made), "semi-hardwood stem cuttings, dome");
        let open = facets(&[("kind", "stem cutting"), ("wood", "hardwood")]);
        assert_eq!(
            method("hardwood cuttings, humidity not known", &open),
            "hardwood cuttings, mist or cover not known"
        );
        assert_eq!(method("sucker, form not known", &open), "sucker, type not known");
        let named = facets(&[("method", "semi-ripe under a dome")]);
        assert_eq!(method("semi-ripe under a dome", &named), "semi-ripe under a dome");
    }
}
