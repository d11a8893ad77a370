//! What trials that held several methods say of them.

use crate::document::{Column, Document, List, Row, Table};
use crate::words::InWords;

use super::OTHERS;
use super::order::MOST_ROWS;
use crate::words;
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

/// Linked methods in one model, with the rank of each.
pub(super) fn linked(document: Document, answer: &PoolAnswer) -> Document {
    document.each(&answer.network, |document, network| {
        document
            .in_text(|text| {
                text.section("Linked methods in one model", |section| {
                    section.say(network.sentence.words()).table(in_lines(network)).each(
                        words::methods_looked_at(network.methods.len(), network.of_methods),
                        Document::note,
                    )
                })
            })
            .on_page(|page| {
                page.fold("The order of linked methods", |fold| {
                    fold.say(network.sentence.words()).table(best_first(network)).each(
                        words::methods_looked_at(network.methods.len(), network.of_methods),
                        Document::note,
                    )
                })
            })
    })
}

/// `2=`: one more than there are methods clearly better, with a sign where others share it.
fn rank(network: &NetworkAnswer, index: usize) -> String {
    let own = network.rank[index];
    let is_shared = network.rank.iter().filter(|rank| **rank == own).count() > 1;
    format!("{own}{}", if is_shared { "=" } else { "" })
}

fn in_lines(network: &NetworkAnswer) -> Table {
    let columns = [
        Column::words("Method"),
        Column::numbers("Count").at_least(9),
        Column::words("Rank").said("rank ", ""),
    ];
    let row = |index: usize| -> Row {
        let count = format!("{}/{}", network.rooted[index], network.started[index]);
        vec![network.methods[index].as_str().into(), count.into(), rank(network, index).into()]
    };
    Table::new("", columns).rows((0..network.methods.len()).map(row)).bare_in_text()
}

fn best_first(network: &NetworkAnswer) -> Table {
    let mut order: Vec<usize> = (0..network.methods.len()).collect();
    order.sort_by(|a, b| {
        network.rank[*a].cmp(&network.rank[*b]).then(network.d_mean[*b].total_cmp(&network.d_mean[*a]))
    });
    let row = |index: usize| -> Row {
        let count = format!("{} of {}", network.rooted[index], network.started[index]);
        vec![network.methods[index].as_str().into(), count.into(), rank(network, index).into()]
    };
    let trials = words::counted(network.trials, "trial", "trials");
    let caption = format!("By one model over {trials} that tried several of them");
    Table::new(caption, ["Method", "Count", "Rank"].map(Column::words))
        .rows(order.into_iter().take(MOST_ROWS).map(row))
}
