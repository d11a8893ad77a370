//! What became of pieces, state by state: every picture of pieces is drawn from this, and its sentence says the same
//! numbers.

use propagule_bench::Row;

/// A state of pieces.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum State {
    /// Left as finished.
    LeftFinished,
    /// Left below the grower's grade.
    LeftBelow,
    /// Finished by the grower's grade, and here.
    Finished,
    /// Alive with the outcome that counts.
    With,
    /// Alive, where finished plants are what counts, and not finished.
    NotFinished,
    /// Alive without the outcome, which was looked for.
    Waiting,
    /// Alive, and nobody looked for the outcome.
    Alive,
    /// Neither known alive nor known dead.
    NotKnown,
    /// Dead.
    Dead,
    /// Lost.
    Lost,
}

/// The states of pieces, as far as there are any, each with how many. Where finished plants are what counts, so many of the
/// living are.
pub fn states(row: &Row, finished: Option<u32>) -> Vec<(State, u32)> {
    let (with, waiting) = match finished {
        Some(finished) => {
            let finished = finished.min(row.alive());
            ((State::Finished, finished), (State::NotFinished, row.alive() - finished))
        }
        None if row.looked_for > 0 => ((State::With, row.rooted_alive), (State::Waiting, row.waiting)),
        None => ((State::With, row.rooted_alive), (State::Alive, row.waiting)),
    };
    let all = [
        (State::LeftFinished, row.left_finished),
        (State::LeftBelow, row.left_below),
        with,
        waiting,
        (State::NotKnown, row.not_known),
        (State::Dead, row.dead),
        (State::Lost, row.lost),
    ];
    all.into_iter().filter(|(_, count)| *count > 0).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn before_anybody_looked_they_are_alive() {
        let row = Row { started: 3, waiting: 2, dead: 1, ..Row::default() };
        assert_eq!(states(&row, None), [(State::Alive, 2), (State::Dead, 1)]);
    }

    #[test]
    fn what_left_below_grade_is_known() {
        let row =
            Row { started: 3, rooted_alive: 1, left_below: 1, not_known: 1, looked_for: 3, ..Row::default() };
        assert_eq!(states(&row, None), [(State::LeftBelow, 1), (State::With, 1), (State::NotKnown, 1)]);
    }

    #[test]
    fn at_the_end_finished_plants_count() {
        let row = Row { started: 5, rooted_alive: 4, waiting: 1, looked_for: 5, ..Row::default() };
        assert_eq!(states(&row, Some(3)), [(State::Finished, 3), (State::NotFinished, 2)]);
        assert_eq!(states(&row, None), [(State::With, 4), (State::Waiting, 1)]);
    }
}
