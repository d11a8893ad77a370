//! How much of the joint model to believe: three laws of a species and method, weighted by how well each foretold the others.
//!
//! The joint law; a location learnt from relatives with a spread of its own (half-Normal(1)); and the default model, which
//! learns from nothing. The weights of a corpus are those that make the own arms of all its species and methods likeliest, after
//! a prior of 8, 0.75 and 0.5 of them; in one species and method each law is weighted by its evidence of the own arms as well.

use std::collections::BTreeMap;

use super::{JointFit, cell, layout::CellPlace, spreads::ARM};
use crate::rate::{self, RateFit, RateLaw, RateSummary};
use crate::{Count, FitError, Grower};

/// Prior counts of the joint law, the learnt location, and the default model.
const PRIOR: [f64; LAWS] = [8.0, 0.75, 0.5];
const LAWS: usize = 3;
/// Most species and methods that the weights are learnt from.
const MOST_CELLS: usize = 2_000;
/// Most own arms whose exact likelihood enters the joint law.
const MOST_ARMS: usize = 64;
/// Smallest change of a weight that goes on, and most rounds.
const SETTLED: f64 = 1e-8;
const MOST_ROUNDS: usize = 10_000;
/// Scale of the spread of the learnt location.
const OWN_SPREAD: f64 = 1.0;
/// Own growers from which on their counts can disagree with what is borrowed.
const ENOUGH_GROWERS: usize = 3;
/// What the own counts have to leave out to disagree.
const OUTSIDE: f64 = 0.005;
/// Half the length and the step of the axis of log odds on which a law is laid out.
const END: f64 = 16.0;
const STEP: f64 = 0.04;

/// Weights of the three laws in a corpus: joint, learnt location, default model.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LawWeights(pub [f64; 3]);

/// What is to be expected of a species and method, with what was borrowed for it.
#[derive(Clone, Debug)]
pub struct CellExpectation {
    /// Weights of the laws here: joint, learnt location, default model.
    pub laws: [f64; 3],
    /// Mean of the rate averaged over growers.
    pub average_rate_mean: f64,
    /// Its 2.5, 50 and 97.5 % points.
    pub average_rate_q: [f64; 3],
    /// A new grower's rate: its law.
    pub new_grower: RateLaw,
    /// Growers of the own arms.
    pub own_growers: usize,
    /// Trials of the own arms.
    pub own_trials: usize,
    /// How many growers' worth is borrowed.
    pub prior_growers: f64,
    /// The part that own counts settled, 0..=1.
    pub share: f64,
    /// Whether the own counts disagree with what is borrowed.
    pub is_in_conflict: bool,
    /// The default model alone.
    pub without: RateSummary,
}

/// The joint law: its points, or the quadrature where own arms are too many for it.
enum JointLaw {
    Points(super::CellLaw),
    Quadrature(Box<RateFit>),
}

/// All laws of a species and method.
struct Laws {
    joint: JointLaw,
    location: RateFit,
    today: RateFit,
    /// Log evidences of the own arms, binomial coefficients left out.
    log_evidence: [f64; LAWS],
    reach: Reach,
}

/// The joint law at the likeliest spreads.
struct Reach {
    /// Mean and variance of the log odds without own arms.
    cavity: (f64, f64),
    /// Their variance with own arms.
    settled: f64,
    /// Log evidence of the own arms.
    log_evidence: f64,
    /// The quadrature, where own arms are too many for points.
    of_many: Option<Box<RateFit>>,
}

impl JointFit {
    /// Learns the weights of the laws from all species and methods that were tried, 2,000 at most.
    ///
    /// # Errors
    /// [`FitError::NotConverged`] where a law, or the weights, cannot be found.
    pub fn law_weights(&self) -> Result<LawWeights, FitError> {
        let cells: Vec<[usize; 2]> = self.layout.tried().collect();
        let every = cells.len().div_ceil(MOST_CELLS).max(1);
        let evidence = |cell: &[usize; 2]| self.evidence(&self.layout.seen(*cell));
        let evidence =
            cells.iter().step_by(every).map(evidence).collect::<Result<Vec<[f64; LAWS]>, FitError>>()?;
        let mut weights = normalised(PRIOR);
        for _ in 0..MOST_ROUNDS {
            let mut sums = PRIOR;
            for log in &evidence {
                let shares = shares(weights, *log);
                sums.iter_mut().zip(shares).for_each(|(sum, share)| *sum += share);
            }
            let next = normalised(sums);
            let change = next.iter().zip(weights).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
            weights = next;
            if change < SETTLED {
                return Ok(LawWeights(weights));
            }
        }
        Err(FitError::not_converged("law_weights", None))
    }

