//! Laws of a rate as weighted points: what plans are averaged over.

use super::{RateFit, Slice};
use crate::binomial::{binomial_at_least, ln_choose};
use crate::logit::log_logistic_pair;
use crate::mixture::{Mixture, average_logits, rate_of};
use crate::planning::{MOST_PIECES, smallest_number};
use crate::{Count, FitError};

/// Weight below which a point cannot matter.
const NEGLIGIBLE: f64 = 1e-13;
/// Step of the logit axis on which trial spreads are laid out.
const STEP: f64 = 0.02;
/// Half the length of that axis.
const END: f64 = 40.0;
/// Standard deviations of a trial spread that are covered.
const REACH: f64 = 5.5;

/// A law of a rate: points (rate 0..=1, weight), rates rising, weights summing to one.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RateLaw {
    points: Vec<(f64, f64)>,
}

impl RateLaw {
    /// From points with any positive weights.
    pub(crate) fn new(mut points: Vec<(f64, f64)>) -> Self {
        let total: f64 = points.iter().map(|(_, weight)| weight).sum();
        for (_, weight) in &mut points {
            *weight /= total;
        }
        points.retain(|(_, weight)| *weight > NEGLIGIBLE);
        points.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { points }
    }

    /// A rate that is known.
    pub fn certain(rate: f64) -> Self {
        Self { points: vec![(rate, 1.0)] }
    }

    /// The points with their weights.
    pub(crate) fn points(&self) -> &[(f64, f64)] {
        &self.points
    }

    /// Mean rate.
    pub fn mean(&self) -> f64 {
        self.points.iter().map(|(rate, weight)| rate * weight).sum()
    }

    /// P(rate > `rate`).
    pub fn above(&self, rate: f64) -> f64 {
        self.points.iter().filter(|point| point.0 > rate).map(|(_, weight)| weight).sum()
    }

    /// The rate below which a share `p` (0..=1) of the law lies; NaN of an empty law.
    pub fn quantile(&self, p: f64) -> f64 {
        let mut below = 0.0;
        let place = self.points.iter().find(|(_, weight)| {
            below += weight;
            below >= p
        });
        place.or(self.points.last()).map_or(f64::NAN, |(rate, _)| *rate)
    }

    /// P(Y >= y) of `n` pieces.
    pub fn at_least(&self, y: u32, n: u32) -> f64 {
        self.points.iter().map(|(rate, weight)| weight * binomial_at_least(y, n, *rate)).sum()
    }

    /// P(Y = 0), …, P(Y = n) of `n` pieces.
    pub fn counts(&self, n: u32) -> Vec<f64> {
        let total = f64::from(n);
        let count = |y: u32| {
            let (y, coefficient) = (f64::from(y), ln_choose(total, f64::from(y)));
            let chance = |rate: f64| (coefficient + power(rate, y) + power(1.0 - rate, total - y)).exp();
            self.points.iter().map(|(rate, weight)| weight * chance(*rate)).sum()
        };
        (0..=n).map(count).collect()
    }

    /// Smallest number of pieces to start, at most 2,000, so that at least `want` succeed with probability `sure`; `None`
    /// when 2,000 do not suffice.
    pub fn number_to_start(&self, want: u32, sure: f64) -> Option<u32> {
        smallest_number(want, sure, |n| self.at_least(want, n))
    }
}

/// ln(p^k), with 0^0 = 1.
fn power(p: f64, k: f64) -> f64 {
    if k == 0.0 { 0.0 } else { k * p.ln() }
}

impl RateFit {
    /// Posterior of the average grower's rate, E logistic(mu + s Z).
    pub(crate) fn average_rate_law(&self) -> RateLaw {
        let of_column = |(column, s): (&crate::posterior::Column, f64)| {
            let (mus, weights): (Vec<f64>, Vec<f64>) =
                column.nodes().filter(|(_, weight)| *weight > NEGLIGIBLE).unzip();
            let logits = if mus.is_empty() { Vec::new() } else { average_logits(&mus, s) };
            logits.into_iter().map(rate_of).zip(weights).collect::<Vec<_>>()
        };
        RateLaw::new(self.posterior.columns().flat_map(of_column).collect())
    }

    /// Law of the rate in the next trial of a grower with the trials `own`, where this is the fit of all *other* growers.
    ///
    /// The others' posterior predictive law is the prior of the grower's level, their own counts the likelihood; in three
    /// levels a new trial differs from the old ones by the spread between trials. Without own trials this is the law of a
    /// grower not seen before.
    ///
    /// # Errors
    /// [`FitError::Count`] for an impossible own count.
    ///
    /// ```
    /// # use propagule_analysis::{Count, Grower, rate};
    /// let others = vec![Grower::new(vec![Count::new(20, 2)?], 1.0); 2];
    /// let fit = rate::fit(&others, &rate::Options::default())?;
    /// assert!(fit.next_trial_law(&[Count::new(40, 30)?])?.mean() > fit.next_trial_law(&[])?.mean());
    /// # Ok::<(), Box<dyn std::error::Error>>(())
    /// ```
    pub fn next_trial_law(&self, own: &[Count]) -> Result<RateLaw, FitError> {
        next_trial_of(self.grower_levels().iter().map(|levels| (levels, 1.0)), own)
    }

