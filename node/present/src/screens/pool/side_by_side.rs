//! What trials that held several methods say of them.

use crate::document::{Column, Document, List, Row, Table};
use crate::words::InWords;

use super::OTHERS;
use super::order::MOST_ROWS;
use crate::words::{self, in_hundred};
use propagule_answer::pool::{ContrastAnswer, NetworkAnswer, PoolAnswer};
use propagule_answer::said::Verdict;

/// Most contrasts that a page tells.
const MOST_CONTRASTS: usize = 24;

/// What differed inside trials; a page has what can be told apart first.
pub(super) fn contrasts(document: Document, answer: &PoolAnswer) -> Document {
    let (told, open): (Vec<&ContrastAnswer>, Vec<_>) =
        answer.contrasts.iter().partition(|contrast| names_one_side(contrast.verdict));
    let points = List::points(told.into_iter().chain(open).map(|contrast| contrast.sentence.words()));
    document.when(!answer.contrasts.is_empty(), |document| {
        document.section("Side by side in the same trials", |section| {
            section
                .in_text(|text| {
                    text.each(&answer.contrasts, |text, contrast| text.say(contrast.sentence.words()))
                })
                .on_page(|page| page.list(points.at_most(usize::MAX, MOST_CONTRASTS, OTHERS)))
        })
    })
}

fn names_one_side(verdict: Verdict) -> bool {
    matches!(verdict, Verdict::Likely | Verdict::Better)
}

/// Linked methods in one model, with the chance of each to be the best.
pub(super) fn linked(document: Document, answer: &PoolAnswer) -> Document {
    document.each(&answer.network, |document, network| {
        document
            .in_text(|text| {
                text.section("Linked methods in one model", |section| {
                    section.say(network.sentence.words()).table(in_lines(network))
                })
            })
            .on_page(|page| {
                page.fold("How often each method would be the best", |fold| {
                    fold.say(network.sentence.words()).table(best_first(network))
                })
            })
    })
}

/// The chance of a method to be the best.
fn first(network: &NetworkAnswer, index: usize) -> f64 {
    network.rank_prob[index].first().copied().unwrap_or(0.0)
}

fn in_lines(network: &NetworkAnswer) -> Table {
    let columns = [
        Column::words("Method"),
        Column::numbers("Count").at_least(9),
        Column::words("Best").said("best ", " in 100"),
    ];
    let row = |index: usize| -> Row {
        let count = format!("{}/{}", network.rooted[index], network.started[index]);
        vec![network.methods[index].as_str().into(), count.into(), in_hundred(first(network, index)).into()]
    };
    Table::new("", columns).rows((0..network.methods.len()).map(row)).bare_in_text()
}

fn best_first(network: &NetworkAnswer) -> Table {
    let mut order: Vec<usize> = (0..network.methods.len()).collect();
    order.sort_by(|a, b| first(network, *b).total_cmp(&first(network, *a)));
    let row = |index: usize| -> Row {
        let count = format!("{} of {}", network.rooted[index], network.started[index]);
        vec![network.methods[index].as_str().into(), count.into(), in_hundred(first(network, index)).into()]
    };
    let trials = words::counted(network.trials, "trial", "trials");
    let caption = format!("By one model over {trials} that tried several of them");
    Table::new(caption, ["Method", "Count", "Best, times in 100"].map(Column::words))
        .rows(order.into_iter().take(MOST_ROWS).map(row))
}
