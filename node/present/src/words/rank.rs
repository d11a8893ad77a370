//! Sentences about several methods in one model.

use propagule_answer::said::Ranked;

use super::contrast::ONE_POT_EACH;
use super::shrunk::none_stands_out;
use super::{InWords, counted};
use crate::number::in_hundred;

impl InWords for Ranked {
    /// The method that is clearly better than every other one, or that none stands out, with what is clear.
    fn words(&self) -> String {
        let trials = counted(self.trials, "trial", "trials");
        let pots = match self.single_replicate {
            0 => String::new(),
            some => format!(" {some} of {trials}: {ONE_POT_EACH}"),
        };
        let Some(best) = &self.best else { return format!("{}{pots}", none_stands_out(self, &trials)) };
        let beaten =
            self.beaten.iter().map(|(other, sure)| format!("{other} ({} in 100)", in_hundred(*sure)));
        let open = match self.open.as_slice() {
            [] => String::new(),
            open => format!(" From {} it cannot be told apart yet.", list(open)),
        };
        format!(
            "{best}: likely better than {}, from {trials} with a difference to see.{open}{pots}",
            list(&beaten.collect::<Vec<_>>())
        )
    }
}

/// `a`, `a and b`, `a; b and c`: labels may hold commas.
pub(super) fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join("; ")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn ranked(best: Option<&str>, beaten: &[(&str, f64)], open: &[&str], trials: usize) -> Ranked {
        Ranked {
            best: best.map(str::to_owned),
            beaten: beaten.iter().map(|(other, sure)| ((*other).to_owned(), *sure)).collect(),
            open: open.iter().map(|other| (*other).to_owned()).collect(),
            trials,
            single_replicate: 0,
            ahead: Vec::new(),
        }
    }

    #[test]
    fn the_leader_is_named_with_whom_it_leads() {
        assert_eq!(
            ranked(Some("heel"), &[("nodal", 0.95), ("root", 0.99)], &[], 6).words(),
            "heel: likely better than nodal (95 in 100) and root (99 in 100), from 6 trials with a difference to see."
        );
        assert_eq!(
            ranked(Some("heel"), &[("nodal", 0.95)], &["root"], 1).words(),
            "heel: likely better than nodal (95 in 100), from 1 trial with a difference to see. From root it cannot be told \
             apart yet."
        );
    }

    #[test]
    fn without_a_leader_what_is_clear_is_still_told() {
        let none = ranked(None, &[], &["heel", "nodal", "root"], 2);
        assert_eq!(
            none.words(),
            "From 2 trials with a difference to see, these methods cannot be told apart yet."
        );
        let some = Ranked { ahead: vec![("heel".to_owned(), "root".to_owned(), 0.97)], ..none };
        assert_eq!(
            some.words(),
            "No method stands out from 2 trials with a difference to see; heel is likely better than root (97 in 100)."
        );
    }

    #[test]
    fn pots_that_stood_alone_are_named() {
        let facts = Ranked { single_replicate: 2, ..ranked(Some("heel"), &[("nodal", 0.95)], &[], 3) };
        assert!(
            facts
                .words()
                .ends_with("2 of 3 trials: One pot each: a difference between pots would look the same.")
        );
    }
}
