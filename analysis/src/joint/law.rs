//! What is to be expected of a species and method.

use super::cell::Points;
use crate::binomial::binomial_at_least;
use crate::gauss_hermite::gauss_hermite;
use crate::logit::logistic;
use crate::mixture::{Mixture, average_logits, rate_of};
use crate::rate::GrowerLevel;

/// One node's law of the log odds of an average grower, and how much a new grower's trial departs from it.
#[derive(Clone, Debug)]
pub(super) struct Part {
    pub(super) points: Points,
    pub(super) new_grower_sd: f64,
    /// The same, parted: of growers, and of a grower's trials.
    pub(super) grower_sd: f64,
    pub(super) trial_sd: f64,
}

/// The law of a species and method; nodes count alike.
#[derive(Clone, Debug)]
pub struct CellLaw {
    parts: Vec<Part>,
    /// Mean log odds.
    pub log_odds_mean: f64,
    /// Their standard deviation.
    pub log_odds_sd: f64,
    /// Mean of the rate averaged over growers.
    pub average_rate_mean: f64,
}

/// Share below which a point cannot matter.
const NEGLIGIBLE: f64 = 1e-10;
/// Points that stand for what lies between two of them.
const FILLED: usize = 4;
/// Nodes of the average over growers.
const NODES: usize = 31;

impl Part {
    /// Rates averaged over growers, where an average grower's log odds are as given.
    fn averages(&self, log_odds: &[f64]) -> Vec<f64> {
        average_logits(log_odds, self.new_grower_sd).into_iter().map(rate_of).collect()
    }

    /// The average rate.
    fn mean_rate(&self) -> f64 {
        let heavy = self.points.iter().copied().filter(|point| point.1 > NEGLIGIBLE);
        let (log_odds, shares): (Vec<f64>, Vec<f64>) = heavy.unzip();
        self.averages(&log_odds).iter().zip(shares).map(|(rate, share)| rate * share).sum()
    }

    /// Points stand a sixth of a standard deviation apart: between them the density is filled in.
    fn filled(&self) -> (Vec<f64>, Vec<f64>) {
        let between = |pair: &[(f64, f64)]| {
            let ((x, a), (y, b)) = (pair[0], pair[1]);
            let place = |k: usize| (k as f64 + 0.5) / FILLED as f64;
            (0..FILLED).map(place).map(move |t| (x + (y - x) * t, (a + (b - a) * t) / FILLED as f64))
        };
        let heavy = self.points.windows(2).filter(|pair| pair[0].1 + pair[1].1 >= NEGLIGIBLE);
        heavy.flat_map(between).unzip()
    }
}

pub(super) fn summarise(parts: Vec<Part>) -> CellLaw {
    let count = parts.len() as f64;
    let average = |of: &dyn Fn(f64) -> f64| {
        let points = parts.iter().flat_map(|part| &part.points);
        points.map(|(x, share)| share * of(*x)).sum::<f64>() / count
    };
    let mean = average(&|x| x);
    let variance = average(&|x| (x - mean).powi(2));
    let average_rate_mean = parts.iter().map(Part::mean_rate).sum::<f64>() / count;
    CellLaw { parts, log_odds_mean: mean, log_odds_sd: variance.sqrt(), average_rate_mean }
}

impl CellLaw {
    /// Points of the rate averaged over growers, with their shares.
    pub(super) fn average_rates(&self) -> Vec<(f64, f64)> {
        let nodes = self.parts.len() as f64;
        let of = |part: &Part| {
            let (log_odds, shares) = part.filled();
            let shares = shares.into_iter().map(|share| share / nodes);
            part.averages(&log_odds).into_iter().zip(shares).collect::<Vec<_>>()
        };
        self.parts.iter().flat_map(of).collect()
    }

    /// Points of the log odds of an average grower, with their shares.
    pub(super) fn log_odds(&self) -> Points {
        let nodes = self.parts.len() as f64;
        let points = self.parts.iter().flat_map(|part| &part.points);
        points.map(|(x, share)| (*x, share / nodes)).collect()
    }

    /// By how much a new grower's trial departs from the average at each node, with the nodes' shares.
    pub(super) fn spreads(&self) -> Points {
        self.parts.iter().map(|part| (part.new_grower_sd, (self.parts.len() as f64).recip())).collect()
    }

    /// Log odds of a new grower's trial.
    pub(super) fn new_grower(&self) -> Mixture {
        let nodes = self.parts.len() as f64;
        let normals = |part: &Part| {
            let spread = part.new_grower_sd;
            part.points.iter().map(move |(x, share)| (*x, spread, share / nodes)).collect::<Vec<_>>()
        };
        Mixture::of_normals(self.parts.iter().flat_map(normals))
    }

    /// A grower's own level, by node.
    pub(super) fn grower_levels(&self) -> Vec<GrowerLevel> {
        let nodes = self.parts.len() as f64;
        let of = |part: &Part| {
            let points = part.points.iter().map(|(x, share)| (*x, part.grower_sd, share / nodes));
            GrowerLevel { law: Mixture::of_normals(points), trial_spread: part.trial_sd }
        };
        self.parts.iter().map(of).collect()
    }

    /// Quantile of a new grower's rate at `p` in 0..1.
    pub fn new_grower_rate(&self, p: f64) -> f64 {
        logistic(self.new_grower().quantile(p))
    }

    /// Chance that `y` or more of `n` pieces succeed in a new grower's trial.
    pub fn chance_at_least(&self, y: u32, n: u32) -> f64 {
        let rule = gauss_hermite(NODES);
        let part = |part: &Part| {
            let at = |x: f64| {
                let chance = |z: f64| binomial_at_least(y, n, logistic(x + part.new_grower_sd * z));
                rule.iter().map(|(z, weight)| weight * chance(*z)).sum::<f64>()
            };
            part.points.iter().map(|(x, share)| share * at(*x)).sum::<f64>()
        };
        self.parts.iter().map(part).sum::<f64>() / self.parts.len() as f64
    }
}