    /// What is to be expected of a species and method, tried or not, by all laws together.
    ///
    /// # Errors
    /// [`FitError::NotConverged`] where a law cannot be found.
    pub fn expect(
        &self,
        weights: &LawWeights,
        genus: usize,
        species: usize,
        method: usize,
    ) -> Result<CellExpectation, FitError> {
        let place = self.layout.cell(genus, species, method);
        let growers = self.growers(&place);
        let laws = self.laws(&place, &growers)?;
        let weights = if growers.is_empty() { weights.0 } else { shares(weights.0, laws.log_evidence) };
        let average = laws.average(weights);
        let today = laws.today.average_rate_law();
        let mean = average.mean();
        let is_in_conflict = growers.len() >= ENOUGH_GROWERS
            && !(today.quantile(OUTSIDE)..=today.quantile(1.0 - OUTSIDE)).contains(&mean);
        let spread = self.mode.spreads.new_grower(self.options.tails);
        Ok(CellExpectation {
            laws: weights,
            average_rate_mean: mean,
            average_rate_q: [0.025, 0.5, 0.975].map(|p| average.quantile(p)),
            new_grower: laws.new_grower(weights),
            own_growers: growers.len(),
            own_trials: growers.iter().map(|grower| grower.trials.len()).sum(),
            prior_growers: spread * spread / laws.reach.cavity.1,
            share: (1.0 - laws.reach.settled / laws.reach.cavity.1).clamp(0.0, 1.0),
            is_in_conflict,
            without: laws.today.summary().clone(),
        })
    }

    /// Own growers; arms of one trial are added up.
    fn growers(&self, place: &CellPlace) -> Vec<Grower> {
        let mut sums: BTreeMap<usize, BTreeMap<usize, (u32, u32)>> = BTreeMap::new();
        for (number, arm) in &place.own {
            let trial = &self.layout.trials[*number];
            let arm = &trial.arms[*arm];
            let sum = sums.entry(trial.grower).or_default().entry(*number).or_default();
            sum.0 += arm.started as u32;
            sum.1 += arm.succeeded as u32;
        }
        let count = |(started, succeeded): &(u32, u32)| Count { started: *started, succeeded: *succeeded };
        let grower = |(grower, trials): (usize, BTreeMap<usize, (u32, u32)>)| {
            Grower::new(trials.values().map(count).collect(), self.layout.weights[grower])
        };
        sums.into_iter().map(grower).collect()
    }

    /// Log evidences of the own arms at the likeliest spreads.
    fn evidence(&self, place: &CellPlace) -> Result<[f64; LAWS], FitError> {
        let growers = self.growers(place);
        let (reach, rivals) = self.side_by_side(place, &growers)?;
        log_evidence(&reach, &rivals, &growers)
    }

    /// The joint law at the likeliest spreads, and beside it the learnt location and the default model.
    fn side_by_side(&self, place: &CellPlace, growers: &[Grower]) -> Result<(Reach, [RateFit; 2]), FitError> {
        let reach = self.reach(place, growers)?;
        let (mean, variance) = reach.cavity;
        let location = rate::fit_around(growers, mean, variance.sqrt(), OWN_SPREAD)?;
        let today = rate::fit(growers, &rate::Options::default())?;
        Ok((reach, [location, today]))
    }