    /// What is known of a grower's own level: one law for each trial spread, weights summing to one over all.
    pub(crate) fn grower_levels(&self) -> Vec<GrowerLevel> {
        let of = |slice: &Slice| {
            let columns = slice.grid.columns.iter().map(|column| (column, column.spread));
            GrowerLevel { law: Mixture::new(columns), trial_spread: slice.trial_spread }
        };
        self.posterior.slices.iter().map(of).collect()
    }
}

/// A law of a grower's log odds before its own counts, and the spread of its trials around it.
#[derive(Clone, Debug)]
pub(crate) struct GrowerLevel {
    pub(crate) law: Mixture,
    pub(crate) trial_spread: f64,
}

/// The rate in the next trial of a grower with the trials `own`, by laws of its level with their shares.
///
/// # Errors
/// [`FitError::Count`] for an impossible own count.
pub(crate) fn next_trial_of<'a>(
    laws: impl Iterator<Item = (&'a GrowerLevel, f64)>,
    own: &[Count],
) -> Result<RateLaw, FitError> {
    if let Some(grower) = own.iter().position(|count| !count.is_possible()) {
        let Count { started, succeeded } = own[grower];
        return Err(FitError::Count { grower, source: crate::CountError { started, succeeded } });
    }
    let own: Vec<Count> = own.iter().copied().filter(|count| count.started > 0).collect();
    let levels: Vec<Level> = laws.flat_map(|(law, share)| levels(law, share, &own)).collect();
    let top = levels.iter().map(|level| level.log_weight).fold(f64::NEG_INFINITY, f64::max);
    let weighted = levels.iter().map(|level| (level, (level.log_weight - top).exp()));
    Ok(next_trial(weighted.filter(|(_, weight)| *weight > NEGLIGIBLE)))
}

/// One possible log odds of a grower, with the spread of trials around it.
#[derive(Clone, Copy, Debug)]
struct Level {
    logit: f64,
    trial_spread: f64,
    log_weight: f64,
}

fn levels(grower: &GrowerLevel, share: f64, own: &[Count]) -> Vec<Level> {
    let trial_spread = grower.trial_spread;
    let pieces: f64 = own.iter().map(|count| f64::from(count.started)).sum();
    let most = own.iter().map(|count| count.started).max().unwrap_or(0);
    let quadrature = Quadrature::new(trial_spread, f64::from(most));
    let mut levels = Vec::new();
    grower.law.visit((pieces + f64::from(MOST_PIECES)) / 4.0, |p, q, weight| {
        if weight > NEGLIGIBLE * 1e-3 {
            let logit = p - q;
            let likelihood: f64 = own.iter().map(|count| quadrature.log_likelihood(*count, logit)).sum();
            levels.push(Level { logit, trial_spread, log_weight: (share * weight).ln() + likelihood });
        }
    });
    levels
}

/// The rate of a new trial over all levels.
fn next_trial<'a>(levels: impl Iterator<Item = (&'a Level, f64)>) -> RateLaw {
    let mut points = Vec::new();
    let mut axis = vec![0.0; (2.0 * END / STEP) as usize + 2];
    for (level, weight) in levels {
        if level.trial_spread <= 0.0 {
            points.push((rate_of(level.logit), weight));
            continue;
        }
        for (shift, share) in &Quadrature::new(level.trial_spread, 0.0).nodes {
            let place = (level.logit + shift + END).clamp(0.0, 2.0 * END) / STEP;
            let (cell, rest) = (place.floor(), place.fract());
            axis[cell as usize] += weight * share * (1.0 - rest);
            axis[cell as usize + 1] += weight * share * rest;
        }
    }
    let laid_out = axis.into_iter().enumerate().filter(|(_, weight)| *weight > 0.0);
    points.extend(laid_out.map(|(cell, weight)| (rate_of(cell as f64 * STEP - END), weight)));
    RateLaw::new(points)
}

/// Shifts N(0, s²) and their shares, by the trapezoid rule.
struct Quadrature {
    nodes: Vec<(f64, f64)>,
}

impl Quadrature {
    /// Fine enough for a binomial likelihood of `pieces`; a single node without spread.
    fn new(spread: f64, pieces: f64) -> Self {
        if spread <= 0.0 {
            return Self { nodes: vec![(0.0, 1.0)] };
        }
        let step = (0.7 / (spread * (0.25 * pieces).sqrt().max(1e-9))).clamp(0.02, 0.25);
        let count = (REACH / step).ceil() as i32;
        let density = |k: i32| (-0.5 * (f64::from(k) * step).powi(2)).exp();
        let total: f64 = (-count..=count).map(density).sum();
        let node = |k: i32| (spread * f64::from(k) * step, density(k) / total);
        Self { nodes: (-count..=count).map(node).collect() }
    }

