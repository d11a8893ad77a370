//! Names of plants in words.

use crate::document::{Document, Phrase};

use super::{said, undo};
use crate::words;
use propagule_app::outcome::plant::{NameTaken, PlantFacts, Plants, SynonymSaved, Synonyms};

/// What the list knows of a name, and what is counted with it.
pub(super) fn known(plants: &Plants) -> Document {
    let also = (!plants.synonyms.is_empty()).then(|| words::also_counted(&plants.synonyms));
    Document::new()
        .each(&plants.plants, |said, plant| said.section(heading(plant), |under| described(under, plant)))
        .each(also, Document::say)
}

fn heading(plant: &PlantFacts) -> Phrase {
    let name = Phrase::new().name(plant.name.as_str());
    if plant.common.is_empty() { name } else { name.then(format!(": {}", plant.common.join(", "))) }
}

fn described(under: Document, plant: &PlantFacts) -> Document {
    under
        .say(format!("usual way or wood: {} (common practice, no source)", plant.usual))
        .each(&plant.cautions, |under, caution| under.say(said::line(caution)))
}

/// All names that are taken for another one.
pub(super) fn synonyms(all: &Synonyms) -> Document {
    if all.synonyms.is_empty() {
        return Document::new().say("No two names are taken for one species.");
    }
    Document::new().each(&all.synonyms, |said, pair| {
        said.say(format!("{} is counted as {}", pair.synonym, pair.accepted))
    })
}

/// A name is counted otherwise from now on.
pub(super) fn synonym(saved: &SynonymSaved) -> Document {
    let name = saved.synonym.as_str();
    match (&saved.accepted, &saved.before) {
        (Some(accepted), _) => Document::new()
            .say(format!(
                "{name} is counted as {accepted} from now on, on this computer only. No result is changed."
            ))
            .action(undo::by(["names", name, "--apart"])),
        (None, before) => Document::new()
            .say(format!("{name} is counted by itself again."))
            .each(before, |said, before| said.action(undo::by(["names", name, "--same-as", before]))),
    }
}

/// How a plant name that was typed was taken.
pub(super) fn taken(taken: &NameTaken) -> String {
    let notes: Vec<String> = taken.notes.iter().map(ToString::to_string).collect();
    format!("Taken as {} ({}).", taken.name, notes.join("; "))
}
