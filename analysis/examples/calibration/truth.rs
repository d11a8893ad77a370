//! What is true of a made-up species and method, and the data sets that growers would report of it.

use propagule_analysis::{Count, Grower};

use crate::random::Random;

/// Share of growers with one, two and three trials.
const TRIALS: [f64; 3] = [0.6, 0.25, 0.15];
/// Fewest and most pieces of a trial.
const PIECES: (u32, u32) = (5, 50);

/// The typical grower's log odds, and the spreads between growers and between trials on that scale.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Truth {
    pub(crate) mu: f64,
    pub(crate) grower_spread: f64,
    pub(crate) trial_spread: f64,
}

impl Truth {
    /// A typical rate and a total spread, four fifths of whose square lie between growers: the ratio of the default
    /// model's prior scales.
    pub(crate) fn fixed(rate: f64, spread: f64) -> Self {
        let (grower_spread, trial_spread) = (spread * 0.8f64.sqrt(), spread * 0.2f64.sqrt());
        Self { mu: (rate / (1.0 - rate)).ln(), grower_spread, trial_spread }
    }

    /// A draw from the prior of the default model.
    pub(crate) fn from_prior(random: &mut Random) -> Self {
        Self {
            mu: random.logistic(),
            grower_spread: random.normal().abs(),
            trial_spread: 0.5 * random.normal().abs(),
        }
    }

    fn spread(&self) -> f64 {
        self.grower_spread.hypot(self.trial_spread)
    }

    /// The typical grower's rate.
    pub(crate) fn typical(&self) -> f64 {
        logistic(self.mu)
    }

    /// Nodes of what a new grower's log odds may be, with their chances.
    fn new_growers(&self) -> impl Iterator<Item = (f64, f64)> {
        const STEP: f64 = 0.004;
        let (mu, s) = (self.mu, self.spread());
        (-2_000..=2_000)
            .map(|k| f64::from(k) * STEP)
            .map(move |z| (mu + s * z, STEP * (-0.5 * z * z).exp() / (2.0 * std::f64::consts::PI).sqrt()))
    }

    /// The average grower's rate.
    pub(crate) fn average(&self) -> f64 {
        self.new_growers().map(|(x, chance)| chance * logistic(x)).sum()
    }

    /// Chance that a new grower's rate lies in `low..=high`.
    pub(crate) fn chance_within(&self, low: f64, high: f64) -> f64 {
        let inside = |x: f64| (low..=high).contains(&logistic(x));
        self.new_growers().filter(|(x, _)| inside(*x)).map(|(_, chance)| chance).sum()
    }

    /// What `growers` growers report; a share `withholding` of them says nothing of results below the typical rate.
    pub(crate) fn data(&self, growers: usize, withholding: f64, random: &mut Random) -> Vec<Grower> {
        let mut reported = Vec::new();
        for _ in 0..growers {
            let trials = self.trials(random);
            let withholds = random.uniform() < withholding;
            if !(withholds && is_poor(&trials, self.typical())) {
                reported.push(Grower::new(trials, 1.0));
            }
        }
        reported
    }

    fn trials(&self, random: &mut Random) -> Vec<Count> {
        let level = self.mu + self.grower_spread * random.normal();
        let draw = random.uniform();
        let count = if draw < TRIALS[0] { 1 } else { 2 + usize::from(draw >= TRIALS[0] + TRIALS[1]) };
        let mut trial = || {
            let rate = logistic(level + self.trial_spread * random.normal());
            let started = random.whole(PIECES.0, PIECES.1);
            Count { started, succeeded: random.binomial(started, rate) }
        };
        (0..count).map(|_| trial()).collect()
    }
}

fn is_poor(trials: &[Count], typical: f64) -> bool {
    let sum = |of: fn(&Count) -> u32| f64::from(trials.iter().map(of).sum::<u32>());
    sum(|c| c.succeeded) < typical * sum(|c| c.started)
}

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_new_grower_is_as_the_normal_law_says() {
        let truth = Truth::fixed(0.2, 1.5);
        let edge = |z: f64| logistic(truth.mu + 1.5 * z);
        assert!((truth.chance_within(edge(-1.96), edge(1.96)) - 0.95).abs() < 2e-3);
        assert!((truth.typical() - 0.2).abs() < 1e-12);
        assert!((truth.spread() - 1.5).abs() < 1e-12);
        // The mean of a symmetric logit-normal law is one half.
        assert!((Truth::fixed(0.5, 2.0).average() - 0.5).abs() < 1e-9);
    }

    #[test]
    fn withholding_leaves_out_poor_results_only() {
        let truth = Truth::fixed(0.3, 1.0);
        let everybody = truth.data(200, 0.0, &mut Random::new(7, 0));
        let all_withhold = truth.data(200, 1.0, &mut Random::new(7, 0));
        let good = everybody.into_iter().filter(|g| !is_poor(&g.trials, truth.typical())).collect::<Vec<_>>();
        assert!(!good.is_empty() && good.len() < 200);
        assert!(all_withhold == good, "{} and {} growers", all_withhold.len(), good.len());
    }
}
