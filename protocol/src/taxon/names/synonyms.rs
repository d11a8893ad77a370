//! A grower's own synonyms: applied when records are looked up, never to records, so that a wrong one is
//! simply taken back.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::taxon::Taxon;

/// Species that a grower takes for one.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(transparent)]
pub struct Synonyms {
    /// From the species key of the synonym to that of the accepted name.
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
            Some(other) if *other != accepted => {
                Err(SynonymError::Taken { synonym, accepted: other.clone() })
            }
            _ => {
                self.accepted.insert(synonym, accepted);
                Ok(())
            }
        }
    }

    /// Takes a synonym back; false when there was none.
    pub fn remove(&mut self, synonym: &Taxon) -> bool {
        self.accepted.remove(&synonym.species_key()).is_some()
    }

    /// The species key under which a species is looked up.
    pub fn accepted_key(&self, species_key: &str) -> String {
        // No chain is longer than the map, even in a file where someone wrote a ring.
        let follow = |key: &str| self.accepted.get(key).map_or(key, String::as_str).to_owned();
        (0..self.accepted.len()).fold(species_key.to_owned(), |key, _| follow(&key))
    }

    /// The key under which a species is looked up, and those of all its synonyms.
    pub fn one_species(&self, species_key: &str) -> Vec<String> {
        let accepted = self.accepted_key(species_key);
        let synonyms = self.accepted.keys().filter(|key| self.accepted_key(key) == accepted).cloned();
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

    /// All pairs of synonym and accepted name, as species keys.
    pub fn pairs(&self) -> impl Iterator<Item = (&str, &str)> {
        self.accepted.iter().map(|(synonym, accepted)| (synonym.as_str(), accepted.as_str()))
    }
}
