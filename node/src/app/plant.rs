//! Plant names: what the list knows of one, and which names this grower takes for one species.

use std::fmt::Write;
use std::sync::PoisonError;

use propagule_protocol::Taxon;
use propagule_protocol::names::{self, Listed, Synonyms};
use serde_json::{Value, json};

use super::evidence::parse_species;
use super::{App, Reply, undo};
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

/// The same in words.
pub(super) fn also_counted_words(names: &[String]) -> String {
    format!("Counted with it, as you said: {} (see propagule plant).\n", names.join(", "))
}

/// A species key as a name is shown.
fn shown(key: &str) -> String {
    Taxon::of_species_key(key).map_or_else(|| key.to_owned(), |taxon| taxon.to_string())
}

/// What the list knows of a name, and what is counted with it.
pub(super) fn show(app: &App, name: &str) -> Result<Reply, Fault> {
    let listed = names::lookup(name);
    let also = Taxon::parse(name).map(|taxon| also_counted(app, &taxon)).unwrap_or_default();
    if listed.is_empty() && also.is_empty() {
        let taxon = parse_species(name)?;
        let near: Vec<String> = names::suggest(name).into_iter().map(str::to_owned).collect();
        return Err(Fault::user("plant-not-listed").with("taxon", &taxon).near(&near));
    }
    let mut text = String::new();
    for plant in &listed {
        write_plant(&mut text, plant);
    }
    if !also.is_empty() {
        text.push_str(&also_counted_words(&also));
    }
    let plants: Vec<Value> = listed.iter().map(|plant| row(plant)).collect();
    Ok(Reply::report(text, json!({ "format": "propagule.plants/1", "plants": plants, "synonyms": also })))
}

fn write_plant(text: &mut String, plant: &Listed) {
    let _ = write!(text, "{}", plant.scientific);
    if !plant.common.is_empty() {
        let _ = write!(text, ": {}", plant.common.join(", "));
    }
    let _ = writeln!(text, "\n  usual way or wood: {} (common practice, no source)", plant.usual);
    for hint in &plant.hints {
        let _ = writeln!(text, "  {}", hint.caution());
    }
}

fn row(plant: &Listed) -> Value {
    let cautions: Vec<&str> = plant.hints.iter().map(|hint| hint.caution()).collect();
    json!({ "name": plant.scientific, "common": plant.common, "usual": plant.usual, "cautions": cautions })
}

/// All names that are taken for another one.
pub(super) fn synonyms(app: &App) -> Reply {
    let pairs: Vec<(String, String)> =
        app.synonyms().pairs().map(|(one, other)| (shown(one), shown(other))).collect();
    let mut text = String::new();
    for (one, other) in &pairs {
        let _ = writeln!(text, "{one} is counted as {other}");
    }
    if text.is_empty() {
        text.push_str("No two names are taken for one species.\n");
    }
    let rows: Vec<Value> =
        pairs.iter().map(|(one, other)| json!({ "synonym": one, "accepted": other })).collect();
    Reply::report(text, json!({ "format": "propagule.synonyms/1", "synonyms": rows }))
}

/// Takes one name for another from now on, in this home only.
pub(super) fn same(app: &App, synonym: &str, accepted: &str) -> Result<Reply, Fault> {
    let (one, other) = (parse_species(synonym)?, parse_species(accepted)?);
    let mut synonyms = app.synonyms();
    synonyms.add(&one, &other).map_err(|e| {
        Fault::said(e.to_string()).hint("see which names are taken for one species: propagule plant")
    })?;
    let (one, other) = (shown(&one.species_key()), shown(&other.species_key()));
    app.bench().record(Event::SynonymSet { synonym: one.clone(), accepted: Some(other.clone()) })?;
    app.take_synonyms(synonyms);
    Ok(Reply::report(
        format!(
            "{one} is counted as {other} from now on, on this computer only; no record is changed.\n{}",
            undo::by(&["plant", &one, "--apart"])
        ),
        json!({ "format": "propagule.synonym/1", "synonym": one, "accepted": other }),
    ))
}

/// Takes a name for itself again.
pub(super) fn apart(app: &App, synonym: &str) -> Result<Reply, Fault> {
    let one = parse_species(synonym)?;
    let mut synonyms = app.synonyms();
    let key = one.species_key();
    let other = synonyms.pairs().find(|(synonym, _)| *synonym == key).map(|(_, other)| shown(other));
    if !synonyms.remove(&one) {
        return Err(Fault::user("plant-not-a-synonym").with("one", &one));
    }
    let one = shown(&one.species_key());
    app.bench().record(Event::SynonymSet { synonym: one.clone(), accepted: None })?;
    app.take_synonyms(synonyms);
    Ok(Reply::report(
        format!(
            "{one} is counted by itself again.\n{}",
            other.map(|other| undo::by(&["plant", &one, "--same-as", &other])).unwrap_or_default()
        ),
        json!({ "format": "propagule.synonym/1", "synonym": one, "accepted": null }),
    ))
}
