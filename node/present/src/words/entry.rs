//! What an entry is called, and what a place holds, in words.

use crate::kind::KindWords;
use propagule_bench::What;

/// What an entry is, in the words of a kind.
pub fn what(what: &What, words: &KindWords) -> &'static str {
    match what {
        What::Counted { stage: Some(stage), .. } => words.name(*stage),
        other => other.word(),
    }
}

/// What a place holds.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Holds {
    /// Put in.
    pub started: u16,
    /// Living ones.
    pub alive: u16,
    /// Of them, with roots; none where nobody looked for them.
    pub rooted: Option<u16>,
    /// Neither known alive nor known dead.
    pub not_known: u16,
    /// Dead.
    pub dead: u16,
    /// Lost.
    pub lost: u16,
    /// Left at the grower's grade.
    pub left: u16,
    /// Left below it.
    pub left_below: u16,
}

impl Holds {
    /// `of 4: 3 alive, 3 of them with roots, 1 dead`.
    pub fn words(&self, words: &KindWords) -> String {
        let mut living = vec![format!("{} alive", self.alive)];
        let rooted = self.rooted.filter(|_| self.alive > 0);
        living.extend(rooted.map(|rooted| format!("{rooted} of them {}", words.with)));
        let others = [
            (self.not_known, "not known"),
            (self.dead, "dead"),
            (self.lost, "lost"),
            (self.left, "left as finished"),
            (self.left_below, "left below grade"),
        ];
        let others = others.iter().filter(|(count, _)| *count > 0);
        let others = others.map(|(count, word)| format!("{count} {word}"));
        format!("of {}: {}", self.started, living.into_iter().chain(others).collect::<Vec<_>>().join(", "))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use propagule_bench::kind::Kind;

    #[test]
    fn a_place_says_what_became_of_every_piece() {
        let said = |holds: Holds| holds.words(&KindWords::of(Kind::Cutting));
        let all = Holds { started: 4, alive: 4, ..Holds::default() };
        assert_eq!(said(all), "of 4: 4 alive");
        let some = Holds { started: 4, alive: 3, rooted: Some(2), dead: 1, ..Holds::default() };
        assert_eq!(said(some), "of 4: 3 alive, 2 of them with roots, 1 dead");
        let gone = Holds { started: 1, rooted: Some(0), left_below: 1, ..Holds::default() };
        assert_eq!(said(gone), "of 1: 0 alive, 1 left below grade");
    }
}
