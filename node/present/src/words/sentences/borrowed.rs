//! What other plants teach about one.

use super::pooled::model_interval;
use super::{about, number_of};
use crate::kind::KindWords;
use crate::number::grouped;

/// What a figure rests on beside its own trials, and how much that is worth.
#[derive(Clone, Copy, Debug)]
pub struct Likeness {
    /// Trials of other species of the genus.
    pub genus: usize,
    /// Trials of other plants by the method.
    pub method: usize,
    /// Growers' worth of it.
    pub worth: f64,
    /// Whether the own counts settle less than half.
    pub is_most: bool,
}

/// `41 trials of its relatives and 120 of this method with other plants`.
fn others(genus: usize, method: usize) -> String {
    let relatives = number_of(genus, "trial of its relatives", "trials of its relatives");
    let alike = |of: &str| {
        let plants = if method == 1 { "another plant" } else { "other plants" };
        format!("{}{of} of this method with {plants}", grouped(method as u64))
    };
    match (genus, method) {
        (0, 0) => "what other plants do in general".to_owned(),
        (_, 0) => relatives,
        (0, 1) => alike(" trial"),
        (0, _) => alike(" trials"),
        _ => format!("{relatives} and {}", alike("")),
    }
}

/// A figure with what is borrowed for it.
pub fn rests_on(_: &KindWords, own: usize, likeness: &Likeness) -> String {
    let Likeness { genus, method, worth, is_most } = *likeness;
    let most = if is_most { "Mostly borrowed: this" } else { "This" };
    let growers = match worth.round() {
        ..1.0 => "worth less than one grower".to_owned(),
        whole if whole > 99.0 => "worth about a hundred growers or more".to_owned(),
        whole => format!("worth about {}", number_of(whole as u64, "grower", "growers")),
    };
    format!(
        "{most} rests on {} of this plant; and, by likeness, on {}; {growers}.",
        number_of(own, "trial", "trials"),
        others(genus, method)
    )
}

/// The same figure by the own trials alone.
pub fn own_alone(_: &KindWords, own: usize, rate: f64, [low, _, high]: [f64; 3]) -> String {
    let trials =
        if own == 1 { "its own trial".to_owned() } else { format!("its own {} trials", grouped(own as u64)) };
    format!("From {trials} alone: {} ({}).", about(rate), model_interval(low, high))
}

/// The own counts disagree with what is borrowed.
pub fn conflict(_: &KindWords, own_lead: bool) -> String {
    let end = if own_lead { "; its own counts lead" } else { "" };
    format!("The counts of this plant\u{2019}s own growers disagree with its relatives{end}.")
}

/// A grower not in the data, where one grower tried it and others teach the rest.
pub fn taught_one_grower(
    _: &KindWords,
    rate: f64,
    [low, _, high]: [f64; 3],
    [least, _, most]: [f64; 3],
) -> String {
    format!(
        "With what other plants teach, the average across growers is {} (95% interval {}). A grower not in the data may land anywhere from {}.",
        about(rate),
        model_interval(low, high),
        model_interval(least, most)
    )
}

/// Nothing succeeded: what others teach, and the most that the own counts leave room for.
pub fn taught_none_average(_: &KindWords, rate: f64, [low, _, high]: [f64; 3], upper_alone: f64) -> String {
    format!(
        "With what other plants teach, the average across growers is {} (95% interval {}); by these counts alone it could be up to {}.",
        about(rate),
        model_interval(low, high),
        about(upper_alone)
    )
}

/// A method that nobody has tried with the plant.
pub fn never_tried(
    _: &KindWords,
    [genus, method]: [usize; 2],
    rate: f64,
    [low, _, high]: [f64; 3],
) -> String {
    format!(
        "Not tried by anybody here. From {}: perhaps {}; anything from {} is possible.",
        others(genus, method),
        about(rate).trim_start_matches("about "),
        model_interval(low, high)
    )
}

/// Being worked out.
pub fn teaching_under_way(_: &KindWords) -> String {
    "What other plants teach is still being worked out. Until then each method stands on its own counts."
        .to_owned()
}

/// Too much for one command.
pub fn teaching_too_much(_: &KindWords) -> String {
    "What other plants teach is worked out while propagule serve runs. Here each method stands on its own counts.".to_owned()
}

/// Nothing to learn from.
pub fn teaching_nothing(_: &KindWords) -> String {
    "No relatives to learn from yet: each method stands on its own counts.".to_owned()
}

/// Little to learn from.
pub fn teaching_little(_: &KindWords, trials: usize, plants: usize) -> String {
    format!(
        "There is little to learn from other plants yet: {} of {} in all.",
        number_of(trials, "trial", "trials"),
        number_of(plants, "plant", "plants")
    )
}

/// Learnt from these.
pub fn taught(_: &KindWords, trials: usize, of_trials: usize, plants: usize) -> String {
    let trials = if trials < of_trials {
        format!("{} of {}", grouped(trials as u64), number_of(of_trials, "trial", "trials"))
    } else {
        number_of(trials, "trial", "trials")
    };
    format!(
        "Learnt from {trials} of {}, each plant\u{2019}s own counts first.",
        number_of(plants, "plant", "plants")
    )
}

/// Newer results are not in it.
pub fn taught_before(_: &KindWords, minutes: u64) -> String {
    let age = match minutes {
        0 => "less than a minute ago".to_owned(),
        minutes => format!("{} ago", number_of(minutes, "minute", "minutes")),
    };
    format!("It was learnt {age}; newer results are being worked in.")
}

/// A fit did not settle.
pub fn not_taught(_: &KindWords) -> String {
    "What other plants teach could not be worked out from these results. Each method stands on its own counts.".to_owned()
}
