//! Plant names: what the list knows of one, and which names this grower takes for one species.

use std::sync::PoisonError;

use propagule_protocol::Taxon;
use propagule_protocol::names::{self, Listed, SynonymError, Synonyms};

use super::cautions::Hazard;
use super::evidence::parse_species;
use super::outcome::Outcome;
use super::outcome::plant::{PlantFacts, Plants, SynonymPair, SynonymSaved, Synonyms as SynonymList};
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

/// Names beside `taxon` that are counted with it.
pub(super) fn also_counted(app: &App, taxon: &Taxon) -> Vec<String> {
    let own = taxon.species_key();
    app.synonyms().one_species(&own).into_iter().filter(|key| *key != own).map(|key| shown(&key)).collect()
}

/// A species key as a name is shown.
fn shown(key: &str) -> String {
    Taxon::of_species_key(key).map_or_else(|| key.to_owned(), |taxon| taxon.to_string())
}

/// What the list knows of a name, and what is counted with it.
pub(super) fn show(app: &App, name: &str) -> Result<Reply, Fault> {
    let listed = names::lookup(name);
    let synonyms = Taxon::parse(name).map(|taxon| also_counted(app, &taxon)).unwrap_or_default();
    if listed.is_empty() && synonyms.is_empty() {
        let taxon = parse_species(name)?;
        let near: Vec<String> = names::suggest(name).into_iter().map(str::to_owned).collect();
        return Err(Fault::user("plant-not-listed").with("taxon", &taxon).near(&near));
    }
    let plants = listed.into_iter().map(facts).collect();
    Ok(Reply::done(Outcome::Plants(Plants { plants, synonyms })))
}

fn facts(plant: &Listed) -> PlantFacts {
    PlantFacts {
        name: plant.scientific.to_owned(),
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

/// All names that are taken for another one.
pub(super) fn synonyms(app: &App) -> Reply {
    let pair = |(one, other)| SynonymPair { synonym: shown(one), accepted: shown(other) };
    let synonyms = app.synonyms().pairs().map(pair).collect();
    Reply::done(Outcome::Synonyms(SynonymList { synonyms }))
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
    if !synonyms.remove(&one) {
        return Err(Fault::user("plant-not-a-synonym").with("one", &one));
    }
    keep(app, &one, None, synonyms)
}

fn keep(app: &App, one: &Taxon, accepted: Option<String>, synonyms: Synonyms) -> Result<Reply, Fault> {
    let key = one.species_key();
    let before = app.synonyms().pairs().find(|(synonym, _)| *synonym == key).map(|(_, other)| shown(other));
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
