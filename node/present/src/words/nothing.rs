//! Sentences for when there is nothing to pool, and for names that may be misspelt.

use super::contrast::any_kind;
use super::sentences::{or, pooled};

/// `Did you mean Morus nigra?`; `None` where nothing is close.
pub fn did_you_mean(names: &[String]) -> Option<String> {
    (!names.is_empty()).then(|| format!("Did you mean {}?", or(names)))
}

/// No result of the plant is here.
pub fn no_evidence(species: &str, suggestions: &[String], plants: usize) -> String {
    let start = pooled::nobody(&any_kind(), species);
    match did_you_mean(suggestions) {
        Some(question) => format!("{start} {question}"),
        None => format!("{start} {}", pooled::plants_here(&any_kind(), plants)),
    }
}

/// Results are here, but none answers this question.
pub fn nothing_counted(species: &str, question: &str, pending: usize) -> String {
    match pending {
        0 => format!("No trial of {species} answers this: nothing was counted as {question}."),
        some => pooled::under_way(&any_kind(), some, species),
    }
}

/// A filter that no treatment passes.
pub fn filtered_away(species: &str, filters: &str) -> String {
    format!(
        "No treatment of {species} has {filters}. One where nobody stated it does not count as having it."
    )
}

/// An answer about several methods that were never in one trial.
pub const NEVER_SIDE_BY_SIDE: &str = "Some of these methods were never compared in one trial. Their rates come from different growers, so a difference \
     could come from the growers.";

/// Names of other plants that the reader takes for the one asked for.
pub fn also_counted(names: &[String]) -> String {
    format!("Counted with it: {} (see propagule names).", names.join(", "))
}

/// What pooled figures are.
pub const NOT_ADVICE: &str = "These figures describe what growers reported. They are not advice.";
