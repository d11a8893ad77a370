//! Sentences about several methods in one model.

use serde::{Deserialize, Serialize};

use super::contrast::{ONE_POT_EACH, TELL_APART};
use super::counted;
use super::number::in_hundred;

/// What a ranking sentence is made of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RankFacts<'a> {
    /// Labels.
    pub methods: &'a [String],
    /// Trials with a difference to see.
    pub trials: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
    /// Probability that the row's method is better than the column's.
    pub better: &'a [Vec<f64>],
    /// Probability of being the best, by method.
    pub first: &'a [f64],
}

impl RankFacts<'_> {
    /// The method most often best, and which others it is likely better than.
    pub fn ranked(&self) -> Ranked {
        let best = (0..self.methods.len()).max_by(|a, b| self.first[*a].total_cmp(&self.first[*b]));
        let others = |best: usize| (0..self.methods.len()).filter(move |other| *other != best);
        let better = |best: usize, other: usize| self.better[best][other];
        let beaten = best.into_iter().flat_map(|best| {
            let likely = others(best).filter(move |other| better(best, *other) >= TELL_APART);
            likely.map(move |other| (self.methods[other].clone(), better(best, other)))
        });
        let open = best.into_iter().flat_map(|best| {
            let open = others(best).filter(move |other| better(best, *other) < TELL_APART);
            open.map(|other| self.methods[other].clone())
        });
        Ranked {
            best: best.map(|best| self.methods[best].clone()),
            beaten: beaten.collect(),
            open: open.collect(),
            trials: self.trials,
            single_replicate: self.single_replicate,
        }
    }
}

/// What one model of all methods makes of them.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Ranked {
    /// The method most often best; none without methods.
    pub best: Option<String>,
    /// Those that it is likely better than, each with the probability of that.
    pub beaten: Vec<(String, f64)>,
    /// Those from which it cannot be told apart.
    pub open: Vec<String>,
    /// Trials with a difference to see.
    pub trials: usize,
    /// Trials among them with one replicate an arm.
    pub single_replicate: usize,
}

impl Ranked {
    /// The method most often best against each other one: likely better, or cannot be told apart yet.
    pub fn sentence(&self) -> String {
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
    use super::*;

    fn say(first: [f64; 3], best_against: [f64; 2], trials: usize) -> String {
        let methods = ["heel", "nodal", "root"].map(str::to_owned);
        let better = vec![vec![0.5, best_against[0], best_against[1]], vec![0.5; 3], vec![0.5; 3]];
        RankFacts { methods: &methods, trials, single_replicate: 0, better: &better, first: &first }
            .ranked()
            .sentence()
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
                .sentence()
                .ends_with("2 of 3 trials: One pot each: a difference between pots would look the same.")
        );
    }

    #[test]
    fn no_method_is_no_sentence() {
        let none = RankFacts { methods: &[], trials: 0, single_replicate: 0, better: &[], first: &[] };
        assert_eq!(none.ranked().sentence(), "");
    }
}
