//! What is said of several methods in one model.

use serde::{Deserialize, Serialize};

use super::contrast::TELL_APART;

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
