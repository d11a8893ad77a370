//! What was done to seed before it was sown, as methods group it.
//!
//! Seed is kept cold for ten weeks here and for twelve there: by exact weeks nearly every trial would be a method of its
//! own. Weeks are therefore taken in bands; splitting by the facet itself keeps them exact.

use super::NOT_KNOWN;
use crate::row::FacetWords;

/// First and last weeks of each band; the last one is open. Common practice, no source.
const BANDS: [(u8, Option<u8>); 4] = [(1, Some(4)), (5, Some(8)), (9, Some(16)), (17, None)];

/// `cold 12 weeks` as `cold 9–16 weeks`; a word that is not made of weeks stands for itself.
pub(super) fn stratification_group(word: &str) -> String {
    let Some(weeks) = word.strip_suffix(" weeks").or_else(|| word.strip_suffix(" week")) else {
        return word.to_owned();
    };
    let parts: Option<Vec<String>> = weeks.split(" + ").map(banded).collect();
    parts.map_or_else(|| word.to_owned(), |parts| format!("{} weeks", parts.join(" + ")))
}

/// `cold 12` as `cold 9–16`.
fn banded(part: &str) -> Option<String> {
    let (name, weeks) = part.split_once(' ')?;
    let weeks: u8 = weeks.parse().ok()?;
    let holds = |(first, last): &&(u8, Option<u8>)| *first <= weeks && last.is_none_or(|last| weeks <= last);
    match BANDS.iter().find(holds)? {
        (first, Some(last)) => Some(format!("{name} {first}–{last}")),
        (first, None) => Some(format!("{name} {first}+")),
    }
}

/// How seed was scarified; `None` where it was not, or nothing is said: a name that tells neither stays short.
pub(super) fn scarified(facets: &FacetWords) -> Option<&str> {
    facets.get("scarified").map(String::as_str).filter(|word| *word != "no" && *word != NOT_KNOWN)
}

/// Both in words.
pub(super) fn pretreatment_words(stratification: &str, scarified: Option<&str>) -> String {
    let scarified = scarified.map(|word| format!("scarified ({word})"));
    match (stratification, scarified) {
        ("none", None) => "no pretreatment".to_owned(),
        ("none", Some(scarified)) => scarified,
        (NOT_KNOWN, None) => "pretreatment not known".to_owned(),
        (NOT_KNOWN, Some(scarified)) => format!("{scarified}, weeks not known"),
        (weeks, None) => weeks.to_owned(),
        (weeks, Some(scarified)) => format!("{weeks}, {scarified}"),
    }
}

#[cfg(test)]
mod tests {
    use propagule_protocol::{Facet, Facets};

    use super::*;

    #[test]
    fn every_number_of_weeks_is_in_one_band_and_longer_ones_never_in_an_earlier_one() {
        let group = |text: &str| {
            let mut facets = Facets::default();
            facets.set(Facet::Stratification, text).expect("weeks");
            stratification_group(&facets.word(Facet::Stratification).expect("a word"))
        };
        let mut seen: Vec<String> = Vec::new();
        for weeks in 0..=104 {
            let band = group(&format!("0/{weeks}"));
            if seen.last() != Some(&band) {
                assert!(!seen.contains(&band), "{weeks} falls back into {band}");
                seen.push(band);
            }
            assert_eq!(group(&format!("{weeks}/0")), group(&format!("0/{weeks}")).replace("cold", "warm"));
        }
        let bands = ["none", "cold 1–4 weeks", "cold 5–8 weeks", "cold 9–16 weeks", "cold 17+ weeks"];
        assert_eq!(seen, bands);
        assert_eq!(group("16/20"), "warm 9–16 + cold 17+ weeks");
    }

    #[test]
    fn words_without_weeks_stand_for_themselves() {
        for word in ["none", NOT_KNOWN, "code 40", "other", "cold some weeks", "cold 300 weeks"] {
            assert_eq!(stratification_group(word), word);
        }
    }

    #[test]
    fn no_pretreatment_is_said_only_where_both_are_known_to_be_none() {
        let said = |weeks, scarified| pretreatment_words(weeks, scarified);
        assert_eq!(said("none", None), "no pretreatment");
        assert_eq!(said("none", Some("acid")), "scarified (acid)");
        assert_eq!(said(NOT_KNOWN, None), "pretreatment not known");
        assert_eq!(said(NOT_KNOWN, Some("hot water")), "scarified (hot water), weeks not known");
        assert_eq!(said("cold 9–16 weeks", Some("acid")), "cold 9–16 weeks, scarified (acid)");
    }
}
