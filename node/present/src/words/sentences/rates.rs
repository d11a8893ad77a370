//! How often it worked, in one trial.

use super::{about, between, per_cent};
use crate::kind::KindWords;
use crate::kind::units;
use propagule_bench::Stage;

/// A rate with its interval, and at which stage it was counted.
#[derive(Clone, Copy, Debug)]
pub struct Rate {
    /// With the outcome.
    pub count: u32,
    /// Of so many.
    pub of: u32,
    /// Lower limit; the one-sided bound where all have it.
    pub lower: f64,
    /// Upper limit; the one-sided bound where none has it.
    pub upper: f64,
    /// The count it is of.
    pub stage: Stage,
}

/// `dip: 9 of 12 rooted (75%; 95% interval 47–91%).` At none and at all, one bound.
pub fn rate(words: &KindWords, label: &str, rate: Rate) -> String {
    let Rate { count, of, lower, upper, stage } = rate;
    let ok = words.outcome(stage);
    match count {
        _ if of == 1 => rate_one(words, label, count == 1, stage),
        0 => format!("{label}: 0 of {of} {ok}. The true rate could still be as high as {}.", about(upper)),
        all if all == of => {
            format!("{label}: all {of} {ok}. The true rate could be as low as {}.", about(lower))
        }
        _ => format!(
            "{label}: {count} of {of} {ok} ({}; 95% interval {}).",
            per_cent(f64::from(count) / f64::from(of)),
            between(lower, upper)
        ),
    }
}

/// The only one of a treatment.
pub fn rate_one(words: &KindWords, label: &str, succeeded: bool, stage: Stage) -> String {
    let said = if succeeded {
        format!("The only {} of {label} {}.", words.only(), words.outcome(stage))
    } else {
        format!("The only {} of {label} did not {}.", words.only(), words.to_succeed(stage))
    };
    format!("{said} One says almost nothing about the rate.")
}

/// `7 still green, not rooted`.
pub fn green(words: &KindWords, count: u32) -> String {
    format!("{count} {}", words.green)
}

/// `4 lost; without them 6 of 8 (75%)`; how many remain only where that matters.
pub fn lost(_: &KindWords, count: u32, without: Option<(u32, u32)>) -> String {
    let them = if count == 1 { "it" } else { "them" };
    match without {
        None => format!("{count} lost"),
        Some((k, of)) => {
            format!(
                "{count} lost; without {them} {k} of {of} ({})",
                per_cent(f64::from(k) / f64::from(of.max(1)))
            )
        }
    }
}

/// Finished plants, those that left and those that were kept.
pub fn finished_split(_: &KindWords, count: u32, of: u32, gone: (u32, &str), kept: (u32, u32)) -> String {
    if count == 0 {
        return format!("0 of {of} finished.");
    }
    let ((left, how), (finished, kept)) = (gone, kept);
    format!(
        "{count} of {of} finished ({}): {left} {how}, and {finished} of the {kept} kept.",
        per_cent(f64::from(count) / f64::from(of))
    )
}

/// Finished plants that left before the final count.
pub fn finished_so_far(_: &KindWords, label: &str, gone: u32, of: u32, kept: u32) -> String {
    format!("{label}: {gone} of {of} finished so far; {kept} kept, not counted yet.")
}

/// A treatment that nobody counted yet.
pub fn pending(words: &KindWords, label: &str, started: u32, date: &str) -> String {
    format!("{label}: not counted yet ({started} {} on {date}).", words.started)
}

/// All treatments together: a count, and a bound where it is none.
pub fn all_treatments(words: &KindWords, all: Rate, green: u32) -> String {
    let ok = words.outcome(all.stage);
    let waits = self::green(words, green);
    match (all.count, green) {
        (0, 0) => rate(words, "All treatments", Rate { lower: 0.0, ..all }),
        (0, _) => format!("{} {waits}.", rate(words, "All treatments", Rate { lower: 0.0, ..all })),
        (count, 0) => format!("All treatments: {count} of {} {ok}.", all.of),
        (count, _) => format!("All treatments: {count} of {} {ok}; {waits}.", all.of),
    }
}

