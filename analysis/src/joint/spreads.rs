//! The likeliest spreads, and nodes around them.
//!
//! A spread is scale × the (1 + Phi(z)) / 2 quantile of the standard normal law, so that its half-normal prior makes z exactly
//! standard normal. The mode in z is found block by block: the effects' squares and posterior variances given, the spread that
//! maximises -k ln sd - q / (2 sd²) - z² / 2. Nodes of equal weight stand where a two-level design of 16 runs has them, which
//! is exact to third order.

use super::JointOptions;
use super::layout::Layout;
use crate::FitError;
use crate::laplace::{Effects, Fitted};
use crate::matrix::Matrix;
use crate::newton::factored;
use crate::normal;

/// Kinds of spreads after the five of genus, species and method.
pub(super) const GROWER: usize = 5;
pub(super) const TRIAL: usize = 6;
pub(super) const ARM: usize = 7;
const KINDS: usize = 8;

/// Smallest change of any z that goes on, and most rounds.
const SETTLED: f64 = 0.005;
const MOST_ROUNDS: usize = 400;
/// Range and step of the scan for the likeliest z, and where nodes are held.
const RANGE: f64 = 4.5;
const STEP: f64 = 0.0025;
const LOWEST_NODE: f64 = -3.5;
const HIGHEST_NODE: f64 = 4.0;
/// Smallest spread.
const LEAST: f64 = 0.02;

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
    fn new(z: [f64; KINDS], options: &JointOptions) -> Self {
        let scales = scales(options);
        Self { z, sd: std::array::from_fn(|kind| (scales[kind] * unit(z[kind])).max(LEAST)) }
    }

    /// Standard deviation of a new grower's trial around the average.
    pub(super) fn new_grower(&self) -> f64 {
        self.sd[GROWER].hypot(self.sd[TRIAL]).hypot(self.sd[ARM])
    }
}

/// Number of effects, and the sum of squares and posterior variances, of one kind.
#[derive(Clone, Copy, Debug, Default)]
struct Sums {
    count: f64,
    squares: f64,
}

/// The likeliest spreads, and the fit there; `at` is moved there.
pub(super) fn likeliest<'a>(
    layout: &'a Layout,
    options: &JointOptions,
    at: &mut Effects,
) -> Result<(Spreads, Fitted<'a>), FitError> {
    let steps = (2.0 * RANGE / STEP) as i32;
    let scan: Vec<(f64, f64)> =
        (0..=steps).map(|k| STEP.mul_add(f64::from(k), -RANGE)).map(|z| (z, unit(z))).collect();
    let scales = scales(options);
    let mut spreads = Spreads::new([0.0; KINDS], options);
    for _ in 0..MOST_ROUNDS {
        let fitted = layout.problem.fitted(&layout.variances(&spreads, options), at)?;
        let sums = sums(layout, options, &spreads, &fitted);
        let z = std::array::from_fn(|kind| {
            let value = |(z, unit): &(f64, f64)| {
                let sd = (scales[kind] * unit).max(LEAST);
                -sums[kind].count * sd.ln() - 0.5 * sums[kind].squares / (sd * sd) - 0.5 * z * z
            };
            scan.iter().max_by(|a, b| value(a).total_cmp(&value(b))).expect("a scan has points").0
        });
        let next = Spreads::new(z, options);
        let change = next.z.iter().zip(&spreads.z).map(|(a, b)| (a - b).abs()).fold(0.0, f64::max);
        if change < SETTLED {
            return Ok((spreads, fitted));
        }
        spreads = next;
    }
    Err(FitError::NotConverged)
}

fn sums(layout: &Layout, options: &JointOptions, spreads: &Spreads, fitted: &Fitted) -> [Sums; KINDS] {
    let mut out = [Sums::default(); KINDS];
    let mut add = |kind: usize, weight: f64, value: f64, variance: f64| {
        out[kind].count += weight;
        out[kind].squares += weight * (value * value + variance);
    };
    for (place, kind) in layout.global_kinds().into_iter().enumerate() {
        if let Some(kind) = kind {
            add(kind, 1.0, fitted.global()[place], fitted.covariance[(place, place)]);
        }
    }
    for (block, kinds) in layout.own_kinds.iter().enumerate() {
        let covariance = fitted.own_between(block, &fitted.own_with_globals(block), block);
        for (k, kind) in kinds.iter().enumerate() {
            add(*kind, layout.weights[block], fitted.own(block)[k], covariance[(k, k)]);
        }
    }
    let variances = layout.variances(spreads, options);
    for place in &layout.arms {
        let deviation = fitted.arm(*place).deviation;
        add(ARM, layout.weights[place.0], deviation, fitted.arm_variance(*place, &variances));
    }
    out
}

/// Sixteen sets of spreads of equal weight.
pub(super) fn nodes(
    layout: &Layout,
    options: &JointOptions,
    spreads: &Spreads,
    fitted: &Fitted,
) -> Result<Vec<Spreads>, FitError> {
    let information = information(layout, options, spreads, fitted);
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
fn information(layout: &Layout, options: &JointOptions, spreads: &Spreads, fitted: &Fitted) -> Matrix {
    let mut norms = Matrix::zeros(KINDS, KINDS);
    let mut add = |a: usize, b: usize, is_same: bool, covariance: f64, weight: f64| {
        let share = f64::from(u8::from(is_same)) - covariance / (spreads.sd[a] * spreads.sd[b]);
        norms[(a, b)] += 2.0 * weight * share * share;
    };
    let kinds = layout.global_kinds();
    for (i, a) in kinds.iter().enumerate() {
        for (j, b) in kinds.iter().enumerate() {
            if let (Some(a), Some(b)) = (a, b) {
                add(*a, *b, i == j, fitted.covariance[(i, j)], 1.0);
            }
        }
    }
    for (block, own) in layout.own_kinds.iter().enumerate() {
        let with_globals = fitted.own_with_globals(block);
        for (i, a) in own.iter().enumerate() {
            for (g, kind) in kinds.iter().enumerate() {
                if let Some(b) = kind {
                    add(*a, *b, false, with_globals[(i, g)], layout.weights[block]);
                    add(*b, *a, false, with_globals[(i, g)], layout.weights[block]);
                }
            }
        }
        for (other, others) in layout.own_kinds.iter().enumerate() {
            let weight = (layout.weights[block] * layout.weights[other]).sqrt();
            let between = fitted.own_between(block, &with_globals, other);
            for (i, a) in own.iter().enumerate() {
                for (j, b) in others.iter().enumerate() {
                    add(*a, *b, block == other && i == j, between[(i, j)], weight);
                }
            }
        }
    }
    let variances = layout.variances(spreads, options);
    for place in &layout.arms {
        add(ARM, ARM, true, fitted.arm_variance(*place, &variances), layout.weights[place.0]);
    }
    let slope = |kind: usize| {
        let z = spreads.z[kind];
        (unit(z + 1e-4).ln() - unit(z - 1e-4).ln()) / 2e-4
    };
    Matrix::from_fn(KINDS, KINDS, |i, j| f64::from(u8::from(i == j)) + slope(i) * slope(j) * norms[(i, j)])
}
