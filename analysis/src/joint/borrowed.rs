//! How much of the joint model to believe: three laws of a species and method, weighted by how well each foretold the others.
//!
//! The joint law; a location learnt from relatives with a spread of its own (half-Normal(1)); and the default model, which
//! learns from nothing. The weights of a corpus are those that make the own arms of all its species and methods likeliest, after
//! a prior of 8, 0.75 and 0.5 of them; in one species and method each law is weighted by its evidence of the own arms as well.

use std::collections::BTreeMap;

use super::{JointFit, Step, Watch, cell, layout::CellPlace, spreads::ARM, summary};
use crate::logit::logistic;
use crate::mixture::{Lattice, Mixture};
use crate::rate::{self, RateFit, RateLaw, RateSummary};
use crate::{Count, FitError, Grower};

/// Prior counts of the joint law, the learnt location, and the default model.
const PRIOR: [f64; LAWS] = [8.0, 0.75, 0.5];
pub(super) const LAWS: usize = 3;
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
/// The axis of log odds on which a law is laid out.
const LATTICE: Lattice = Lattice { step: 0.031_25, first: -512, count: 1025 };

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
    /// All laws together, as a summary of the default model has it.
    pub summary: RateSummary,
}

/// The joint law: its points, or the quadrature where own arms are too many for it.
pub(super) enum JointLaw {
    Points(super::CellLaw),
    Quadrature(Box<RateFit>),
}

/// All laws of a species and method.
pub(super) struct Laws<'a> {
    pub(super) joint: JointLaw,
    pub(super) location: RateFit,
    pub(super) today: &'a RateFit,
    /// Log evidences of the own arms, binomial coefficients left out.
    pub(super) log_evidence: [f64; LAWS],
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
        self.law_weights_watched(&Watch::nobody())
    }

    /// As [`Self::law_weights`], told what it is at, and ended by who watches it.
    ///
    /// # Errors
    /// Those of [`Self::law_weights`], and [`FitError::Ended`] where it was ended.
    pub fn law_weights_watched(&self, watch: &Watch<'_>) -> Result<LawWeights, FitError> {
        let cells: Vec<[usize; 2]> = self.layout.tried().collect();
        let every = cells.len().div_ceil(MOST_CELLS).max(1);
        let evidence = |(number, cell): (usize, &[usize; 2])| {
            watch.at(Step::Cell(number))?;
            self.evidence(&self.layout.seen(*cell))
        };
        let cells = cells.iter().step_by(every).enumerate();
        let evidence = cells.map(evidence).collect::<Result<Vec<[f64; LAWS]>, FitError>>()?;
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
        let alone = rate::fit(&growers, &rate::Options::default())?;
        self.expect_at(weights, &place, &growers, &alone)
    }

    /// As [`Self::expect`], by the own growers of an answer, which may be more than the corpus was fitted to; `alone` is the default
    /// model of the same growers.
    ///
    /// # Errors
    /// Those of [`Self::expect`].
    pub fn expect_of(
        &self,
        weights: &LawWeights,
        [genus, species, method]: [usize; 3],
        growers: &[Grower],
        alone: &RateFit,
    ) -> Result<CellExpectation, FitError> {
        self.expect_at(weights, &self.layout.cell(genus, species, method), growers, alone)
    }

    fn expect_at(
        &self,
        weights: &LawWeights,
        place: &CellPlace,
        growers: &[Grower],
        alone: &RateFit,
    ) -> Result<CellExpectation, FitError> {
        let laws = self.laws(place, growers, alone)?;
        let log_evidence =
            summary::log_evidence(weights.0, laws.log_evidence) + rate::log_coefficient(growers)?;
        let weights = if growers.is_empty() { weights.0 } else { shares(weights.0, laws.log_evidence) };
        let average = laws.average(weights);
        let today = laws.today.average_rate_law();
        let mean = average.mean();
        let is_in_conflict = growers.len() >= ENOUGH_GROWERS
            && !(today.quantile(OUTSIDE)..=today.quantile(1.0 - OUTSIDE)).contains(&mean);
        let spread = self.mode.spreads.new_grower(self.options.tails);
        let average_rate_q = [0.025, 0.5, 0.975].map(|p| average.quantile(p));
        let log_odds = laws.new_grower(weights);
        let summary = laws.summary(weights, log_evidence, (mean, average_rate_q), &log_odds);
        Ok(CellExpectation {
            laws: weights,
            average_rate_mean: mean,
            average_rate_q,
            new_grower: laid_out(&log_odds),
            own_growers: growers.len(),
            own_trials: growers.iter().map(|grower| grower.trials.len()).sum(),
            prior_growers: spread * spread / laws.reach.cavity.1,
            share: (1.0 - laws.reach.settled / laws.reach.cavity.1).clamp(0.0, 1.0),
            is_in_conflict,
            without: laws.today.summary().clone(),
            summary,
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
        let weight = |grower: usize| {
            let own = place.own.iter().zip(&place.own_weights);
            let mut own = own.filter(|(arm, _)| self.layout.trials[arm.0].grower == grower);
            own.next().map_or(0.0, |(_, weight)| *weight)
        };
        let grower = |(grower, trials): (usize, BTreeMap<usize, (u32, u32)>)| {
            Grower::new(trials.values().map(count).collect(), weight(grower))
        };
        sums.into_iter().map(grower).collect()
    }

    /// Log evidences of the own arms at the likeliest spreads.
    fn evidence(&self, place: &CellPlace) -> Result<[f64; LAWS], FitError> {
        let growers = self.growers(place);
        let reach = self.reach(place, &growers)?;
        let (mean, variance) = reach.cavity;
        let location = rate::log_evidence_around(&growers, mean, variance.sqrt(), OWN_SPREAD)?;
        let today = rate::log_evidence(&growers, &rate::Options::default())?;
        let coefficient = rate::log_coefficient(&growers)?;
        Ok([reach.log_evidence, location - coefficient, today - coefficient])
    }

    fn reach(&self, place: &CellPlace, growers: &[Grower]) -> Result<Reach, FitError> {
        if place.own.len() <= MOST_ARMS {
            let is_whole = pieces(&self.growers(place)) == pieces(growers);
            let found = cell::cell(&self.mode.moments(&self.layout), place, &self.mode.spreads)?;
            let mean: f64 = found.points.iter().map(|(x, share)| x * share).sum();
            let settled = found.points.iter().map(|(x, share)| share * (x - mean).powi(2)).sum();
            let log_evidence = found.log_evidence;
            if is_whole {
                return Ok(Reach { cavity: found.cavity, settled, log_evidence, of_many: None });
            }
            return Self::around(found.cavity, self.mode.spreads.new_grower(self.options.tails), growers);
        }
        let (cavity, spread) = self.of_many(place);
        Self::around(cavity, spread, growers)
    }

    /// The joint law by quadrature: own growers around what is borrowed.
    fn around(cavity: (f64, f64), spread: f64, growers: &[Grower]) -> Result<Reach, FitError> {
        let fit = rate::fit_around(growers, cavity.0, cavity.1.sqrt(), spread)?;
        let log_evidence = fit.log_evidence() - rate::log_coefficient(growers)?;
        let settled = fit.centre_sd().powi(2);
        Ok(Reach { cavity, settled, log_evidence, of_many: Some(Box::new(fit)) })
    }

    /// The joint law of very many own arms: beside them what is borrowed is worth next to nothing.
    fn of_many(&self, place: &CellPlace) -> ((f64, f64), f64) {
        let sd = &self.mode.spreads.sd;
        let variance: f64 = sd[..5].iter().map(|sd| sd * sd).sum();
        let mean = self.mode.at.variables[place.seen[0]];
        let spread = self.mode.spreads.new_grower(self.options.tails).max(sd[ARM]);
        ((mean, variance), spread)
    }

    pub(super) fn laws<'a>(
        &self,
        place: &CellPlace,
        growers: &[Grower],
        alone: &'a RateFit,
    ) -> Result<Laws<'a>, FitError> {
        let mut reach = self.reach(place, growers)?;
        let (mean, variance) = reach.cavity;
        let location = rate::fit_around(growers, mean, variance.sqrt(), OWN_SPREAD)?;
        let coefficient = rate::log_coefficient(growers)?;
        let rivals = [&location, alone].map(|fit| fit.log_evidence() - coefficient);
        let log_evidence = [reach.log_evidence, rivals[0], rivals[1]];
        let joint = match reach.of_many.take() {
            Some(fit) => JointLaw::Quadrature(fit),
            None => JointLaw::Points(self.law(place)?),
        };
        Ok(Laws { joint, location, today: alone, log_evidence, reach })
    }
}

