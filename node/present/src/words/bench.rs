//! Sentences about a single trial.

use super::sentences::rates;
use crate::kind::KindWords;

mod verdict;

pub use verdict::VerdictFacts;

/// Finished plants that left before the last count.
pub fn left_so_far(words: &KindWords, label: &str, started: u32, left: u32, kept: u32) -> String {
    rates::finished_so_far(words, label, left, started, kept)
}

/// Root counts with their median, the longest root, and how many of each grade: a grade has an order and no mean.
pub fn scores(
    words: &KindWords,
    counts: &[u16],
    longest: Option<u16>,
    grades: &[u16],
    scale: &str,
) -> String {
    let by_grade = grades.iter().enumerate().filter(|(_, count)| **count > 0);
    let by_grade: Vec<String> = by_grade.map(|(grade, count)| format!("{count} of grade {grade}")).collect();
    let by_grade =
        if by_grade.is_empty() { String::new() } else { format!("{} ({scale})", by_grade.join(", ")) };
    rates::root_scores(words, counts, median(counts), longest, &by_grade)
}

/// The middle count; of two the mean.
fn median(counts: &[u16]) -> Option<f64> {
    let mut sorted = counts.to_vec();
    sorted.sort_unstable();
    let middle = sorted.len() / 2;
    let upper = f64::from(*sorted.get(middle)?);
    Some(if sorted.len() % 2 == 1 { upper } else { f64::midpoint(upper, f64::from(sorted[middle - 1])) })
}

/// Whether pots of one treatment differ more than chance explains, for the details.
pub fn pots(words: &KindWords, label: &str, dispersion: f64, p: f64) -> String {
    let judged = if p < 0.1 { rates::pots_differ(words, label) } else { rates::pots_same(words, label) };
    format!(
        "{judged} (Pearson X\u{b2} over its degrees of freedom {dispersion:.1}, {}).",
        super::sentences::p_value(p)
    )
}

#[cfg(test)]
mod tests;
