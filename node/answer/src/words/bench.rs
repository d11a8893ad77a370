//! Sentences about a single trial.

use std::fmt::Write;

use super::counted;
use super::kind::KindWords;
use super::number::percent;
use propagule_bench::compared::Difference;

mod verdict;

pub use verdict::VerdictFacts;

/// Characters of a bar that stands for certainty.
const BAR: usize = 20;

/// `20 against 80 %: 3 pots of 4 an arm have a 69 % chance of showing it, an 81 % chance if pots did not differ`: the figure
/// that allows for pots leads.
pub fn power_with_pots_sentence(
    pots: u32,
    pieces: u32,
    (low, high): (f64, f64),
    power: f64,
    bare: f64,
) -> String {
    let have = if power < 0.5 { "have only" } else { "have" };
    format!(
        "{} against {} %: {pots} pots of {pieces} an arm {have} {} % chance of showing it, {} % if pieces did not share pots",
        percent(low),
        percent(high),
        with_article(&chance(power)),
        chance(bare)
    )
}

/// The same with a bar for the figure that leads.
pub fn power_with_pots_row(pots: u32, pieces: u32, rates: (f64, f64), power: f64, bare: f64) -> String {
    let said = power_with_pots_sentence(pots, pieces, rates, power, bare);
    let full = (power * BAR as f64).round() as usize;
    let (rates, chance) = said.split_once(": ").unwrap_or(("", &said));
    format!("{rates}  {}{}  {chance}", "#".repeat(full), ".".repeat(BAR - full))
}

/// `20 against 80 %: ################----  81 % chance of showing it with 12 against 12`.
pub fn power_row(per_arm: u32, low: f64, high: f64, power: f64) -> String {
    let full = (power * BAR as f64).round() as usize;
    let bar = format!("{}{}", "#".repeat(full), ".".repeat(BAR - full));
    let chance = power_chance(per_arm, power);
    format!("{} against {} %  {bar}  {chance}", percent(low), percent(high))
}

/// `12 against 12 have an 81 % chance of showing it`.
fn power_chance(per_arm: u32, power: f64) -> String {
    let have = if power < 0.5 { "have only" } else { "have" };
    format!("{per_arm} against {per_arm} {have} {} % chance of showing it", with_article(&chance(power)))
}

/// `20 against 80 %: 12 against 12 have an 81 % chance of showing it`.
pub fn power_sentence(per_arm: u32, low: f64, high: f64, power: f64) -> String {
    format!("{} against {} %: {}", percent(low), percent(high), power_chance(per_arm, power))
}

/// A chance of showing something in per cent, whole from 10 up and rounded down: it promises no more than there is.
fn chance(power: f64) -> String {
    percent(if power < 0.1 { power } else { (power * 100.0 + 1e-9).floor() / 100.0 })
}

/// `a 14`, `an 81`.
fn with_article(number: &str) -> String {
    let whole = number.split('.').next().unwrap_or_default();
    let is_vowel =
        whole == "8" || whole == "11" || whole == "18" || (whole.len() == 2 && whole.starts_with('8'));
    format!("{} {number}", if is_vowel { "an" } else { "a" })
}

/// What a modest difference takes: pots of so many pieces, as many as are needed, `None` where that is beyond reckoning; and
/// pieces where pots never differ.
pub fn needed_pieces(rates: (f64, f64), needed: u32, in_pots: Option<(Option<u32>, u32)>) -> String {
    let (low, high) = (percent(rates.0), percent(rates.1));
    let take = match in_pots {
        None => format!("{needed} pieces an arm"),
        Some((Some(pots), pieces)) => {
            format!("{pots} pots of {pieces} an arm ({needed} pieces would do if pots never differed)")
        }
        Some((None, pieces)) => {
            format!(
                "far more pots of {pieces} an arm (the {needed} pieces that would do if pots never differed are too few)"
            )
        }
    };
    format!("To tell {low} from {high} % with a chance of 80 %, put in {take}.")
}

/// What one pot an arm means, and what to do with the same pieces.
pub fn single_pots(labels: &[&str], per_arm: u32) -> String {
    let mut text = format!("  {}\n", single_pots_sentence(labels));
    for (pots, pieces) in same_pieces(per_arm) {
        let _ = writeln!(text, "  The same pieces in {pots} pots an arm: --pots {pots} --pieces {pieces}");
    }
    text
}

