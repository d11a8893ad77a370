//! The joint facet model as text.

use super::wrap::{pad_left, push_line, wrap};
use crate::pool::{CombinationAnswer, FacetsAnswer, PoolAnswer};
use crate::words;
use crate::words::{percent_range, percent_with_range};

/// A block with each facet's words, what cannot be separated, and combinations.
pub(super) fn facets(out: &mut String, answer: &PoolAnswer, width: usize) {
    match &answer.facets {
        Some(facets) => block(out, facets, width),
        None if answer.facets_asked => wrap(out, &format!("\n{}", words::NO_FACETS), width, ""),
        None => {}
    }
}

fn block(out: &mut String, facets: &FacetsAnswer, width: usize) {
    out.push('\n');
    wrap(out, &format!("What each facet adds, everything else equal ({})", facets.kind), width, "");
    for facet in &facets.facets {
        for level in &facet.levels {
            wrap(out, &level.sentence, width, "  ");
        }
    }
    for group in &facets.inseparable {
        wrap(out, &format!("Always went together: {}.", group.join(" + ")), width, "  ");
    }
    for line in &facets.left_out {
        wrap(out, &format!("Not in this: {}, {}.", line.count, line.reason), width, "  ");
    }
    let (tried, untried): (Vec<&CombinationAnswer>, Vec<_>) =
        facets.combinations.iter().partition(|combination| combination.tried);
    combinations(out, "Combinations tried, with what the model makes of them", &tried, width);
    combinations(out, "Promising, and never tried together", &untried, width);
    wrap(out, words::ADDITIVE, width, "");
}

fn combinations(out: &mut String, heading: &str, lines: &[&CombinationAnswer], width: usize) {
    if lines.is_empty() {
        return;
    }
    wrap(out, heading, width, "");
    for line in lines {
        let words: Vec<String> =
            line.facets.iter().map(|(facet, word)| format!("{} {word}", facet.replace('_', " "))).collect();
        wrap(out, &words.join(", "), width, "  ");
        let count = if line.tried { format!("{}/{}  ", line.rooted, line.started) } else { String::new() };
        let average = percent_with_range(line.average_grower_rate_mean, line.average_grower_rate_q);
        let [low, _, high] = line.new_grower_rate_q;
        let reading = format!("{count}average {average}, a new grower {}", percent_range(low, high));
        push_line(out, "", &pad_left(&reading, width));
    }
}
