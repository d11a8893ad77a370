//! Methods of a plant: the way to it, the answer, its trials and what moves its figures.

use propagule_evidence::Whose;

use crate::words::sentences::number_of;
use crate::words::whose_words;

/// What the page is for.
pub const ABOUT: &str = "What growers found out about a plant: which methods work, and how sure that is.";
/// The heading over plants on the own bench.
pub const YOU_GROW: &str = "What you grow";
/// Beside a plant of which there is nothing yet.
pub const NO_RESULTS_OF_IT: &str = "no results yet";
/// The heading over the others.
pub const OTHERS_HELD: &str = "Other plants with results here";
/// The heading where nothing of them is grown.
pub const HELD: &str = "Plants with results here";
/// Where nothing is held at all; the way to other growers stands behind it.
pub const NOTHING_HELD: &str = "No results here yet. They come from other growers, or from a bundle file. Yours count once they are published.";
/// The way to other growers.
pub const OTHER_GROWERS: &str = "Find other growers";
/// Below plants that were perhaps meant, where there is nothing of any.
pub const NOTHING_OF_THEM: &str = "There are no results here for any of them yet.";

/// That a list goes on.
pub fn more_plants(count: usize) -> String {
    format!("And {count} more: type a part of the name.")
}

/// Above plants that were perhaps meant.
pub fn may_be(typed: &str) -> String {
    format!("\u{201c}{typed}\u{201d} may be:")
}

/// The heading of the field below an answer.
pub const ANOTHER_PLANT: &str = "Another plant";
/// What can be done where nothing is held of a plant.
pub const SET_UP_FIRST: &str = "Set up a trial of it";
/// The same, quieter.
pub const SEE_HELD: &str = "Choose another plant";
/// What can be done with an answer.
pub const PLAN_WITH_THIS: &str = "Plan with this";
/// The same, with a trial of one's own.
pub const COMPARE_MINE: &str = "Compare my trial";

/// The way to the trials.
pub fn one_by_one(trials: usize) -> String {
    format!("{}, one by one", number_of(trials, "trial", "trials"))
}

/// The way to who moves the figures.
pub const WHAT_MOVES: &str = "What moves the figures";
/// The way to the table.
pub const AS_CSV: &str = "Counts as CSV";
/// The way back.
pub const BACK: &str = "Back to the answer";

/// Whose results are shown.
pub fn results_of(whose: Whose) -> String {
    format!("These are the results of {}.", whose_words(whose))
}

/// The way to those of others.
pub fn show_those_of(whose: Whose) -> String {
    format!("Show those of {}", whose_words(whose))
}

/// The heading of what moves the figures, behind the name of the plant.
pub const MOVED_BY: &str = "what moves the figures";

/// The title of that page.
pub fn behind(plant: &str) -> String {
    format!("Behind {plant}")
}

/// How many methods that page is about, and what was asked of them.
pub fn methods_asked(methods: usize, question: &str) -> String {
    format!("{}, {question}.", number_of(methods, "method", "methods"))
}

/// The fold of the form that asks otherwise.
pub const ASK_OTHERWISE: &str = "Ask otherwise: count, groups, whose results";
/// What is usual.
pub const SPLIT_HELP: &str =
    "Usual: kind, wood, and mist or cover of cuttings; type of grafts; pretreatment of seed";
/// The legend of filters.
pub const ONLY_WITH: &str = "Only treatments with";
/// What an unstated detail means there.
pub const UNSTATED: &str = "A treatment counts only where its grower stated the detail.";
/// No filter.
pub const ANY: &str = "any";
/// The way back to what is usual.
pub const USUAL: &str = "The usual question";
/// Ticks: what is sent, and what is read.
pub const TICKS: [(&str, &str); 5] = [
    ("replicated", "Compare only in trials with several pots per treatment"),
    ("opened", "Only trials announced before their first count"),
    ("transcribed", "Results from print too"),
    ("regrafts", "Rootstocks grafted again after a failure too"),
    ("unchecked", "Growers not known here yet, too"),
];
/// Ways to split that are no detail: what is sent, and what is read.
pub const SPLITS: [(&str, &str); 3] = [
    ("", "nothing more"),
    ("none", "nothing at all: all methods together"),
    ("path", "where survivors were moved to"),
];

/// The heading of the trials, behind the name of the plant.
pub fn trials(count: usize) -> String {
    number_of(count, "trial", "trials")
}

/// The title of that page.
pub fn trials_of(plant: &str) -> String {
    format!("Trials of {plant}")
}

/// Where no trial answers what was asked.
pub const NO_TRIAL: &str = "No trial here answers this.";

/// Until when the data reach.
pub fn data_until(month: &str) -> String {
    format!("Results until {month}.")
}

/// Which trial of its grower, and how far it counts.
pub fn trial(letters: &str, weight: f64) -> String {
    if weight < 1.0 {
        return format!("trial {letters}, counts {:.0}%", weight * 100.0);
    }
    format!("trial {letters}")
}

/// That a trial has more treatments than are listed.
pub fn more_treatments(count: usize) -> String {
    format!("and {}", number_of(count, "more treatment", "more treatments"))
}

/// What to mind with a trial.
pub fn mind(marks: &[String]) -> String {
    format!("Mind: {}.", marks.join("; "))
}

/// The fold of a trial's climate.
pub const WHERE: &str = "Where";
