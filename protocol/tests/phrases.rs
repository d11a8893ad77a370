//! What growers type is understood as the list says, or asked about as it says; nothing of the list is refused.

use std::collections::BTreeMap;

use propagule_protocol::vocab::{Dialect, Facet, Heard, HomeDetail, Missing, Said, hear};

const LIST: &str = include_str!("data/phrases.txt");
const DIALECTS: [Dialect; 3] = [Dialect::Uk, Dialect::Us, Dialect::Au];

/// What a line says of a phrase.
#[derive(Clone, Debug, PartialEq)]
enum Meaning {
    Words(String),
    Asked(String, Vec<String>),
}

/// The phrases of each detail, with what they mean.
fn lines() -> impl Iterator<Item = (Facet, &'static str, Meaning)> {
    let lines = LIST.lines().filter(|line| !line.is_empty() && !line.starts_with('#'));
    lines.flat_map(|line| {
        let (detail, rest) = line.split_once(": ").expect("a detail");
        let facet = Facet::from_name(detail).unwrap_or_else(|| panic!("{detail} is a detail"));
        let (phrases, meaning) = if let Some((phrases, asked)) = rest.split_once(" ? ") {
            let (missing, choices) = asked.split_once(':').expect("what is asked");
            let choices = choices.split(" | ").map(str::trim).filter(|choice| !choice.is_empty());
            (phrases, Meaning::Asked(missing.to_owned(), choices.map(str::to_owned).collect()))
        } else {
            let (phrases, words) =
                rest.split_once(" =").unwrap_or_else(|| panic!("{line} says what it means"));
            (phrases, Meaning::Words(words.trim().to_owned()))
        };
        phrases.split(" | ").map(move |phrase| (facet, phrase, meaning.clone()))
    })
}

fn written(said: &Said, without: Option<Facet>) -> String {
    let one = |(facet, words): &(Facet, String)| match without {
        Some(asked) if asked == *facet => words.clone(),
        _ => format!("{}={words}", facet.name()),
    };
    let mut text = said.facets.iter().map(one).collect::<Vec<_>>().join("; ");
    for at_home in &said.at_home {
        let detail = match at_home.detail {
            HomeDetail::Seconds => "seconds",
            HomeDetail::Minutes => "minutes",
            HomeDetail::Hours => "hours",
            HomeDetail::Cells => "cells",
            HomeDetail::Size => "size",
            HomeDetail::Leaves => "leaves",
        };
        text += " @ ";
        text += detail;
        text += " ";
        text += &at_home.text;
    }
    text
}

fn asked(missing: Missing) -> &'static str {
    match missing {
        Missing::Which => "which",
        Missing::Strength => "strength",
        Missing::DipOrSoak => "dip or soak",
        Missing::Heat => "heat",
        Missing::PerCent => "per cent",
        Missing::Years => "years",
        Missing::Nodes => "nodes",
        Missing::Date => "date",
    }
}

fn heard(facet: Facet, phrase: &str, dialect: Dialect) -> Result<Meaning, String> {
    Ok(match hear(facet, phrase, dialect).map_err(|error| error.to_string())? {
        Heard::Understood(said) => Meaning::Words(written(&said, Some(facet))),
        Heard::Asked { missing, choices } => {
            // Minutes are kept whatever the answer is.
            let plain = |said: &Said| Said { facets: said.facets.clone(), at_home: leaves(said) };
            let choices = choices.iter().map(|said| written(&plain(said), None)).collect();
            Meaning::Asked(asked(missing).to_owned(), choices)
        }
    })
}

fn leaves(said: &Said) -> Vec<propagule_protocol::vocab::AtHome> {
    said.at_home.iter().filter(|kept| kept.detail == HomeDetail::Leaves).cloned().collect()
}

#[test]
fn every_phrase_is_understood_or_asked_about_in_each_dialect() {
    let mut wrong = Vec::new();
    let mut count = 0;
    for (facet, phrase, meaning) in lines() {
        for dialect in DIALECTS {
            count += 1;
            // The one phrase whose choices stand the other way round elsewhere has a test of its own.
            if phrase == "compost" && dialect != Dialect::Uk {
                continue;
            }
            for typed in [phrase.to_owned(), format!("  {}", phrase.replace('-', " "))] {
                match heard(facet, &typed, dialect) {
                    Ok(heard) if heard == meaning => {}
                    other => wrong.push(format!("{}: {typed}: {other:?}, not {meaning:?}", facet.name())),
                }
            }
        }
    }
    assert!(count > 1_000, "{count} are read");
    wrong.dedup();
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn compost_is_asked_about_in_the_order_of_the_country() {
    let first = |dialect| match hear(Facet::Medium, "compost", dialect) {
        Ok(Heard::Asked { choices, .. }) => choices[0].facets[0].1.clone(),
        other => panic!("{other:?}"),
    };
    let firsts: BTreeMap<_, _> = DIALECTS.into_iter().map(|dialect| (dialect, first(dialect))).collect();
    let bought_first = firsts.into_iter().filter(|(_, first)| first == "potting mix");
    assert_eq!(bought_first.map(|(dialect, _)| dialect).collect::<Vec<_>>(), [Dialect::Uk]);
}

#[test]
fn what_was_understood_is_understood_as_the_same_again() {
    for (facet, phrase, _) in lines() {
        let Ok(Heard::Understood(said)) = hear(facet, phrase, Dialect::Us) else { continue };
        for (facet, words) in &said.facets {
            let again = hear(*facet, words, Dialect::Us);
            let Ok(Heard::Understood(again)) = again else { panic!("{phrase}: {words}: {again:?}") };
            assert_eq!(again.facets, [(*facet, words.clone())], "{phrase}");
        }
    }
}

#[test]
fn a_powder_is_not_thinned_and_a_strength_is_not_guessed() {
    let error = |text| hear(Facet::Auxin, text, Dialect::Us).expect_err(text).to_string();
    assert!(error("0.8% IBA powder 1:10").contains("a powder is not thinned with water"));
    assert!(error("IBA 3000 dip").contains("the strength needs a unit"));
}
