//! Names of plants in words.

use crate::document::{Action, Document, Phrase};
use crate::kind::in_our_words;
use crate::words::sentences::{and, number_of};
use propagule_files::paste::pasteable;

use super::{said, undo};
use crate::words;
use propagule_app::outcome::plant::{CountedAs, NameTaken, PlantFacts, Plants, SynonymSaved, Synonyms};

/// What the list knows of a name, and what is counted with it.
pub(super) fn known(plants: &Plants) -> Document {
    let also = (!plants.synonyms.is_empty()).then(|| words::also_counted(&plants.synonyms));
    Document::new()
        .each(&plants.plants, |said, plant| said.section(heading(plant), |under| described(under, plant)))
        .each(also, Document::say)
        .each(&plants.counted_as, counted_as)
}

/// What a name is counted as, or may be the same as; with the command that says otherwise.
pub(super) fn counted_as(said: Document, of: &CountedAs) -> Document {
    let CountedAs { name, accepted, is_sure } = of;
    if *is_sure {
        return said
            .say(format!("Results for {name} are counted with {accepted}: two names of one plant."))
            .action(undo::by(["names", name, "--apart"]));
    }
    let command = format!("propagule names {} --same-as {}", pasteable(name), pasteable(accepted));
    said.say(format!("Some lists take {name} for {accepted}, others keep them apart. Here they are apart."))
        .action(Action::command("To count them together", &command))
}

fn heading(plant: &PlantFacts) -> Phrase {
    let name = Phrase::new().name(plant.name.as_str());
    if plant.common.is_empty() { name } else { name.then(format!(": {}", plant.common.join(", "))) }
}

fn described(under: Document, plant: &PlantFacts) -> Document {
    under
        .when(!plant.other_names.is_empty(), |under| {
            under.say(format!("also named {} (from memory)", and(&plant.other_names)))
        })
        .say(format!(
            "usual way or wood: {} (common practice, no source)",
            in_our_words("wood", &plant.usual)
        ))
        .each(&plant.cautions, |under, caution| under.say(said::line(caution)))
}

/// All names that are taken for another one.
pub(super) fn synonyms(all: &Synonyms) -> Document {
    let names = number_of(all.listed, "name", "names");
    Document::new()
        .when(all.synonyms.is_empty(), |said| said.say("You have taken no two names for one species."))
        .each(&all.synonyms, |said, pair| {
            said.say(format!("{} is counted as {}", pair.synonym, pair.accepted))
        })
        .each(&all.apart, |said, name| said.say(format!("{name} is counted by itself")))
        .say(format!(
            "{names} of the program's own list (version {}) are counted as others.",
            all.list_version
        ))
        .action(Action::command("To look one up", "propagule names NAME"))
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
