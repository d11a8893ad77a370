//! What each facet adds, everything else equal, by the joint model.

use crate::document::{Column, Document, Row, Table};
use crate::words::InWords;

use crate::screens::common::facet_words;
use crate::words::{self, percent_range, percent_with_range};
use propagule_answer::pool::{CombinationAnswer, FacetsAnswer, PoolAnswer};

/// Each facet's words, what cannot be separated, and combinations; nothing where it was not asked for.
pub(super) fn facets(document: Document, answer: &PoolAnswer) -> Document {
    match &answer.facets {
        Some(facets) => combined(document.section(heading(facets), |under| each(under, facets)), facets)
            .note(words::ADDITIVE),
        None if answer.facets_asked => document.note(words::NO_FACETS),
        None => document,
    }
}

fn heading(facets: &FacetsAnswer) -> String {
    format!("What each detail adds, everything else equal ({})", facets.kind)
}

fn each(under: Document, facets: &FacetsAnswer) -> Document {
    let levels = facets.facets.iter().flat_map(|facet| &facet.levels);
    under
        .each(levels, |under, level| under.say(level.sentence.words()))
        .each(&facets.inseparable, |under, group| {
            under.say(format!("Always went together: {}.", group.join(" + ")))
        })
        .each(&facets.left_out, |under, line| {
            under.say(format!("Not in this: {}, {}.", line.count, line.reason.words()))
        })
}

fn combined(document: Document, facets: &FacetsAnswer) -> Document {
    let (tried, untried): (Vec<&CombinationAnswer>, Vec<_>) =
        facets.combinations.iter().partition(|combination| combination.tried);
    let document = combinations(document, "Combinations tried, with what the model makes of them", &tried);
    combinations(document, "Promising, and never tried together", &untried)
}

fn combinations(document: Document, title: &str, lines: &[&CombinationAnswer]) -> Document {
    let columns = [Column::words("Combination"), Column::numbers("Count"), Column::words("Rate").whole()];
    let table = Table::new("", columns).rows(lines.iter().map(|line| row(line))).bare_in_text();
    document.when(!lines.is_empty(), |document| document.section(title, |under| under.table(table)))
}

fn row(line: &CombinationAnswer) -> Row {
    let count = if line.tried { format!("{}/{}", line.rooted, line.started) } else { String::new() };
    let average = percent_with_range(line.average_grower_rate_mean, line.average_grower_rate_q);
    let [low, _, high] = line.new_grower_rate_q;
    let rate = format!("average {average}, your next trial {}", percent_range(low, high));
    vec![facet_words(&line.facets).into(), count.into(), rate.into()]
}
