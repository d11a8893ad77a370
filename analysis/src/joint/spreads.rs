//! The likeliest spreads, and nodes around them.
//!
//! A spread is scale × the (1 + Phi(z)) / 2 quantile of the standard normal law, so that its half-normal prior makes z exactly
//! standard normal. The mode in z is found block by block: the effects' squares and posterior variances given, the spread that
//! maximises -k ln sd - q / (2 sd²) - z² / 2, with steps drawn together as in `anderson`. Nodes of equal weight stand where a two-level design of 16 runs has them, which
//! is exact to third order.

use super::anderson::Accelerated;
use super::layout::{Layout, Prior};
use super::mode::{At, Local};
use super::moments::Moments;
use super::{JointOptions, Step, Tails, Watch};
use crate::FitError;
use crate::matrix::Matrix;
use crate::newton::factored;
use crate::normal;

/// Kinds of spreads after the five of genus, species and method.
pub(super) const GROWER: usize = 5;
pub(super) const TRIAL: usize = 6;
pub(super) const ARM: usize = 7;
pub(super) const KINDS: usize = 8;

/// Smallest change of any z that goes on, and most rounds.
const SETTLED: f64 = 0.005;
const MOST_ROUNDS: usize = 400;
/// Rounds of which steps are combined.
const MOST_COMBINED: usize = 40;
/// Range and step of the scan for the likeliest z, and where nodes are held.
const RANGE: f64 = 4.5;
const STEP: f64 = 0.0025;
const LOWEST_NODE: f64 = -3.5;
const HIGHEST_NODE: f64 = 4.0;
/// Smallest and largest spread.
const LEAST: f64 = 0.02;
const MOST: f64 = 2.0;
/// Newton's steps while spreads still move end at this size.
const NEAR: f64 = 1e-3;
/// Where they end at the last.
pub(super) const ARRIVED: f64 = 1e-9;

/// A standard deviation for every kind of effect.
#[derive(Clone, Copy, Debug)]
pub(super) struct Spreads {
    pub(super) z: [f64; KINDS],
    pub(super) sd: [f64; KINDS],
}

/// Quantile of |N(0, 1)| at Phi(z).
fn unit(z: f64) -> f64 {
    -normal::quantile(0.5 * normal::cdf(-z))
}

fn sd(scale: f64, unit: f64) -> f64 {
    (scale * unit).clamp(LEAST, MOST)
}

fn scales(options: &JointOptions) -> [f64; KINDS] {
    let structure = options.structure_sd;
    [
        structure,
        structure,
        structure,
        structure,
        structure,
        options.grower_sd,
        options.trial_sd,
        options.arm_sd,
    ]
}

impl Spreads {
    pub(super) fn new(z: [f64; KINDS], options: &JointOptions) -> Self {
        let scales = scales(options);
        Self { z, sd: std::array::from_fn(|kind| sd(scales[kind], unit(z[kind]))) }
    }

    /// Standard deviation of a new grower's trial around the average.
    pub(super) fn new_grower(&self, tails: Tails) -> f64 {
        let (grower, trial) = self.grower_and_trial(tails);
        grower.hypot(trial)
    }

    /// Standard deviations of growers around the average, and of a grower's trials around the grower.
    pub(super) fn grower_and_trial(&self, tails: Tails) -> (f64, f64) {
        (tails.widens().sqrt() * self.sd[GROWER], self.sd[TRIAL].hypot(self.sd[ARM]))
    }
}

/// Number of effects, and the sum of squares and posterior variances, of one kind.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    count: f64,
    squares: f64,
}

/// The likeliest spreads with the mode there.
pub(super) struct Likeliest {
    pub(super) spreads: Spreads,
    /// By how much each grower's precision is raised or lowered.
    pub(super) tails: Vec<f64>,
    pub(super) prior: Prior,
    pub(super) local: Local,
}

/// Spreads that are known, with the mode there; all growers have the precision of theirs.
pub(super) fn known(
    layout: &Layout,
    options: &JointOptions,
    sd: [f64; KINDS],
    at: &mut At,
) -> Result<Likeliest, FitError> {
    let (spreads, tails) = (Spreads { z: [0.0; KINDS], sd }, vec![1.0; layout.weights.len()]);
    let prior = layout.prior(&spreads, &tails, options);
    let local = layout.climb(&prior, at, ARRIVED)?;
    Ok(Likeliest { spreads, tails, prior, local })
}

