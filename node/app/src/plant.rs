//! Plant names: what the list knows of one, and which names this grower takes for one species.

use std::collections::BTreeSet;
use std::sync::PoisonError;

use propagule_protocol::Taxon;
use propagule_protocol::names::{self, Listed, SynonymError, Synonyms};

use super::cautions::Hazard;
use super::evidence::parse_species;
use super::outcome::Outcome;
use super::outcome::plant::{
    CountedAs, PlantFacts, Plants, SynonymPair, SynonymSaved, Synonyms as SynonymList,
};
use super::outcome::said::Said;
use super::{App, Reply};
use propagule_bench::Event;
use propagule_files::fault::Fault;

impl App {
    /// Names that this grower takes for one species.
    pub(super) fn synonyms(&self) -> Synonyms {
        self.synonyms.read().unwrap_or_else(PoisonError::into_inner).clone()
    }

    pub(super) fn take_synonyms(&self, synonyms: Synonyms) {
        *self.synonyms.write().unwrap_or_else(PoisonError::into_inner) = synonyms;
    }
}

/// Names beside `taxon` that are counted with it: those that the grower took for it, and of the list of the program those
/// under which something is held.
pub(super) fn also_counted(app: &App, taxon: &Taxon) -> Vec<String> {
    let own = taxon.species_key();
    let synonyms = app.synonyms();
    let chosen: BTreeSet<&str> = synonyms.pairs().flat_map(|(one, other)| [one, other]).collect();
    let is_used = |key: &String| {
        chosen.contains(key.as_str()) || app.store.evidence_ids(key).is_ok_and(|ids| !ids.is_empty())
    };
    let names = synonyms.one_species(&own).into_iter().filter(|key| *key != own);
    names.filter(is_used).map(|key| shown(&key)).collect()
}

/// What a name is counted as, or may be the same as, where that is not said by itself.
pub(super) fn counted_as(app: &App, species: &str) -> Option<CountedAs> {
    let taxon = Taxon::parse(species).ok()?;
    let key = taxon.species_key();
    let name = shown(&key);
    let accepted = app.synonyms().accepted_key(&key);
    if accepted != key {
        return Some(CountedAs { name, accepted: shown(&accepted), is_sure: true });
    }
    let perhaps = names::perhaps(&taxon).filter(|_| app.synonyms().parted().all(|parted| parted != key))?;
    Some(CountedAs { name, accepted: perhaps.accepted.to_owned(), is_sure: false })
}

/// A species key as a name is shown.
fn shown(key: &str) -> String {
    Taxon::of_species_key(key).map_or_else(|| key.to_owned(), |taxon| taxon.to_string())
}

/// What the list knows of a name, and what is counted with it.
pub(super) fn show(app: &App, name: &str) -> Result<Reply, Fault> {
    let listed = names::lookup(name);
    let taxon = Taxon::parse(name);
    let synonyms = taxon.as_ref().map(|taxon| also_counted(app, taxon)).unwrap_or_default();
    let counted_as = counted_as(app, name);
    if listed.is_empty() && synonyms.is_empty() && counted_as.is_none() {
        let taxon = parse_species(name)?;
        let near: Vec<String> = names::suggest(name).into_iter().map(str::to_owned).collect();
        return Err(Fault::user("plant-not-listed").with("taxon", &taxon).near(&near));
    }
    let plants = listed.into_iter().map(facts).collect();
    Ok(Reply::done(Outcome::Plants(Plants { plants, synonyms, counted_as })))
}

fn facts(plant: &Listed) -> PlantFacts {
    PlantFacts {
        name: plant.scientific.to_owned(),
        other_names: names::other_names()
            .iter()
            .filter(|other| other.is_sure && other.accepted == plant.scientific)
            .map(|other| other.name.to_owned())
            .collect(),
        common: plant.common.iter().map(|name| (*name).to_owned()).collect(),
        usual: plant.usual.to_owned(),
        cautions: cautions(plant.scientific),
    }
}

/// What to mind with a plant of the list, its protected cultivars included.
fn cautions(scientific: &str) -> Vec<Said> {
    let hazards = Taxon::parse(scientific).map(|taxon| names::hazards(&taxon)).unwrap_or_default();
    hazards.into_iter().map(|hazard| Said::Hazard { id: Hazard::from(hazard).id().to_owned() }).collect()
}

/// All names that are taken for another one, and those that are kept apart.
pub(super) fn synonyms(app: &App) -> Reply {
    let own = app.synonyms();
    let pair = |(one, other)| SynonymPair { synonym: shown(one), accepted: shown(other) };
    let list = SynonymList {
        synonyms: own.pairs().map(pair).collect(),
        apart: own.parted().map(shown).collect(),
        listed: names::other_names().iter().filter(|other| other.is_sure).count(),
        list_version: names::OTHER_NAMES_VERSION,
    };
    Reply::done(Outcome::Synonyms(list))
}

/// Takes one name for another from now on, in this home only.
pub(super) fn same(app: &App, synonym: &str, accepted: &str) -> Result<Reply, Fault> {
    let (one, other) = (parse_species(synonym)?, parse_species(accepted)?);
    let mut synonyms = app.synonyms();
    synonyms.add(&one, &other).map_err(refused)?;
    keep(app, &one, Some(shown(&other.species_key())), synonyms)
}

/// Takes a name for itself again.
pub(super) fn apart(app: &App, synonym: &str) -> Result<Reply, Fault> {
    let one = parse_species(synonym)?;
    let mut synonyms = app.synonyms();
    if !synonyms.part(&one) {
        return Err(Fault::user("plant-not-a-synonym").with("one", &one));
    }
    keep(app, &one, None, synonyms)
}

fn keep(app: &App, one: &Taxon, accepted: Option<String>, synonyms: Synonyms) -> Result<Reply, Fault> {
    let key = one.species_key();
    let before =
        Some(app.synonyms().accepted_key(&key)).filter(|before| *before != key).map(|key| shown(&key));
    let saved = SynonymSaved { synonym: shown(&key), accepted, before };
    app.bench()
        .record(Event::SynonymSet { synonym: saved.synonym.clone(), accepted: saved.accepted.clone() })?;
    app.take_synonyms(synonyms);
    Ok(Reply::done(Outcome::SynonymSaved(saved)))
}

/// Why a name cannot be taken for another one.
fn refused(error: SynonymError) -> Fault {
    match error {
        SynonymError::NotASpecies(name) => Fault::user("synonym-not-a-species").with("name", name),
        SynonymError::Same(name) => Fault::user("synonym-of-itself").with("name", name),
        SynonymError::Ring { synonym, accepted } => {
            Fault::user("synonym-ring").with("synonym", synonym).with("accepted", accepted)
        }
        SynonymError::Taken { synonym, accepted } => {
            Fault::user("synonym-taken").with("synonym", synonym).with("accepted", accepted)
        }
    }
}
