//! Sentences about several methods in one model.

use propagule_answer::said::Ranked;

use super::contrast::ONE_POT_EACH;
use super::{InWords, counted};
use crate::number::in_hundred;

impl InWords for Ranked {
    /// The method most often best against each other one: likely better, or cannot be told apart yet.
    fn words(&self) -> String {
        let Some(best) = &self.best else { return String::new() };
        let trials = counted(self.trials, "trial", "trials");
        if self.beaten.is_empty() {
            return format!(
                "From {trials} with a difference to see, these methods cannot be told apart yet."
            );
        }
        let beaten =
            self.beaten.iter().map(|(other, sure)| format!("{other} ({} in 100)", in_hundred(*sure)));
        let open = match self.open.as_slice() {
            [] => String::new(),
            open => format!(" From {} it cannot be told apart yet.", list(open)),
        };
        let pots = match self.single_replicate {
            0 => String::new(),
            some => format!(" {some} of {trials}: {ONE_POT_EACH}"),
        };
        format!(
            "{best}: likely better than {}, from {trials} with a difference to see.{open}{pots}",
            list(&beaten.collect::<Vec<_>>())
        )
    }
}

/// `a`, `a and b`, `a; b and c`: labels may hold commas.
fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join("; ")),
    }
}

#[cfg(test)]
mod tests {
    use propagule_answer::said::RankFacts;

    use super::*;

    fn say(first: [f64; 3], best_against: [f64; 2], trials: usize) -> String {
        let methods = ["heel", "nodal", "root"].map(str::to_owned);
        let better = vec![vec![0.5, best_against[0], best_against[1]], vec![0.5; 3], vec![0.5; 3]];
        RankFacts { methods: &methods, trials, single_replicate: 0, better: &better, first: &first }
            .ranked()
            .words()
    }

    #[test]
    fn only_what_is_likely_is_ranked() {
        assert_eq!(
            say([0.8, 0.1, 0.1], [0.95, 0.99], 6),
            "heel: likely better than nodal (95 in 100) and root (99 in 100), from 6 trials with a difference to see."
        );
        assert_eq!(
            say([0.8, 0.1, 0.1], [0.95, 0.7], 1),
            "heel: likely better than nodal (95 in 100), from 1 trial with a difference to see. From root it cannot be told \
             apart yet."
        );
        assert_eq!(
            say([0.4, 0.3, 0.3], [0.6, 0.899], 2),
            "From 2 trials with a difference to see, these methods cannot be told apart yet."
        );
    }

    #[test]
    fn pots_that_stood_alone_are_named() {
        let methods = ["heel", "nodal"].map(str::to_owned);
        let better = [vec![0.5, 0.95], vec![0.05, 0.5]];
        let facts = RankFacts {
            methods: &methods,
            trials: 3,
            single_replicate: 2,
            better: &better,
            first: &[0.95, 0.05],
        };
        assert!(
            facts
                .ranked()
                .words()
                .ends_with("2 of 3 trials: One pot each: a difference between pots would look the same.")
        );
    }

    #[test]
    fn no_method_is_no_sentence() {
        let none = RankFacts { methods: &[], trials: 0, single_replicate: 0, better: &[], first: &[] };
        assert_eq!(none.ranked().words(), "");
    }
}
