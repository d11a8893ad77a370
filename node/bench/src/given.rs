//! Facets as they are given: each was checked when it was set, whoever gave it.

use std::collections::BTreeMap;

use propagule_protocol::vocab::{AtHome, Dialect, Heard, Missing, Said, hear};
use propagule_protocol::{Facet, FacetError, Facets};
use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

/// Details with the words that were given for them; empty words take a detail away from what they are given to.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "BTreeMap<String, String>", into = "BTreeMap<String, String>")]
#[schemars(example = BTreeMap::from([("medium", "peat 50 + perlite 50"), ("wound", "light")]))]
#[schemars(example = BTreeMap::from([("leaves", "")]))]
pub struct FacetsGiven(BTreeMap<Facet, String>);

/// Why details cannot be given so.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum FacetRefused {
    /// No detail has that name.
    #[error("{0} is the name of no facet")]
    Name(String),
    /// The detail does not have these words.
    #[error(transparent)]
    Words(#[from] FacetError),
}

/// Why what was typed for a detail says nothing of it yet.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotHeard {
    /// The detail has no such words.
    Words(FacetError),
    /// It leaves something open.
    Asked {
        /// What has to be said.
        missing: Missing,
        /// What may have been meant.
        choices: Vec<Said>,
    },
}

impl FacetsGiven {
    /// Gives a detail what a grower of that dialect typed for it, in the words of its list, and those other details of which the phrase
    /// speaks as well, unless they were given already. What no detail holds comes back.
    ///
    /// # Errors
    /// When the detail does not have such words, or when they leave something open.
    pub fn hear(&mut self, facet: Facet, typed: &str, dialect: Dialect) -> Result<Vec<AtHome>, NotHeard> {
        match hear(facet, typed, dialect).map_err(NotHeard::Words)? {
            Heard::Asked { missing, choices } => Err(NotHeard::Asked { missing, choices }),
            Heard::Understood(Said { facets, at_home }) => {
                for (of, words) in facets {
                    if of == facet {
                        self.0.insert(of, words);
                    } else {
                        self.0.entry(of).or_insert(words);
                    }
                }
                Ok(at_home)
            }
        }
    }

    /// Gives a detail these words.
    ///
    /// # Errors
    /// When the detail does not have them.
    pub fn set(&mut self, facet: Facet, words: &str) -> Result<(), FacetError> {
        Facets::default().set(facet, words)?;
        self.0.insert(facet, words.trim().to_owned());
        Ok(())
    }

    /// The details of that kind of map that events and records hold: by name.
    ///
    /// # Errors
    /// A name that no detail has, or words that a detail does not have.
    pub fn of_names(names: &BTreeMap<String, String>) -> Result<Self, FacetRefused> {
        let mut given = Self::default();
        for (name, words) in names {
            let facet = Facet::from_name(name).ok_or_else(|| FacetRefused::Name(name.clone()))?;
            given.set(facet, words)?;
        }
        Ok(given)
    }

    /// Whether nothing was given.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The details that were given, with their words.
    pub fn iter(&self) -> impl Iterator<Item = (Facet, &str)> {
        self.0.iter().map(|(facet, words)| (*facet, words.as_str()))
    }

    /// The same with `more`, which goes before.
    #[must_use]
    pub fn with(mut self, more: &Self) -> Self {
        self.0.extend(more.0.iter().map(|(facet, words)| (*facet, words.clone())));
        self
    }

    /// Writes them into details by name; empty words take a detail out.
    pub fn write_into(&self, facets: &mut BTreeMap<String, String>) {
        facets.extend(self.names());
        facets.retain(|_, words| !words.is_empty());
    }

    fn names(&self) -> impl Iterator<Item = (String, String)> {
        self.0.iter().map(|(facet, words)| (facet.name().to_owned(), words.clone()))
    }
}

impl TryFrom<BTreeMap<String, String>> for FacetsGiven {
    type Error = FacetRefused;

    fn try_from(names: BTreeMap<String, String>) -> Result<Self, FacetRefused> {
        Self::of_names(&names)
    }
}

impl From<FacetsGiven> for BTreeMap<String, String> {
    fn from(given: FacetsGiven) -> Self {
        given.names().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_checked_by_their_facet_and_travel_by_name() {
        let mut given = FacetsGiven::default();
        given.set(Facet::Medium, " peat 50 + perlite 50 ").expect("a medium");
        assert!(given.set(Facet::Medium, "peat; wound=light").is_err(), "a wound is no part of a medium");
        let text = serde_json::to_string(&given).expect("plain data");
        assert_eq!(text, r#"{"medium":"peat 50 + perlite 50"}"#);
        assert_eq!(serde_json::from_str::<FacetsGiven>(&text).expect("the same"), given);
        assert!(serde_json::from_str::<FacetsGiven>(r#"{"wound":"sometimes"}"#).is_err());
        assert!(serde_json::from_str::<FacetsGiven>(r#"{"mood":"good"}"#).is_err());
    }

    #[test]
    fn what_is_heard_is_kept_in_the_words_of_the_list() {
        let mut given = FacetsGiven::default();
        let kept = given.hear(Facet::Container, "9cm pots", Dialect::Uk).expect("a pot");
        assert_eq!(kept.iter().map(|kept| kept.text.as_str()).collect::<Vec<_>>(), ["9 cm"]);
        given.hear(Facet::Form, "stool bed", Dialect::Uk).expect("a form");
        given.hear(Facet::Kind, "air layer", Dialect::Uk).expect("a kind");
        let words = |facet| given.iter().find(|(of, _)| *of == facet).map(|(_, words)| words.to_owned());
        assert_eq!(words(Facet::Container).as_deref(), Some("pot"));
        assert_eq!(words(Facet::Kind).as_deref(), Some("layer"));
        assert_eq!(words(Facet::Form).as_deref(), Some("mound"), "what was said goes before what follows");
        let asked = given.clone().hear(Facet::Medium, "sand", Dialect::Uk).expect_err("which?");
        assert!(
            matches!(asked, NotHeard::Asked { missing: Missing::Which, ref choices } if choices.len() == 2)
        );
    }

    #[test]
    fn empty_words_take_a_facet_away() {
        let mut facets = BTreeMap::from([("wound".to_owned(), "light".to_owned())]);
        let mut given = FacetsGiven::default();
        given.set(Facet::Wound, " ").expect("nothing is said of it");
        given.set(Facet::Leaves, "halved").expect("of the list");
        given.write_into(&mut facets);
        assert_eq!(facets, BTreeMap::from([("leaves".to_owned(), "halved".to_owned())]));
    }
}