/// The likeliest spreads, from the z given; `at` is moved to the mode there.
pub(super) fn likeliest(
    layout: &Layout,
    options: &JointOptions,
    from: [f64; KINDS],
    at: &mut At,
    watch: &Watch<'_>,
) -> Result<Likeliest, FitError> {
    let steps = (2.0 * RANGE / STEP) as i32;
    let scan: Vec<(f64, f64)> =
        (0..=steps).map(|k| STEP.mul_add(f64::from(k), -RANGE)).map(|z| (z, unit(z))).collect();
    let scales = scales(options);
    let mut spreads = Spreads::new(from, options);
    let mut tails = vec![1.0; layout.weights.len()];
    let mut steps = Accelerated::default();
    let mut change = f64::INFINITY;
    for round in 0..MOST_ROUNDS {
        watch.at(Step::Spreads(round))?;
        let prior = layout.prior(&spreads, &tails, options);
        let local = layout.climb(&prior, at, NEAR)?;
        let sums = sums(&Moments::new(layout, &prior, at, &local), &spreads, options, &mut tails);
        let best = |kind: usize| {
            let value = |(z, unit): &(f64, f64)| {
                let sd = sd(scales[kind], *unit);
                -sums[kind].count * sd.ln() - 0.5 * sums[kind].squares / (sd * sd) - 0.5 * z * z
            };
            scan.iter().max_by(|a, b| value(a).total_cmp(&value(b))).expect("a scan has points").0
        };
        let reached: [f64; KINDS] = std::array::from_fn(best);
        change = reached.iter().zip(&spreads.z).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        if change < SETTLED {
            let prior = layout.prior(&spreads, &tails, options);
            let local = layout.climb(&prior, at, ARRIVED)?;
            return Ok(Likeliest { spreads, tails, prior, local });
        }
        // Where one of two hills is the higher by little, combinations may jump between them for ever; plain steps settle.
        let next = if round < MOST_COMBINED { steps.next(spreads.z, reached) } else { reached };
        spreads = Spreads::new(next.map(|z| z.clamp(-RANGE, RANGE)), options);
    }
    Err(FitError::not_converged("spreads", Some(change)))
}

fn sums(moments: &Moments, spreads: &Spreads, options: &JointOptions, tails: &mut [f64]) -> [Sums; KINDS] {
    let layout = moments.layout;
    let inverse = layout.pattern.inverse(&moments.local.factor);
    let mut out = [Sums::default(); KINDS];
    let mut add = |kind: usize, weight: f64, square: f64| {
        out[kind].count += weight;
        out[kind].squares += weight * square;
    };
    let variances = moments.variables(&inverse);
    let square = |k: usize| moments.at.variables[k].powi(2) + variances[k];
    for (k, kind) in layout.kinds[..layout.effects].iter().enumerate() {
        if let Some(kind) = kind {
            add(*kind, 1.0, square(k));
        }
    }
    for (grower, tail) in tails.iter_mut().enumerate() {
        let square = square(layout.effects + grower);
        if let Tails::Student = options.tails {
            *tail = (TAILS + 1.0) / (TAILS + square / spreads.sd[GROWER].powi(2));
        }
        add(GROWER, layout.weights[grower], *tail * square);
    }
    let (trials, arms) = (moments.trials(&inverse), moments.arms(&inverse));
    for (number, trial) in layout.trials.iter().enumerate() {
        let weight = layout.weights[trial.grower];
        add(TRIAL, weight, moments.at.trials[number].powi(2) + trials[number]);
        for arm in &trial.arms {
            add(ARM, weight, moments.at.arms[arm.place].powi(2) + arms[arm.place]);
        }
    }
    out
}

/// Degrees of freedom of growers' skill.
const TAILS: f64 = 4.0;

