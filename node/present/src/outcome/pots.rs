//! The pots of a trial in words.

use crate::document::{Column, Document, Row, Table};

use super::entry::changes;
use crate::kind::KindWords;
use crate::words::sentences::when;
use propagule_app::outcome::pots::{PotHolds, Pots};

/// The pots of a trial, in the order of their tags.
pub(super) fn all(Pots { trial, kind, on, pots, total, .. }: &Pots) -> Document {
    let title = match on {
        Some(on) => format!("Pots of {trial} on {}", when(&KindWords::of(*kind), on)),
        None => format!("Pots of {trial}"),
    };
    Document::new()
        .table(
            Table::new(title, columns(&KindWords::of(*kind)))
                .rows(pots.iter().map(|pot| row(pot, &KindWords::of(*kind)))),
        )
        .say(changes::alive(total.alive, total.started, 0))
}

fn columns(words: &KindWords) -> [Column; 11] {
    [
        Column::words("pot").whole(),
        Column::words("treatment"),
        Column::words("block"),
        Column::words(words.trade("stock plant")),
        Column::numbers(words.started),
        Column::numbers("alive"),
        Column::numbers(words.green_short()),
        Column::numbers(words.lead),
        Column::numbers("dead"),
        Column::numbers("lost"),
        Column::words("last check").whole(),
    ]
}

/// What nobody checked is a question mark, never nought.
fn row(
    PotHolds { pot, arm, block, stock_plant, last_look, holds, .. }: &PotHolds,
    words_of: &KindWords,
) -> Row {
    let words = |words: &Option<String>| words.clone().unwrap_or_default();
    let known = |count: u32| if holds.ever_rooted.is_some() { count.to_string() } else { "?".to_owned() };
    let cells = [
        pot.clone(),
        if arm == pot { String::new() } else { arm.clone() },
        words(block),
        words(stock_plant),
        holds.started.to_string(),
        holds.alive.to_string(),
        known(holds.waiting),
        known(holds.rooted_alive),
        holds.dead.to_string(),
        holds.lost.to_string(),
        last_look.map_or("not yet".to_owned(), |day| when(words_of, &day)),
    ];
    cells.into_iter().map(Into::into).collect()
}
