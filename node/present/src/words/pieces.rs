//! Pieces state by state, as they are drawn and named.

use propagule_answer::trial::pieces::{self, State};
use propagule_bench::{Row, Stage};

use crate::kind::KindWords;

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
    let named = |(state, count)| {
        let (mark, words) = named(state, words);
        Pieces { mark, words, count }
    };
    pieces::states(row, finished).into_iter().map(named).collect()
}

const fn named(state: State, words: &KindWords) -> (Mark, &'static str) {
    match state {
        State::LeftFinished => (Mark::Left, "left as finished"),
        State::LeftBelow => (Mark::Below, "left below grade"),
        State::Finished => (Mark::With, words.outcome(Stage::Final)),
        State::With => (Mark::With, words.with),
        State::NotFinished => (Mark::Waiting, "alive, not finished yet"),
        State::Waiting => (Mark::Waiting, words.waiting),
        State::Alive => (Mark::Waiting, "alive"),
        State::NotKnown => (Mark::NotKnown, "not known"),
        State::Dead => (Mark::Dead, "dead"),
        State::Lost => (Mark::Lost, "lost"),
    }
}

#[cfg(test)]
mod tests {
    use propagule_bench::kind::Kind;

    use super::*;

    fn said(row: &Row, finished: Option<u32>) -> Vec<(Mark, &'static str, u32)> {
        let states = states(row, finished, &KindWords::of(Kind::Graft));
        states.into_iter().map(|pieces| (pieces.mark, pieces.words, pieces.count)).collect()
    }

    #[test]
    fn a_state_is_named_in_the_words_of_the_kind() {
        let row = Row { started: 5, rooted_alive: 4, waiting: 1, looked_for: 5, ..Row::default() };
        let at_the_end = [(Mark::With, "finished", 3), (Mark::Waiting, "alive, not finished yet", 2)];
        assert_eq!(said(&row, Some(3)), at_the_end);
        assert_eq!(said(&row, None), [(Mark::With, "taken", 4), (Mark::Waiting, "undecided", 1)]);
        let not_looked_at = Row { looked_for: 0, ..row };
        assert_eq!(said(&not_looked_at, None), [(Mark::With, "taken", 4), (Mark::Waiting, "alive", 1)]);
    }
}
