//! Marginals under a spread much narrower than any likelihood: Gauss–Hermite quadrature with a few nodes.

use super::units::Moments;
use super::{Axis, LogDensity};

/// Spread, in widths of the narrowest likelihood, up to which the nodes suffice.
pub(super) const NARROW: f64 = 0.25;

/// Positive nodes and weights of the 11-point rule for a standard normal weight; the node at zero comes last
/// (Abramowitz & Stegun 25.4.46; roots of He11 found by bisection).
const NODES: [(f64, f64); 6] = [
    (5.188_001_224_374_871, 8.121_849_790_214_923e-7),
    (3.936_166_607_129_977, 1.956_719_302_712_236e-4),
    (2.865_123_160_643_645, 6.720_285_235_537_291e-3),
    (1.876_035_020_154_846, 6.613_874_607_105_782e-2),
    (0.928_868_997_381_064, 2.422_402_998_739_7e-1),
    (0.0, 3.694_083_694_083_694e-1),
];

/// The points mu + s z of the rule.
pub(super) fn axis(mu: f64, s: f64) -> Axis {
    Axis::of_points(signed().map(|(z, _)| mu + s * z).collect())
}

fn signed() -> impl Iterator<Item = (f64, f64)> {
    let negative = NODES[..5].iter().map(|(z, w)| (-z, *w));
    negative.chain([NODES[5]]).chain(NODES[..5].iter().rev().copied())
}

/// Log marginal and moments of (t - mu)/s of one unit.
pub(super) fn integrate<D: LogDensity>(unit: &D, axis: &Axis, scratch: &mut [f64]) -> Moments {
    unit.fill(axis, scratch);
    let top = scratch.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for (log_value, (z, w)) in scratch.iter().zip(signed()) {
        let value = w * (log_value - top).exp();
        sum += value;
        first += value * z;
        second += value * z * z;
    }
    Moments { log_value: top + sum.ln(), first: first / sum, second: second / sum }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_rule_has_the_moments_of_a_standard_normal() {
        let moment = |k: i32| signed().map(|(z, w)| w * z.powi(k)).sum::<f64>();
        for (k, want) in [(0, 1.0), (2, 1.0), (4, 3.0), (6, 15.0), (8, 105.0), (20, 654_729_075.0)] {
            assert!((moment(k) / want - 1.0).abs() < 1e-9, "moment {k}: {}", moment(k));
        }
    }
}
