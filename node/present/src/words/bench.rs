//! Sentences about a single trial.

use super::counted;

mod verdict;

pub use verdict::VerdictFacts;

/// What differs between two arms, by name, and whether a difference can be put down to it: to the one thing that does.
pub fn differs(first: &str, second: &str, names: &[String], sole: Option<&str>) -> String {
    let said = match (sole, names) {
        (_, []) => "nothing that is written down differs".to_owned(),
        (Some(sole), _) => format!("{} only", sole.replace('_', " ")),
        (None, _) => format!("{} together: these cannot be separated", and(names)),
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
