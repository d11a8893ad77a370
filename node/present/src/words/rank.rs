//! Sentences about several methods in one model.

use propagule_answer::said::Ranked;

use super::InWords;
use super::contrast::{any_kind, pots};
use super::sentences::beside;

impl InWords for Ranked {
    /// The method most often best against each other one: likely better, or not to be told yet.
    fn words(&self) -> String {
        let Some(best) = &self.best else { return String::new() };
        if self.beaten.is_empty() {
            return beside::rank_none(&any_kind(), self.trials);
        }
        let open = match self.open.as_slice() {
            [] => String::new(),
            open => format!(" {}", beside::rank_open(&any_kind(), open)),
        };
        format!(
            "{}{open}{}",
            beside::rank(&any_kind(), best, &self.beaten, self.trials),
            pots(self.single_replicate, self.trials)
        )
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
            "heel: likely better than nodal (95%) and root (99%), from 6 trials."
        );
        assert_eq!(
            say([0.8, 0.1, 0.1], [0.95, 0.7], 1),
            "heel: likely better than nodal (95%), from 1 trial. Against root it cannot be told yet."
        );
        assert_eq!(
            say([0.4, 0.3, 0.3], [0.6, 0.899], 2),
            "From 2 trials, no method can be called better yet."
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
            facts.ranked().words().ends_with("one pot; a difference between pots would look just the same.")
        );
    }

    #[test]
    fn no_method_is_no_sentence() {
        let none = RankFacts { methods: &[], trials: 0, single_replicate: 0, better: &[], first: &[] };
        assert_eq!(none.ranked().words(), "");
    }
}
