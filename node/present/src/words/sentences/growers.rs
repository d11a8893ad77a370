//! An own trial beside those of other growers.

use propagule_evidence::Outcome;

use super::{number_of, times_in_100};
use crate::kind::KindWords;

/// With whom it is compared.
pub const fn whom(in_climate: bool) -> &'static str {
    if in_climate { "growers in a climate like yours" } else { "all growers with this method" }
}

/// The own count: `7 of your 24 rooted`.
fn own(words: &KindWords, of: Outcome, count: u32, started: u32) -> String {
    format!("{count} of your {started} {}", words.success(of).ok)
}

/// The own count is what others would see.
pub fn in_line(words: &KindWords, of: Outcome, (count, started): (u32, u32), in_climate: bool) -> String {
    format!("{}. That is in line with {}.", own(words, of, count, started), whom(in_climate))
}

/// The own count is lower.
pub fn lower(words: &KindWords, of: Outcome, own_count: (u32, u32), in_climate: bool, chance: f64) -> String {
    apart(words, of, own_count, in_climate, ("lower", "low"), chance)
}

/// The own count is higher.
pub fn higher(
    words: &KindWords,
    of: Outcome,
    own_count: (u32, u32),
    in_climate: bool,
    chance: f64,
) -> String {
    apart(words, of, own_count, in_climate, ("higher", "high"), chance)
}

fn apart(
    words: &KindWords,
    of: Outcome,
    (count, started): (u32, u32),
    in_climate: bool,
    (than, this): (&str, &str),
    chance: f64,
) -> String {
    format!(
        "{}: {than} than you would expect from {}. Among such growers, a result this {this} would turn up {}.",
        own(words, of, count, started),
        whom(in_climate),
        times_in_100(chance)
    )
}

/// How often as few, or as many, would be counted.
pub fn chances(_: &KindWords, at_most: Option<f64>, at_least: Option<f64>) -> String {
    let low = at_most.map(|p| format!("this few or fewer {}", times_in_100(p)));
    let high = at_least.map(|p| format!("this many or more {}", times_in_100(p)));
    let all: Vec<String> = low.into_iter().chain(high).collect();
    format!("Among such growers: {}.", all.join(", "))
}

/// What the same number would give there.
pub fn expected_count(words: &KindWords, of: Outcome, started: u32, (low, high): (usize, usize)) -> String {
    format!(
        "Among them, {} would give {low} to {high} {}, 95 times in 100.",
        words.many(started),
        words.success(of).oked
    )
}

/// Who they are.
pub fn closeness(_: &KindWords, growers: usize, trials: usize, same: &[String]) -> String {
    let who = format!(
        "{}, {} with this method",
        number_of(growers, "grower", "growers"),
        number_of(trials, "trial", "trials")
    );
    if same.is_empty() {
        return format!("{who}; the closer the climate, the more they count.");
    }
    format!("{who}; the same {} counts first, climate a little.", super::and(same))
}

/// All are shown, whatever their climate.
pub fn any_climate(_: &KindWords, growers: usize, trials: usize) -> String {
    format!(
        "{}, {} with this method, whatever their climate.",
        number_of(growers, "grower", "growers"),
        number_of(trials, "trial", "trials")
    )
}

/// Too few are near.
pub fn too_few(_: &KindWords, growers: usize) -> String {
    let all = shown(growers);
    format!("Too few growers in a climate like yours, so {all}.")
}

/// No climate is known.
pub fn no_climate(_: &KindWords, growers: usize) -> String {
    let all = shown(growers);
    format!("No climate is known, so {all}.")
}

fn shown(growers: usize) -> String {
    if growers == 1 { "the only one is shown".to_owned() } else { format!("all {growers} are shown") }
}

/// Nobody else has reported the method.
pub fn nobody_else(words: &KindWords, of: Outcome, (count, started): (u32, u32)) -> String {
    format!(
        "{}. No other grower has reported this method here, so there is nothing to compare with.",
        own(words, of, count, started)
    )
}

/// Some marks are chance.
pub fn flags_by_chance(_: &KindWords) -> String {
    "About 1 comparison in 20 is marked by chance alone.".to_owned()
}

/// Compared as if grown elsewhere.
pub fn as_if_at(_: &KindWords, site: &str) -> String {
    format!("As if grown at \u{201c}{site}\u{201d}: your counts, that site's climate.")
}
