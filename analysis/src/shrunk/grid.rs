//! Nodes of the spreads.

use super::ShrunkOptions;
use crate::gauss_hermite::gauss_hermite;
use crate::normal;

/// Spreads at one node.
#[derive(Clone, Copy, Debug)]
pub(super) struct Node {
    pub(super) level: f64,
    pub(super) stratum: f64,
    pub(super) grower: f64,
    pub(super) arm: f64,
    pub(super) log_prior: f64,
}

/// Equal parts of the prior of the spread of levels, and nodes of each other spread. Strata have the widest prior, so that
/// four nodes would leave a hole from 0.3 to 1.2.
const LEVELS: u32 = 12;
const STRATA: usize = 8;
const OTHERS: usize = 4;
/// Smallest spread: below it effects are none, and numbers run out.
const LEAST: f64 = 0.02;

/// All nodes, so that neighbours in the list are neighbours in the grid.
pub(super) fn nodes(options: &ShrunkOptions, has_slopes: bool) -> Vec<Node> {
    let slopes = if has_slopes { half_normal(options.grower_sd, OTHERS) } else { vec![(LEAST, 0.0)] };
    let mut out = Vec::new();
    for (level, of_level) in half_cauchy(options.level_scale) {
        for (stratum, of_stratum) in half_normal(options.stratum_sd, STRATA) {
            for (arm, of_arm) in half_normal(options.arm_sd, OTHERS) {
                for (grower, of_grower) in &slopes {
                    let log_prior = of_level + of_stratum + of_arm + of_grower;
                    out.push(Node { level, stratum, grower: *grower, arm, log_prior });
                }
            }
        }
    }
    out
}

/// The middles of equal parts of a half-Cauchy law.
fn half_cauchy(scale: f64) -> Vec<(f64, f64)> {
    let middle = |k: u32| (f64::from(k) + 0.5) / f64::from(LEVELS);
    let spread = |k: u32| scale * (std::f64::consts::FRAC_PI_2 * middle(k)).tan();
    (0..LEVELS).map(|k| (spread(k).max(LEAST), 0.0)).collect()
}

/// A half-normal law by the Gauss–Hermite rule of the normal z with spread = scale × quantile((1 + Phi(z)) / 2).
fn half_normal(scale: f64, count: usize) -> Vec<(f64, f64)> {
    let node = |(z, weight): &(f64, f64)| {
        let spread = -scale * normal::quantile(0.5 * normal::cdf(-z));
        (spread.max(LEAST), weight.ln())
    };
    gauss_hermite(count).iter().map(node).collect()
}
