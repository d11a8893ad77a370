//! The marginal of one unit far from the node, where the product's peak lies outside the table.

use super::LogDensity;
use super::units::Moments;
use crate::normal::HALF_LN_TWO_PI;

/// Integrates f(t) N(t; mu, s²) around the peak of the product by the trapezoid rule.
pub(super) fn integrate<D: LogDensity>(unit: &D, mu: f64, s: f64) -> Moments {
    let (peak, width) = find_peak(unit, mu, s);
    let step = 0.5 * width;
    let log_product = |t: f64| unit.at(t) - 0.5 * ((t - mu) / s).powi(2);
    let top = log_product(peak);
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for direction in [1.0, -1.0] {
        let start = i32::from(direction <= 0.0);
        for k in start..4_000 {
            let t = peak + direction * f64::from(k) * step;
            let value = (log_product(t) - top).exp();
            let z = (t - mu) / s;
            sum += value;
            first += value * z;
            second += value * z * z;
            if value < 1e-13 {
                break;
            }
        }
    }
    let log_value = top + (sum * step / s).ln() - HALF_LN_TWO_PI;
    Moments { log_value, first: first / sum, second: second / sum }
}

/// Peak of a product with a normal factor, and the width that its curvature implies: Newton's method inside a bracket
/// that shrinks.
fn find_peak<D: LogDensity>(unit: &D, mu: f64, s: f64) -> (f64, f64) {
    let own = 1.0 / (s * s);
    let (mut low, mut high) = (f64::NEG_INFINITY, f64::INFINITY);
    let (mut t, mut before) = (mu, f64::INFINITY);
    for _ in 0..200 {
        let (first, second) = unit.derivatives(t);
        let slope = first - (t - mu) * own;
        // The normal factor alone bends by 1/s².
        let bend = own - second.min(0.0);
        let width = bend.sqrt().recip();
        let step = slope / bend;
        // A hundredth of the width will do: the trapezoid rule does not need the very centre.
        if step.abs() < 1e-2 * width {
            return (t, width);
        }
        if slope > 0.0 {
            low = t;
        } else {
            high = t;
        }
        // Steps that do not shrink may leap to and fro between a steep and a flat side; halving the bracket ends that.
        let next = t + step;
        let shrinks = step.abs() < 0.5 * before || !(high - low).is_finite();
        before = step.abs();
        t = if shrinks && next > low && next < high { next } else { 0.5 * (low + high) };
    }
    (t, s)
}
