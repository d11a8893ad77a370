//! How many to start, how to tell methods apart, what to try next.

use super::{about, number_of, rate_of};
use crate::kind::KindWords;
use crate::number::grouped;

/// What is wanted, and with which chance.
#[derive(Clone, Copy, Debug)]
pub struct PlantsWanted<'a> {
    /// So many successes at least.
    pub want: u32,
    /// What a success is called: rooted, taken.
    pub oked: &'a str,
    /// The chance.
    pub sure: f64,
}

impl PlantsWanted<'_> {
    /// `an 80% chance`.
    fn chance(&self) -> String {
        let sure = rate_of(self.sure);
        format!("{} {sure} chance", article(&sure))
    }
}

/// `an` before 8, 11, 18 and 80 to 89, `a` before any other number.
pub fn article(number: &str) -> &'static str {
    let whole = number.split(['.', '%']).next().unwrap_or_default();
    let is_vowel = matches!(whole, "8" | "11" | "18") || (whole.len() == 2 && whole.starts_with('8'));
    if is_vowel { "an" } else { "a" }
}

/// `Stick about 110 for an 80% chance of at least 12 rooted.`
pub fn stick(words: &KindWords, number: u32, is_rounded: bool, aim: PlantsWanted<'_>) -> String {
    let about = if is_rounded { "about " } else { "" };
    format!(
        "{} {about}{} for {} of at least {} {}.",
        words.start,
        grouped(u64::from(number)),
        aim.chance(),
        aim.want,
        aim.oked
    )
}

/// No number is enough.
pub fn stick_impossible(_: &KindWords, most: u32, aim: PlantsWanted<'_>) -> String {
    format!(
        "Even {} would not give at least {} {} with {}.",
        grouped(u64::from(most)),
        aim.want,
        aim.oked,
        aim.chance()
    )
}

/// Nothing has succeeded yet.
pub fn stick_none(_: &KindWords, oked: &str) -> String {
    format!("Nothing has {oked} yet, so no number can be given.")
}

/// It rests on the own count.
pub fn own_only(_: &KindWords, count: u32, of: u32) -> String {
    format!("This rests on your own {count} of {of} alone; how much seasons differ is assumed.")
}

/// It starts from the own count.
pub fn own_first(_: &KindWords, count: u32, of: u32, others: usize) -> String {
    format!(
        "This starts from your own {count} of {of} and borrows from {}.",
        number_of(others, "other grower", "other growers")
    )
}

/// It rests on one other grower.
pub fn one_other(_: &KindWords) -> String {
    "This rests on one grower's result; how much yours would differ is assumed.".to_owned()
}

/// Several methods with a number, from fewest to most.
pub fn several_plans(
    words: &KindWords,
    methods: usize,
    range: Option<(u32, u32, usize)>,
    aim: PlantsWanted<'_>,
) -> String {
    let goal = format!("{} of at least {} {}", aim.chance(), aim.want, aim.oked);
    match range {
        None => format!("{methods} methods; none of them has a number for {goal}."),
        Some((fewest, most, with)) => {
            let number = if fewest == most {
                grouped(u64::from(fewest))
            } else {
                format!("{} to {}", grouped(u64::from(fewest)), grouped(u64::from(most)))
            };
            let start = words.start.to_lowercase();
            format!("{methods} methods; {start} {number} for {goal}, by {with} of them.")
        }
    }
}

/// What a trial of two treatments would show.
#[derive(Clone, Copy, Debug)]
pub struct Telling<'a> {
    /// Names of the two, or none where only rates are told apart.
    pub names: [Option<&'a str>; 2],
    /// True rates.
    pub rates: [f64; 2],
    /// Size of a treatment: `12`, or `3 pots of 4`.
    pub size: &'a str,
    /// How often it would show the difference.
    pub chance: f64,
    /// The same if pots never differed, behind the size that is meant where it is another.
    pub without_pots: Option<(f64, Option<u32>)>,
    /// The same, allowing for how unsure the rates are.
    pub allowing: Option<f64>,
}

/// `dip (about 75%) and none (about 50%): 12 per treatment would show the difference 24 times in 100.`
pub fn tell_apart(_: &KindWords, of: Telling<'_>) -> String {
    let named = |name: Option<&str>, rate: f64| match name {
        Some(name) => format!("{name} ({})", about(rate)),
        None => rate_of(rate),
    };
    let first = named(of.names[0], of.rates[0]);
    let second = named(of.names[1], of.rates[1]);
    let bare = of.without_pots.map(|(chance, size)| {
        let size = size.map_or_else(String::new, |size| format!("{size}: "));
        format!("{size}{} if pots never differed", in_100(chance))
    });
    let allowing =
        of.allowing.map(|chance| format!("{} allowing for how unsure the rates are", in_100(chance)));
    let beside: Vec<String> = bare.into_iter().chain(allowing).collect();
    let beside = if beside.is_empty() { String::new() } else { format!(" ({})", beside.join("; ")) };
    format!(
        "{first} and {second}: {} per treatment would show the difference {} times in 100{beside}.",
        of.size,
        in_100(of.chance)
    )
}

