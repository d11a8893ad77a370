//! Which names are one species: what a grower said, and the list of the program. Applied when records are looked up, never to records, so that a wrong one is
//! simply taken back.

use std::collections::{BTreeMap, BTreeSet};

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::other::{all_surely, surely};
use crate::taxon::Taxon;

/// Species that a grower takes for one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Synonyms {
    /// From the species key of the synonym to that of the accepted name; to itself where it is kept apart.
    accepted: BTreeMap<String, String>,
}

/// Why a synonym cannot be added.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum SynonymError {
    /// A name that does not name a species: doubtful, or a genus alone.
    #[error("`{0}` does not name one species")]
    NotASpecies(String),
    /// Both names are of one species already.
    #[error("`{0}` and itself are one species already")]
    Same(String),
    /// The accepted name is a synonym of the other one.
    #[error("`{accepted}` is already a synonym of `{synonym}`; take that back first")]
    Ring {
        /// The name that was to become a synonym.
        synonym: String,
        /// The name that was to be accepted.
        accepted: String,
    },
    /// The synonym has another accepted name.
    #[error("`{synonym}` is already a synonym of `{accepted}`; take that back first")]
    Taken {
        /// The synonym.
        synonym: String,
        /// Its accepted name.
        accepted: String,
    },
}

impl Synonyms {
    /// Takes `synonym` for `accepted` from now on.
    pub fn add(&mut self, synonym: &Taxon, accepted: &Taxon) -> Result<(), SynonymError> {
        let (synonym, accepted) = (synonym.species_key(), accepted.species_key());
        for key in [&synonym, &accepted] {
            // What does not come back from its key could not be looked up under it.
            if Taxon::of_species_key(key).is_none_or(|taxon| taxon.species_key() != *key) {
                return Err(SynonymError::NotASpecies(key.clone()));
            }
        }
        if synonym == accepted {
            return Err(SynonymError::Same(synonym));
        }
        if self.accepted_key(&accepted) == synonym {
            return Err(SynonymError::Ring { synonym, accepted });
        }
        match self.accepted.get(&synonym) {
            Some(other) if *other != accepted && *other != synonym => {
                Err(SynonymError::Taken { synonym, accepted: other.clone() })
            }
            _ => {
                self.accepted.insert(synonym, accepted);
                Ok(())
            }
        }
    }

    /// Takes a name for itself again, even where the list of the program says otherwise; false when it was so already.
    pub fn part(&mut self, synonym: &Taxon) -> bool {
        let key = synonym.species_key();
        let was_taken = self.accepted_key(&key) != key;
        self.accepted.remove(&key);
        if surely(&key).is_some() {
            self.accepted.insert(key.clone(), key);
        }
        was_taken
    }

    /// The species key under which a species is looked up: what the grower said goes before the list of the program.
    pub fn accepted_key(&self, species_key: &str) -> String {
        let follow = |key: String| match self.accepted.get(&key) {
            Some(own) => own.clone(),
            None => surely(&key).map_or(key, str::to_owned),
        };
        // No chain is longer than the map and one step of the list, even in a file where someone wrote a ring.
        (0..=self.accepted.len()).fold(species_key.to_owned(), |key, _| follow(key))
    }

    /// The key under which a species is looked up, and those of all its synonyms.
    pub fn one_species(&self, species_key: &str) -> Vec<String> {
        let accepted = self.accepted_key(species_key);
        let own = self.accepted.keys().chain(self.accepted.values()).map(String::as_str);
        let mut keys: BTreeSet<&str> = own.collect();
        all_surely().for_each(|key| {
            keys.insert(key);
        });
        let is_it = |key: &&str| *key != accepted && self.accepted_key(key) == accepted;
        let synonyms: Vec<String> = keys.into_iter().filter(is_it).map(str::to_owned).collect();
        std::iter::once(accepted.clone()).chain(synonyms).collect()
    }

    /// A name with its species replaced by the one that it is taken for; group and cultivar stay.
    pub fn accepted(&self, taxon: &Taxon) -> Taxon {
        let key = taxon.species_key();
        let accepted = self.accepted_key(&key);
        match Taxon::of_species_key(&accepted) {
            Some(species) if accepted != key => {
                Taxon { group: taxon.group.clone(), cultivar: taxon.cultivar.clone(), ..species }
            }
            _ => taxon.clone(),
        }
    }

    /// All pairs of synonym and accepted name that the grower chose, as species keys.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        let pairs = self.accepted.iter().map(|(synonym, accepted)| (synonym.as_str(), accepted.as_str()));
        pairs.filter(|(synonym, accepted)| synonym != accepted)
    }

    /// Names that the grower keeps apart, though the list of the program takes them for others, as species keys.
    pub fn parted(&self) -> impl Iterator<Item = &str> {
        let own = self.accepted.iter().filter(|(synonym, accepted)| synonym == accepted);
        own.map(|(synonym, _)| synonym.as_str())
    }
}
