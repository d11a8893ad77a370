//! Two methods side by side, and what a detail adds.

use super::{number_of, rate_of};
use crate::kind::KindWords;

/// How sure something is under the model: never certain.
fn probability(sure: f64) -> String {
    format!("probability {} under the model", rate_of(sure))
}

/// One method likely does better.
pub fn likely(_: &KindWords, better: &str, worse: &str, sure: f64, trials: usize, where_: &str) -> String {
    format!(
        "{better} likely does better than {worse}{where_}: {}, from {} that tried both.",
        probability(sure),
        number_of(trials, "trial", "trials")
    )
}

/// The verdict of the only trial that tried both.
pub fn better_in_one(_: &KindWords, better: &str, worse: &str) -> String {
    format!("{better} did better than {worse} in the only trial that tried both.")
}

/// Nothing can be said yet.
pub fn cannot(_: &KindWords, first: &str, second: &str, trials: usize) -> String {
    match trials {
        0 => format!(
            "{first} and {second}: never tried in one trial, so a difference could come from the growers."
        ),
        some => {
            format!(
                "{first} and {second}: cannot tell yet, from {} that tried both.",
                number_of(some, "trial", "trials")
            )
        }
    }
}

/// The outcome was the same in both, everywhere.
pub fn no_signal(_: &KindWords, first: &str, second: &str, trials: usize) -> String {
    let all = if trials == 1 { "the only trial".to_owned() } else { format!("all {trials} trials") };
    let it = if trials == 1 { "it says" } else { "they say" };
    format!("{first} and {second}: the same outcome in both in {all}, so {it} nothing about the difference.")
}

/// The only trial hangs on what became of lost ones.
pub fn depends_on_lost(_: &KindWords, first: &str, second: &str) -> String {
    format!(
        "{first} and {second}: cannot tell yet. In the only trial it depends on what became of the lost ones."
    )
}

/// The only trial is not counted to its end.
pub fn pair_under_way(_: &KindWords, first: &str, second: &str) -> String {
    format!(
        "{first} and {second}: cannot tell yet. The only trial with a difference is not counted to its end."
    )
}

/// Trials with one pot a treatment.
pub fn one_pot_of(_: &KindWords, single: usize, trials: usize) -> String {
    let in_them =
        if trials == 1 { "In the only trial".to_owned() } else { format!("In {single} of {trials} trials") };
    format!("{in_them} each treatment had one pot; a difference between pots would look just the same.")
}

/// What a word of a detail adds.
#[derive(Clone, Copy, Debug)]
pub struct EffectSaid<'a> {
    /// The detail.
    pub detail: &'a str,
    /// Its word, and the one it is compared with.
    pub words: [&'a str; 2],
    /// Odds ratio: limits and middle.
    pub odds: [f64; 3],
    /// Trials that tried both.
    pub trials: usize,
}

/// `rooting hormone IBA against none: odds of rooting 2.5 times as high (95% interval 1.1 to 6.0)…`
pub fn effect(words: &KindWords, of: EffectSaid<'_>) -> String {
    let [low, middle, high] = of.odds.map(odds);
    format!(
        "{} {} against {}: odds of {} {middle} times as high (95% interval {low} to {high}), other details equal, {}.",
        of.detail,
        of.words[0],
        of.words[1],
        words.oking,
        number_of(of.trials, "trial", "trials")
    )
}

/// An odds ratio with two digits.
pub fn odds(ratio: f64) -> String {
    match ratio {
        r if r >= 100.0 => "over 100".to_owned(),
        r if r >= 9.95 => format!("{r:.0}"),
        r if r < 0.01 => "under 0.01".to_owned(),
        r if r < 0.1 => format!("{r:.2}"),
        r => format!("{r:.1}"),
    }
}

/// A word that always went with another.
pub fn aliased(_: &KindWords, detail: &str, word: &str) -> String {
    format!("{detail} {word} was always used together with something else, so the two cannot be separated.")
}

/// Never in one grower's trials.
pub fn between(_: &KindWords, first: &str, second: &str) -> String {
    format!(
        "{first} and {second} were never in one grower's trials; a difference could come from the growers."
    )
}

/// What the others are compared with.
pub fn reference(_: &KindWords, detail: &str, word: &str) -> String {
    format!("{detail}: each is compared with {word}.")
}

/// A word that nobody tried.
pub fn untried_word(_: &KindWords, detail: &str, word: &str) -> String {
    format!("{detail} {word}: never tried.")
}

/// Two sides that differ in several details.
pub fn together(_: &KindWords, first: &str, second: &str, trials: usize) -> String {
    format!(
        "{first} against {second}: always used together in {}, so these cannot be separated.",
        number_of(trials, "trial", "trials")
    )
}

/// The method that is likely best, by all trials that tried several.
pub fn rank(_: &KindWords, best: &str, beaten: &[(String, f64)], trials: usize) -> String {
    let beaten: Vec<String> =
        beaten.iter().map(|(other, sure)| format!("{other} ({})", rate_of(*sure))).collect();
    format!(
        "{best}: likely better than {}, from {}.",
        semicolons(&beaten),
        number_of(trials, "trial", "trials")
    )
}

/// Methods from which the best cannot be told yet.
pub fn rank_open(_: &KindWords, open: &[String]) -> String {
    format!("Against {} it cannot be told yet.", semicolons(open))
}

/// No method can be called better.
pub fn rank_none(_: &KindWords, trials: usize) -> String {
    format!("From {}, no method can be called better yet.", number_of(trials, "trial", "trials"))
}

/// No method is better than all others, but some pairs are clear.
pub fn rank_pairs(_: &KindWords, pairs: &[(String, String, f64)], trials: usize) -> String {
    let pair = |(better, worse, sure): &(String, String, f64)| {
        format!("{better} is likely better than {worse} ({})", rate_of(*sure))
    };
    let pairs: Vec<String> = pairs.iter().map(pair).collect();
    format!(
        "From {}, no method can be called better than all others yet. {}.",
        number_of(trials, "trial", "trials"),
        semicolons(&pairs)
    )
}

/// `a`, `a and b`, `a; b and c`: labels may hold commas.
fn semicolons(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join("; ")),
    }
}
