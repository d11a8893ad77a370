//! Pieces state by state, as they are drawn and named.

use propagule_answer::trial::pieces::{self, PieceState};
use propagule_bench::{Row, Stage};

use crate::chart::{Mark, Pieces};
use crate::kind::KindWords;

/// The states of pieces, as far as there are any. Where finished plants are what counts, so many of the living are.
pub fn states(row: &Row, finished: Option<u32>, words: &KindWords) -> Vec<Pieces> {
    let named = |(state, count)| {
        let (mark, words) = (mark(state), state_words(state, words));
        Pieces { mark, words: words.to_owned(), count }
    };
    pieces::states(row, finished).into_iter().map(named).collect()
}

fn mark(state: PieceState) -> Mark {
    match state {
        PieceState::LeftFinished => Mark::Left,
        PieceState::LeftBelow => Mark::Below,
        PieceState::Finished | PieceState::With => Mark::With,
        PieceState::NotFinished | PieceState::Waiting | PieceState::Alive => Mark::Waiting,
        PieceState::NotKnown => Mark::NotKnown,
        PieceState::Dead => Mark::Dead,
        PieceState::Lost => Mark::Lost,
    }
}

/// What a state is called behind a count.
pub fn state_words(state: PieceState, words: &KindWords) -> &'static str {
    match state {
        PieceState::LeftFinished => "gone as finished",
        PieceState::LeftBelow => "gone unfinished",
        PieceState::Finished => words.outcome(Stage::Final),
        PieceState::With => words.ok,
        PieceState::NotFinished => "alive, not finished yet",
        PieceState::Waiting => words.green,
        PieceState::Alive => "alive",
        PieceState::NotKnown => "not seen",
        PieceState::Dead => "dead",
        PieceState::Lost => "lost",
    }
}

#[cfg(test)]
mod tests {
    use propagule_bench::kind::Kind;

    use super::*;

    fn said(row: &Row, finished: Option<u32>) -> Vec<(Mark, String, u32)> {
        let states = states(row, finished, &KindWords::of(Kind::Graft));
        states.into_iter().map(|pieces| (pieces.mark, pieces.words, pieces.count)).collect()
    }

    #[test]
    fn a_state_is_named_in_the_words_of_the_kind() {
        let row = Row { started: 5, rooted_alive: 4, waiting: 1, looked_for: 5, ..Row::default() };
        let of = |with: &str, fewer, waiting: &str| {
            vec![(Mark::With, with.to_owned(), 5 - fewer), (Mark::Waiting, waiting.to_owned(), fewer)]
        };
        assert_eq!(said(&row, Some(3)), of("finished", 2, "alive, not finished yet"));
        assert_eq!(said(&row, None), of("took", 1, "still green, not yet taken"));
        assert_eq!(said(&Row { looked_for: 0, ..row }, None), of("took", 1, "alive"));
    }
}