/// Pieces put in, and successes.
fn pieces(growers: &[Grower]) -> (u64, u64) {
    let counts = || growers.iter().flat_map(|grower| &grower.trials);
    let sum = |of: fn(&Count) -> u32| counts().map(|count| u64::from(of(count))).sum();
    (sum(|count| count.started), sum(|count| count.succeeded))
}

impl Laws<'_> {
    /// The rate averaged over growers.
    fn average(&self, weights: [f64; LAWS]) -> RateLaw {
        let joint = match &self.joint {
            JointLaw::Points(law) => law.average_rates(),
            JointLaw::Quadrature(fit) => fit.average_rate_law().points().to_vec(),
        };
        let quadrature = |fit: &RateFit| fit.average_rate_law().points().to_vec();
        let parts = [joint, quadrature(&self.location), quadrature(self.today)];
        let weighted = parts
            .into_iter()
            .zip(weights)
            .flat_map(|(points, weight)| points.into_iter().map(move |(rate, share)| (rate, weight * share)));
        RateLaw::new(weighted.collect())
    }

    /// Log odds of a new grower, all laws together.
    fn new_grower(&self, weights: [f64; LAWS]) -> Mixture {
        let of_points;
        let joint = match &self.joint {
            JointLaw::Points(law) => {
                of_points = law.new_grower();
                &of_points
            }
            JointLaw::Quadrature(fit) => fit.new_grower(),
        };
        let laws = [joint, self.location.new_grower(), self.today.new_grower()];
        Mixture::together(laws.into_iter().zip(weights))
    }
}

/// The law of a rate from that of its log odds.
fn laid_out(log_odds: &Mixture) -> RateLaw {
    let mut below = log_odds.cdf_on(&LATTICE);
    // What lies beyond the last point is counted with it.
    below.push(1.0);
    let mut before = 0.0;
    let points = below.into_iter().enumerate().map(|(k, now)| {
        let share = (now - before).max(0.0);
        before = now;
        (logistic(LATTICE.point(k) - 0.5 * LATTICE.step), share)
    });
    RateLaw::new(points.collect())
}

fn normalised(weights: [f64; LAWS]) -> [f64; LAWS] {
    let total: f64 = weights.iter().sum();
    weights.map(|weight| weight / total)
}

/// Weights times evidence.
pub(super) fn shares(weights: [f64; LAWS], log_evidence: [f64; LAWS]) -> [f64; LAWS] {
    let top = log_evidence.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    normalised(std::array::from_fn(|law| weights[law] * (log_evidence[law] - top).exp()))
}