/// What one pot an arm means.
pub fn single_pots_sentence(labels: &[&str]) -> String {
    let arms = if labels.len() == 1 { "Arm" } else { "Arms" };
    let are = if labels.len() == 1 { "stands" } else { "stand each" };
    format!(
        "{arms} {} {are} in a single pot: whatever comes of it, a difference between pots would look the same, and \
         no verdict will be given.",
        labels.join(", ")
    )
}

/// The pieces of an arm over several pots: how many pots, and pieces in each.
pub fn same_pieces(per_arm: u32) -> impl Iterator<Item = (u32, u32)> {
    [2, 3].into_iter().filter(move |pots| per_arm >= 2 * pots).map(move |pots| (pots, per_arm / pots))
}

/// The same pieces in more pots.
pub fn same_pieces_sentence(pots: u32, pieces: u32) -> String {
    format!("The same pieces in {pots} pots an arm: {pieces} in each.")
}

/// What differs between two arms, and whether a difference can be put down to it.
pub fn differs(first: &str, second: &str, difference: &Difference) -> String {
    let names = difference.names();
    let said = match (difference.sole(), names.as_slice()) {
        (_, []) => "nothing that is written down differs".to_owned(),
        (Some(sole), _) => format!("{} only", sole.replace('_', " ")),
        (None, _) => format!("{} together: these cannot be separated", and(&names)),
    };
    format!("{first} and {second}: {said}")
}

/// `a, b and c`.
fn and(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// What a lot of so many pieces can show.
pub fn lot_outlook(pieces: u32, upper_if_none: f64, if_half: (f64, f64), words: &KindWords) -> String {
    format!(
        "\nWhat this size can show\n  If none of {pieces} has {}, a true rate up to about {} % would still fit; if half \
         have, anything from {} to {} %.\n  A lot answers no question; it needs no control.\n",
        words.had,
        percent(upper_if_none),
        percent(if_half.0),
        percent(if_half.1)
    )
}

/// A p value with two decimals, three below a tenth.
fn p_words(p: f64) -> String {
    if p < 0.001 {
        "below 0.001".to_owned()
    } else if p < 0.1 {
        format!("{p:.3}")
    } else {
        format!("{p:.2}")
    }
}

/// Pieces that left as finished before the last count.
pub fn left_so_far(label: &str, started: u32, left: u32, kept: u32) -> String {
    format!("{label}: {left} of {started} left as finished so far; {kept} kept, not counted at the end yet")
}

/// Root counts with their median, the longest root, and pieces by grade: a grade has an order and no mean.
pub fn scores(root_counts: &[u16], longest_root: Option<u16>, grades: &[u16], scale: &str) -> String {
    let mut parts = Vec::new();
    if let Some(median) = median(root_counts) {
        let all: Vec<String> = root_counts.iter().map(u16::to_string).collect();
        parts.push(format!(
            "roots of {}: {} (median {median})",
            counted(root_counts.len(), "piece", "pieces"),
            all.join(", ")
        ));
    }
    parts.extend(longest_root.map(|mm| format!("longest root {mm} mm")));
    let by_grade = grades.iter().enumerate().filter(|(_, count)| **count > 0);
    let by_grade: Vec<String> = by_grade.map(|(grade, count)| format!("{count} of grade {grade}")).collect();
    if !by_grade.is_empty() {
        parts.push(format!("{} ({scale})", by_grade.join(", ")));
    }
    parts.join("; ")
}

/// The middle count; of two the mean.
fn median(counts: &[u16]) -> Option<f64> {
    let mut sorted = counts.to_vec();
    sorted.sort_unstable();
    let middle = sorted.len() / 2;
    let upper = f64::from(*sorted.get(middle)?);
    Some(if sorted.len() % 2 == 1 { upper } else { f64::midpoint(upper, f64::from(sorted[middle - 1])) })
}

/// Pots of one arm that differ more than chance.
pub fn pots(label: &str, dispersion: f64, p: f64) -> String {
    let judged = if p < 0.1 {
        "pots differ more than chance would have it"
    } else {
        "pots differ no more than chance would have it"
    };
    format!(
        "{label}: {judged} (Pearson X\u{b2} over its degrees of freedom {dispersion:.1}, p {})",
        p_words(p)
    )
}

#[cfg(test)]
mod tests;