/// The size that would reach the chance asked for.
pub fn size_that_reaches(_: &KindWords, size: &str, sure: f64) -> String {
    format!("{size} per treatment would reach {}.", in_100(sure))
}

/// No size reaches it.
pub fn no_size_reaches(_: &KindWords, most: &str, sure: f64) -> String {
    format!("Even {most} would not reach {}.", in_100(sure))
}

/// Times in a hundred, without its noun.
pub fn in_100(chance: f64) -> String {
    crate::number::in_hundred(chance)
}

/// A treatment that nobody has tried.
pub fn untried(words: &KindWords, units: u32, sure: f64, shown: f64, open: f64) -> String {
    let sure = rate_of(sure);
    format!(
        "One treatment nobody has tried, with {}: it would show at least one success with {} {sure} chance if its true rate \
         were {} or more. 0 of {units} would leave rates up to {} open.",
        words.many(units),
        article(&sure),
        about(shown),
        about(open)
    )
}

/// More of the same without a success lowers a bound a little.
pub fn untried_again(words: &KindWords, units: u32, now: f64, then: f64) -> String {
    format!(
        "{} more of the same without a success would only lower its bound from {} to {}.",
        words.many(units),
        rate_of(now),
        rate_of(then)
    )
}

/// What it costs, in money, in time, or in both.
pub fn cost(_: &KindWords, oked: &str, money: Option<[String; 2]>, time: Option<[String; 2]>) -> String {
    let has_money = money.is_some();
    let money = money.map(|[all, each]| format!("costs {all} ({each} for each one {oked})"));
    let time = time.map(|[all, each]| {
        if has_money {
            format!("takes {all} ({each} each)")
        } else {
            format!("takes {all} ({each} for each one {oked})")
        }
    });
    let parts: Vec<String> = money.into_iter().chain(time).collect();
    format!("That {}.", parts.join(" and "))
}

/// A method to try next, with its range.
pub fn try_next(_: &KindWords, method: &str, rate: f64, (low, high): (f64, f64)) -> String {
    format!(
        "{method}: {}, anywhere from {} in your next trial.",
        about(rate),
        super::pooled::model_interval(low, high)
    )
}

/// The best of several looks better than it is.
pub fn best_shrinks(
    _: &KindWords,
    method: &str,
    alone: f64,
    methods: usize,
    pooled: f64,
    (low, high): (f64, f64),
) -> String {
    format!(
        "{method} has {} by its own counts. The best of {methods} looks better than it is; allowing for that, expect {}, \
         anywhere from {} in your next trial.",
        rate_of(alone),
        about(pooled),
        super::pooled::model_interval(low, high)
    )
}

/// Beside the others another rate is expected.
pub fn beside_others(
    _: &KindWords,
    method: &str,
    alone: f64,
    pooled: f64,
    (low, high): (f64, f64),
) -> String {
    format!(
        "{method} has {} by its own counts; beside the others expect {}, anywhere from {} in your next trial.",
        rate_of(alone),
        about(pooled),
        super::pooled::model_interval(low, high)
    )
}

/// What trials of other methods are compared with.
///
/// `best_of` is how many were tried, where it is the best of them; none where the reader uses it most.
pub fn in_use(_: &KindWords, best_of: Option<usize>) -> String {
    let why = match best_of {
        None => "It is the one you use most.",
        Some(0 | 1) => "It is the only one tried so far.",
        Some(_) => "It is the best so far by its average.",
    };
    why.to_owned()
}

/// What a trial is worth, in successes of every hundred.
pub fn trial_pays(words: &KindWords, worth: f64) -> String {
    let start = words.start.to_lowercase();
    format!(
        "Tried beside it, that is worth about {} more in each 100 you {start} afterwards.",
        (100.0 * worth).round().max(1.0)
    )
}

/// No trial pays.
pub fn no_trial_pays(_: &KindWords) -> String {
    "No trial of another method is likely to change what you should do.".to_owned()
}

/// Methods of different growers.
pub fn across_growers(_: &KindWords) -> String {
    "These methods come from different growers, so a difference could be the growers'. The order says where a trial may pay, \
     not which is better."
        .to_owned()
}