    fn reach(&self, place: &CellPlace, growers: &[Grower]) -> Result<Reach, FitError> {
        if place.own.len() <= MOST_ARMS {
            let found = cell::cell(&self.mode.moments(&self.layout), place, &self.mode.spreads)?;
            let mean: f64 = found.points.iter().map(|(x, share)| x * share).sum();
            let settled = found.points.iter().map(|(x, share)| share * (x - mean).powi(2)).sum();
            let log_evidence = found.log_evidence;
            return Ok(Reach { cavity: found.cavity, settled, log_evidence, of_many: None });
        }
        let (cavity, fit) = self.of_many(place, growers)?;
        let summary = fit.summary();
        let log_evidence = summary.log_evidence - rate::log_coefficient(growers)?;
        let settled = summary.mu_sd.powi(2);
        Ok(Reach { cavity, settled, log_evidence, of_many: Some(Box::new(fit)) })
    }

    /// The joint law of very many own arms: beside them what is borrowed is worth next to nothing.
    fn of_many(&self, place: &CellPlace, growers: &[Grower]) -> Result<((f64, f64), RateFit), FitError> {
        let sd = &self.mode.spreads.sd;
        let variance: f64 = sd[..5].iter().map(|sd| sd * sd).sum();
        let mean = self.mode.at.variables[place.seen[0]];
        let spread = self.mode.spreads.new_grower(self.options.tails).max(sd[ARM]);
        let fit = rate::fit_around(growers, mean, variance.sqrt(), spread)?;
        Ok(((mean, variance), fit))
    }

    fn laws(&self, place: &CellPlace, growers: &[Grower]) -> Result<Laws, FitError> {
        let (mut reach, rivals) = self.side_by_side(place, growers)?;
        let log_evidence = log_evidence(&reach, &rivals, growers)?;
        let joint = match reach.of_many.take() {
            Some(fit) => JointLaw::Quadrature(fit),
            None => JointLaw::Points(self.law(place)?),
        };
        let [location, today] = rivals;
        Ok(Laws { joint, location, today, log_evidence, reach })
    }
}

/// Log evidence of the own arms by each law, binomial coefficients left out.
fn log_evidence(reach: &Reach, rivals: &[RateFit; 2], growers: &[Grower]) -> Result<[f64; LAWS], FitError> {
    let coefficient = rate::log_coefficient(growers)?;
    let [location, today] = rivals.each_ref().map(|fit| fit.summary().log_evidence - coefficient);
    Ok([reach.log_evidence, location, today])
}

impl Laws {
    /// The rate averaged over growers.
    fn average(&self, weights: [f64; LAWS]) -> RateLaw {
        let joint = match &self.joint {
            JointLaw::Points(law) => law.average_rates(),
            JointLaw::Quadrature(fit) => fit.average_rate_law().points().to_vec(),
        };
        let quadrature = |fit: &RateFit| fit.average_rate_law().points().to_vec();
        let parts = [joint, quadrature(&self.location), quadrature(&self.today)];
        let weighted = parts
            .into_iter()
            .zip(weights)
            .flat_map(|(points, weight)| points.into_iter().map(move |(rate, share)| (rate, weight * share)));
        RateLaw::new(weighted.collect())
    }

    /// A new grower's rate.
    fn new_grower(&self, weights: [f64; LAWS]) -> RateLaw {
        let below = |x: f64| {
            let joint = match &self.joint {
                JointLaw::Points(law) => law.below(x),
                JointLaw::Quadrature(fit) => fit.new_grower_below(x),
            };
            weights[0] * joint
                + weights[1] * self.location.new_grower_below(x)
                + weights[2] * self.today.new_grower_below(x)
        };
        let count = (2.0 * END / STEP) as i32;
        let mut points = Vec::with_capacity(count as usize);
        let mut before = 0.0;
        for k in 0..=count {
            let x = STEP.mul_add(f64::from(k), -END);
            let now = if k == count { 1.0 } else { below(x) };
            points.push((crate::logit::logistic(x - 0.5 * STEP), (now - before).max(0.0)));
            before = now;
        }
        RateLaw::new(points)
    }
}

fn normalised(weights: [f64; LAWS]) -> [f64; LAWS] {
    let total: f64 = weights.iter().sum();
    weights.map(|weight| weight / total)
}

/// Weights times evidence.
fn shares(weights: [f64; LAWS], log_evidence: [f64; LAWS]) -> [f64; LAWS] {
    let top = log_evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    normalised(std::array::from_fn(|law| weights[law] * (log_evidence[law] - top).exp()))
}
