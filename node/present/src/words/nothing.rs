//! Sentences for when there is nothing to pool, and for names that may be misspelt.

use super::counted;

/// A list as a sentence has it: `a`, `a or b`, `a, b or c`.
fn either(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} or {last}", first.join(", ")),
    }
}

/// `Did you mean Morus nigra?`; `None` where nothing is close.
pub fn did_you_mean(names: &[String]) -> Option<String> {
    (!names.is_empty()).then(|| format!("Did you mean {}?", either(names)))
}

/// No record of the species is held.
pub fn no_evidence(species: &str, suggestions: &[String], species_held: usize) -> String {
    let held = match species_held {
        0 => "This node holds no results of any species yet.".to_owned(),
        some => format!("This node holds results of {} in all.", counted(some, "species", "species")),
    };
    let start = format!("Nobody has reported {species} here yet, so there is no rate to give.");
    match did_you_mean(suggestions) {
        Some(question) => format!("{start} {question}"),
        None => format!("{start} {held}"),
    }
}

/// Records are held, but none answers this question.
pub fn nothing_counted(species: &str, question: &str, pending: usize) -> String {
    match pending {
        0 => format!("No trial of {species} answers this: nothing was counted as {question}."),
        1 => format!("1 trial of {species} is under way; nothing has been counted as {question} yet."),
        some => {
            format!("{some} trials of {species} are under way; nothing has been counted as {question} yet.")
        }
    }
}

/// A filter that no arm passes.
pub fn filtered_away(species: &str, filters: &str) -> String {
    format!("No arm of {species} has {filters}; an arm whose facet is not known does not count as having it.")
}

/// An answer about several methods that were never in one trial.
pub const NEVER_SIDE_BY_SIDE: &str = "Some of these methods were never compared side by side; rates come from different growers, so a \
     difference may be the growers'.";

/// Names of other plants that the reader takes for the one asked for.
pub fn also_counted(names: &[String]) -> String {
    format!("Counted with it, as you said: {} (see propagule names).", names.join(", "))
}

/// What pooled figures are.
pub const NOT_ADVICE: &str = "Pooled figures describe what growers reported; they are not advice.";