/// Sixteen sets of spreads of equal weight.
pub(super) fn nodes(
    moments: &Moments,
    options: &JointOptions,
    spreads: &Spreads,
) -> Result<Vec<Spreads>, FitError> {
    let information = information(moments, spreads);
    let inverse = factored(&information)?.inverse_factored();
    let factor = factored(&inverse)?;
    let node = |run: [f64; KINDS]| {
        let moved =
            |kind: usize| spreads.z[kind] + (0..=kind).map(|k| factor[(kind, k)] * run[k]).sum::<f64>();
        Spreads::new(std::array::from_fn(|kind| moved(kind).clamp(LOWEST_NODE, HIGHEST_NODE)), options)
    };
    Ok(runs().into_iter().map(node).collect())
}

/// The two-level design of 16 runs with columns a, b, c, d, abc, abd, acd, bcd.
fn runs() -> Vec<[f64; KINDS]> {
    let run = |k: u32| {
        let [a, b, c, d] = [0, 1, 2, 3].map(|bit| if k >> bit & 1 == 0 { 1.0 } else { -1.0 });
        [a, b, c, d, a * b * c, a * b * d, a * c * d, b * c * d]
    };
    (0..16).map(run).collect()
}

/// Information of z: J' (2 |I - C / (sd sd)|² by kinds) J + identity, J = d ln sd / dz.
fn information(moments: &Moments, spreads: &Spreads) -> Matrix {
    let layout = moments.layout;
    let mut norms = Matrix::zeros(KINDS, KINDS);
    let weight = |k: usize| k.checked_sub(layout.effects).map_or(1.0, |grower| layout.weights[grower]);
    for (k, kind) in layout.kinds.iter().enumerate() {
        let Some(kind) = kind else { continue };
        let (variables, trials) = moments.with_all(&[(k, 1.0)]);
        add_row(&mut norms, layout, spreads, (*kind, weight(k)), Some(k), &variables, &trials, None);
    }
    for (number, trial) in layout.trials.iter().enumerate() {
        let (variables, mut trials) = moments.with_all(&moments.trial(number));
        trials[number] += moments.local.trials[number].precision.recip();
        let own = (TRIAL, layout.weights[trial.grower]);
        add_row(&mut norms, layout, spreads, own, None, &variables, &trials, Some(number));
    }
    let inverse = layout.pattern.inverse(&moments.local.factor);
    let arms = moments.arms(&inverse);
    for trial in &layout.trials {
        for arm in &trial.arms {
            let share = 1.0 - arms[arm.place] / spreads.sd[ARM].powi(2);
            norms[(ARM, ARM)] += 2.0 * layout.weights[trial.grower] * share * share;
        }
    }
    let slope = |kind: usize| {
        let z = spreads.z[kind];
        (unit(z + 1e-4).ln() - unit(z - 1e-4).ln()) / 2e-4
    };
    Matrix::from_fn(KINDS, KINDS, |i, j| f64::from(u8::from(i == j)) + slope(i) * slope(j) * norms[(i, j)])
}

/// Adds the covariances of one effect, of a kind and weight, with all others.
fn add_row(
    norms: &mut Matrix,
    layout: &Layout,
    spreads: &Spreads,
    (kind, weight): (usize, f64),
    own_variable: Option<usize>,
    variables: &[f64],
    trials: &[f64],
    own_trial: Option<usize>,
) {
    let mut add = |other: usize, weight: f64, is_same: bool, covariance: f64| {
        let share = f64::from(u8::from(is_same)) - covariance / (spreads.sd[kind] * spreads.sd[other]);
        norms[(kind, other)] += 2.0 * weight * share * share;
    };
    let both = |a: f64, b: f64| (a * b).sqrt();
    for (k, covariance) in variables.iter().enumerate() {
        let Some(other) = layout.kinds[k] else { continue };
        let of = k.checked_sub(layout.effects).map_or(1.0, |grower| layout.weights[grower]);
        // Between what is shared and what is a grower's own the whole weight counts.
        let is_mixed = (kind < GROWER) != (other < GROWER);
        let weight = if is_mixed { weight * of } else { both(weight, of) };
        add(other, weight, own_variable == Some(k), *covariance);
    }
    for (number, covariance) in trials.iter().enumerate() {
        let of = layout.weights[layout.trials[number].grower];
        let weight = if kind < GROWER { weight * of } else { both(weight, of) };
        add(TRIAL, weight, own_trial == Some(number), *covariance);
    }
}