    /// Log likelihood of a trial of a grower with these log odds; the binomial coefficient is left out.
    fn log_likelihood(&self, count: Count, logit: f64) -> f64 {
        let value = |shift: f64| {
            let (p, q) = log_logistic_pair(logit + shift);
            f64::from(count.succeeded) * p + f64::from(count.failed()) * q
        };
        if let [(shift, _)] = self.nodes[..] {
            return value(shift);
        }
        let logs: Vec<f64> = self.nodes.iter().map(|(shift, _)| value(*shift)).collect();
        let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let sum: f64 = self.nodes.iter().zip(&logs).map(|((_, share), log)| share * (log - top).exp()).sum();
        top + sum.ln()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::Grower;
    use crate::rate::{Levels, Options, fit};

    fn count(started: u32, succeeded: u32) -> Count {
        Count { started, succeeded }
    }

    fn grower(trials: &[(u32, u32)]) -> Grower {
        Grower::new(trials.iter().map(|&(n, r)| count(n, r)).collect(), 1.0)
    }

    fn others() -> Vec<Grower> {
        vec![
            grower(&[(20, 3), (12, 4)]),
            grower(&[(15, 0)]),
            grower(&[(24, 8), (10, 1)]),
            grower(&[(10, 0)]),
            grower(&[(30, 11)]),
        ]
    }

    fn options(levels: Levels) -> Options {
        Options { levels, ..Options::default() }
    }

    /// P(next count | all counts) is a ratio of marginal likelihoods: a way round that shares no code with the law.
    #[test]
    fn the_next_count_is_a_ratio_of_evidences() {
        for (levels, tolerance) in [(Levels::Two, 2e-4), (Levels::Three, 2e-3)] {
            for own in [&[(20, 9)][..], &[(12, 0), (14, 0)], &[(25, 5), (10, 8)]] {
                let own_counts = grower(own).trials;
                let fit_of = |own: Vec<Count>| {
                    let growers = [others(), vec![Grower::new(own, 1.0)]].concat();
                    fit(&growers, &options(levels)).expect("possible").summary().log_evidence
                };
                let law = fit(&others(), &options(levels)).expect("possible").next_trial_law(&own_counts);
                let counts = law.expect("possible").counts(6);
                let before = fit_of(own_counts.clone());
                for (y, chance) in counts.iter().enumerate() {
                    let after = fit_of([own_counts.clone(), vec![count(6, y as u32)]].concat());
                    let ratio = (after - before).exp();
                    assert!(
                        (chance - ratio).abs() < tolerance,
                        "{levels:?} {own:?} {y}: {chance} against {ratio}"
                    );
                }
            }
        }
    }

    #[test]
    fn without_own_trials_it_is_the_law_of_a_new_grower() {
        for levels in [Levels::Two, Levels::Three] {
            let fitted = fit(&others(), &options(levels)).expect("possible");
            let law = fitted.next_trial_law(&[]).expect("possible");
            assert!((law.mean() - fitted.summary().new_grower_rate_mean).abs() < 1e-4);
            assert!((law.above(0.1) - fitted.summary().prob_new_grower_above_10pct).abs() < 5e-3);
            for n in [5, 57, 400] {
                assert!((law.at_least(5, n) - fitted.predictive_at_least(5, n)).abs() < 1e-4, "{n}");
            }
            let sum: f64 = law.counts(30).iter().sum();
            assert!((sum - 1.0).abs() < 1e-9);
        }
    }

    #[test]
    fn the_average_law_has_the_mean_of_the_summary_and_bends_to_what_is_known() {
        let fitted = fit(&others(), &Options::default()).expect("possible");
        let summary = fitted.summary();
        let law = fitted.average_rate_law();
        assert!((law.mean() - summary.average_grower_rate_mean).abs() < 1e-6);
        let [low, _, high] = summary.average_grower_rate_q;
        assert!((law.above(low) - 0.975).abs() < 0.01 && (law.above(high) - 0.025).abs() < 0.01);
        assert!((law.quantile(0.975) - high).abs() < 0.01 && (law.quantile(0.025) - low).abs() < 0.01);
        let certain = RateLaw::certain(0.25);
        assert!((certain.mean() - 0.25).abs() < 1e-15 && (certain.quantile(0.5) - 0.25).abs() < 1e-15);
    }

    #[test]
    fn own_counts_pull_the_number_to_start_their_way() {
        let fitted = fit(&others(), &Options::default()).expect("possible");
        let number = |own: &[Count]| fitted.next_trial_law(own).expect("possible").number_to_start(5, 0.8);
        let (none, new, many) = (number(&[count(40, 0)]), number(&[]), number(&[count(40, 30)]));
        assert!(many < new && (none.is_none() || new < none), "{many:?} {new:?} {none:?}");
        assert!(fitted.next_trial_law(&[count(3, 4)]).is_err());
    }
}