/// What was first seen after a move: `Of these, 3 rooted after the move to the cold frame in week 15 (of 13 stuck)`.
pub fn phase_rate(words: &KindWords, count: u32, of: u32, bench: &str, week: i64) -> String {
    format!(
        "of these, {count} {} after the move to {bench} in week {week} (of {of} {})",
        words.ok, words.started
    )
}

/// Callus is no root, and leaves are life.
pub fn callus(_: &KindWords, count: u32) -> String {
    format!("{count} callused, no roots. Callus is not rooting.")
}

/// Leaves show life.
pub fn leafing(_: &KindWords, count: u32) -> String {
    format!("{count} leafing out. Leaves show life, not roots.")
}

/// Those that waited at the first count, and what became of them.
#[derive(Clone, Copy, Debug)]
pub struct OverWinter<'a> {
    /// Waiting at the first count.
    pub green: u32,
    /// Its day.
    pub first: &'a str,
    /// Of those, with the outcome since.
    pub rooted: u32,
    /// The day of the last count.
    pub last: &'a str,
    /// Waiting still.
    pub still: u32,
    /// Dead without it.
    pub died: u32,
    /// Lost, gone or not seen.
    pub others: u32,
    /// With it at any time, of all that were started.
    pub in_all: (u32, u32),
}

/// `Of 34 still green on Aug 29, 2026, 13 had rooted by Mar 20, 2027.`
pub fn over_winter(words: &KindWords, of: &OverWinter<'_>) -> String {
    let OverWinter { green, first, rooted, last, still, died, others, in_all: (ever, all) } = *of;
    let is = if still == 1 { "is" } else { "are" };
    format!(
        "Of {green} {} on {first}, {rooted} had {} by {last}; {still} {is} {}, {died} died {}{}. In all, {ever} of {all} {} \
         at some time.",
        words.green_short(),
        words.oked,
        words.green_short(),
        words.without(),
        gone(others),
        words.ok,
    )
}

/// The same of one treatment, in a line.
pub fn over_winter_of(words: &KindWords, label: &str, of: &OverWinter<'_>) -> String {
    let OverWinter { green, rooted, still, died, others, in_all: (ever, all), .. } = *of;
    format!(
        "{label}: of {green} {}, {rooted} {} since, {still} {}, {died} died {}{}; in all {ever} of {all}.",
        words.green_short(),
        words.ok,
        words.green_short(),
        words.without(),
        gone(others),
    )
}

fn gone(others: u32) -> String {
    if others == 0 { String::new() } else { format!(", {others} lost, gone or not seen") }
}

/// Root counts with their median, the longest root, and grades.
pub fn root_scores(
    words: &KindWords,
    counts: &[u16],
    median: Option<f64>,
    longest: Option<u16>,
    grades: &str,
) -> String {
    let mut parts = Vec::new();
    if let Some(median) = median {
        let all: Vec<String> = counts.iter().map(u16::to_string).collect();
        let unit = if words.unit.is_empty() { "plant" } else { words.unit };
        parts.push(format!("Roots per {unit}: {} (median {median})", all.join(", ")));
    }
    parts.extend(longest.map(|mm| format!("longest root {}", units::length(mm))));
    parts.extend((!grades.is_empty()).then(|| format!("grades: {grades}")));
    parts.join("; ")
}

/// Pots of a treatment agree, or do not.
pub fn pots_same(_: &KindWords, label: &str) -> String {
    format!("Pots of {label} differ no more than chance would explain")
}

/// Pots of a treatment do not agree.
pub fn pots_differ(_: &KindWords, label: &str) -> String {
    format!("Pots of {label} differ more than chance explains")
}

/// Grafts with a sound union, of all that were made.
pub fn union(_: &KindWords, count: u32, of: u32) -> String {
    format!("{count} of {of} grafts made have a sound union.")
}
