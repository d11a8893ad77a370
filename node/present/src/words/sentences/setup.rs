//! Setting up a trial, and what its size can show.

use super::{about, and, per_cent, rate_of};
use crate::kind::KindWords;

/// A trial that was set up, or a batch where nothing is compared.
pub fn set_up(words: &KindWords, code: &str, plant: &str, treatments: usize, units: u32) -> String {
    let many = in_all(words, units, treatments);
    if treatments < 2 {
        return format!("{code} is set up as a batch: {plant}, {many}. Nothing is compared.");
    }
    format!("{code} is set up: {plant}, {treatments} treatments, {many}.")
}

/// `24 cuttings`; `36 in all` where kinds are mixed, since nothing else says of what.
fn in_all(words: &KindWords, units: u32, treatments: usize) -> String {
    let many = words.many(units);
    if words.unit.is_empty() && treatments > 1 { format!("{many} in all") } else { many }
}

/// The same of a trial that was only described, to see what it would show.
pub fn would_be_set_up(words: &KindWords, code: &str, plant: &str, treatments: usize, units: u32) -> String {
    let many = in_all(words, units, treatments);
    if treatments < 2 {
        return format!("{code} would be a batch: {plant}, {many}. Nothing is compared.");
    }
    format!("{code} would be: {plant}, {treatments} treatments, {many}.")
}

/// A treatment: `dip: 12 cuttings in P1, P2 and P3; IBA 3,000 mg/L, 5 s dip`.
pub fn treatment_line(words: &KindWords, label: &str, units: u32, pots: &str, method: &[String]) -> String {
    let pots = if pots.is_empty() { String::new() } else { format!(" in {pots}") };
    let method = if method.is_empty() { String::new() } else { format!("; {}", method.join(", ")) };
    format!("{label}: {}{pots}{method}", words.many(units))
}

/// How often a trial of this size would show a difference.
#[derive(Clone, Copy, Debug)]
pub struct Chance {
    /// True rates of the two treatments.
    pub rates: [f64; 2],
    /// How often it is shown.
    pub chance: f64,
    /// The same if pots never differed.
    pub without_pots: Option<f64>,
}

/// What a size shows: `If the true rates were 20% and 80%, 12 per treatment would show the difference 81 times in 100.`
pub fn power(_: &KindWords, size: &str, of: Chance) -> String {
    let [a, b] = of.rates.map(per_cent);
    let beside = of.without_pots.map_or_else(String::new, |chance| {
        format!(" ({} if pots never differed)", times(chance).trim_end_matches(" times in 100"))
    });
    format!(
        "If the true rates were {a} and {b}, {size} per treatment would show the difference {}{beside}.",
        times(of.chance)
    )
}

/// `81 times in 100`, `only 14 times in 100`, `hardly ever`: rounded down, since it promises no more than there is.
pub fn times(chance: f64) -> String {
    let times = (chance * 100.0 + 1e-9).floor();
    match times {
        _ if chance < 0.005 => "hardly ever".to_owned(),
        ..1.5 => "only 1 time in 100".to_owned(),
        ..50.0 => format!("only {times:.0} times in 100"),
        _ => format!("{times:.0} times in 100"),
    }
}

/// What a modest difference takes: `To tell 50% from 75% with an 80% chance, stick 58 per treatment.`
pub fn size_needed(words: &KindWords, rates: [f64; 2], size: &str) -> String {
    let [a, b] = rates.map(per_cent);
    format!("To tell {a} from {b} with an 80% chance, {} {size} per treatment.", words.start.to_lowercase())
}

/// No size that can be set up shows it.
pub fn no_size_needed(_: &KindWords, rates: [f64; 2], units: u32, pots_of: u32) -> String {
    let [a, b] = rates.map(per_cent);
    format!(
        "To tell {a} from {b}, {units} per treatment would do if pots never differed. With pots of {pots_of}, no number of \
         pots that fits a trial would."
    )
}

/// Treatments in one pot each.
pub fn one_pot(_: &KindWords, labels: &[String]) -> String {
    let stand = if labels.len() == 1 {
        format!("{} is in one pot.", and(labels))
    } else {
        format!("{} are in one pot each.", and(labels))
    };
    format!(
        "{stand} A difference between pots would look just the same, so no treatment will be called better."
    )
}

/// The same number in several pots.
pub fn more_pots(_: &KindWords, pots: u32, each: u32) -> String {
    format!("The same number in {pots} pots per treatment: {each} in each pot.")
}

/// What differs between two treatments.
pub fn differs(_: &KindWords, first: &str, second: &str, details: &[String], sole: Option<&str>) -> String {
    match (sole, details) {
        (_, []) => format!("{first} and {second} do not differ in anything you recorded."),
        (Some(only), _) => format!("{first} and {second} differ in {only} only."),
        (None, all) => format!(
            "{first} and {second} differ in {} at once, so this trial cannot say which one matters.",
            and(all)
        ),
    }
}

/// What a batch can show.
pub fn batch_outlook(words: &KindWords, units: u32, upper_if_none: f64, if_half: [f64; 2]) -> String {
    if units == 1 {
        return format!("One {} says almost nothing about the rate.", words.only());
    }
    let [low, high] = if_half.map(rate_of);
    format!(
        "If none of {units} {}, the true rate could still be as high as {}. If half do, it is somewhere from {low} to \
         {high} (95% interval).",
        words.to_ok,
        about(upper_if_none)
    )
}

/// A batch needs nothing to be held against.
pub fn batch_without_control(_: &KindWords) -> String {
    "A batch compares nothing, so it needs no control.".to_owned()
}

/// Set up, and not in yet.
pub fn planned(words: &KindWords, command: &str) -> String {
    format!("Not {} yet. Record it on the day: {command}", words.started)
}
