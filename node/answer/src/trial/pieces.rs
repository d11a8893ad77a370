//! What became of pieces, state by state: every picture of pieces is drawn from this, and its sentence says the same
//! numbers.

use crate::words::kind::KindWords;
use propagule_bench::{Row, Stage};

/// How pieces of a state are drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mark {
    /// Left as finished.
    Left,
    /// Left below the grower's grade.
    Below,
    /// Alive with the outcome that counts.
    With,
    /// Alive without it.
    Waiting,
    /// Neither known alive nor known dead.
    NotKnown,
    /// Dead.
    Dead,
    /// Lost.
    Lost,
}

/// Pieces of one state.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Pieces {
    /// How they are drawn.
    pub mark: Mark,
    /// The state in words.
    pub words: &'static str,
    /// How many; never none.
    pub count: u32,
}

/// The states of pieces, as far as there are any. Where finished plants are what counts, so many of the living are.
pub fn states(row: &Row, finished: Option<u32>, words: &KindWords) -> Vec<Pieces> {
    let (with, waiting) = match finished {
        Some(finished) => {
            let finished = finished.min(row.alive());
            ((words.outcome(Stage::Final), finished), ("alive, not finished yet", row.alive() - finished))
        }
        None if row.looked_for > 0 => ((words.with, row.rooted_alive), (words.waiting, row.waiting)),
        None => ((words.with, row.rooted_alive), ("alive", row.waiting)),
    };
    let all = [
        (Mark::Left, ("left as finished", row.left_finished)),
        (Mark::Below, ("left below grade", row.left_below)),
        (Mark::With, with),
        (Mark::Waiting, waiting),
        (Mark::NotKnown, ("not known", row.not_known)),
        (Mark::Dead, ("dead", row.dead)),
        (Mark::Lost, ("lost", row.lost)),
    ];
    let some = all.into_iter().filter(|(_, (_, count))| *count > 0);
    some.map(|(mark, (words, count))| Pieces { mark, words, count }).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    fn said(row: &Row, finished: Option<u32>) -> Vec<(Mark, &'static str, u32)> {
        let states = states(row, finished, &KindWords::of(Kind::Graft));
        states.into_iter().map(|pieces| (pieces.mark, pieces.words, pieces.count)).collect()
    }

    #[test]
    fn before_anybody_looked_they_are_alive() {
        let row = Row { started: 3, waiting: 2, dead: 1, ..Row::default() };
        assert_eq!(said(&row, None), [(Mark::Waiting, "alive", 2), (Mark::Dead, "dead", 1)]);
    }

    #[test]
    fn what_left_below_grade_is_known() {
        let row =
            Row { started: 3, rooted_alive: 1, left_below: 1, not_known: 1, looked_for: 3, ..Row::default() };
        let states = said(&row, None);
        assert_eq!(
            states,
            [
                (Mark::Below, "left below grade", 1),
                (Mark::With, "taken", 1),
                (Mark::NotKnown, "not known", 1)
            ]
        );
    }

    #[test]
    fn at_the_end_finished_plants_count() {
        let row = Row { started: 5, rooted_alive: 4, waiting: 1, looked_for: 5, ..Row::default() };
        let at_the_end = [(Mark::With, "finished", 3), (Mark::Waiting, "alive, not finished yet", 2)];
        assert_eq!(said(&row, Some(3)), at_the_end);
        assert_eq!(said(&row, None), [(Mark::With, "taken", 4), (Mark::Waiting, "undecided", 1)]);
    }
}
