//! The marginal of one unit far from the node, where the product's peak lies outside the table.

use super::LogDensity;
use crate::normal::HALF_LN_TWO_PI;

/// Log marginal, and the first two moments of (t - mu)/s under the product.
pub(crate) struct Direct {
    pub(crate) log_value: f64,
    pub(crate) first: f64,
    pub(crate) second: f64,
}

/// Integrates f(t) N(t; mu, s²) around the peak of the product.
pub(crate) fn integrate<D: LogDensity>(unit: &D, mu: f64, s: f64) -> Direct {
    let log_product = |t: f64| unit.at(t) - 0.5 * ((t - mu) / s).powi(2);
    let peak = find_peak(&log_product, mu, s);
    let top = log_product(peak);
    let width = half_width(&log_product, peak, top, s);
    // The drop is 2 at `width` on the steeper side, so a quarter of it is half a standard deviation.
    let step = width / 4.0;
    let (mut sum, mut first, mut second) = (0.0, 0.0, 0.0);
    for direction in [1.0, -1.0] {
        let mut k = if direction > 0.0 { 0.0 } else { 1.0 };
        loop {
            let t = peak + direction * k * step;
            let value = (log_product(t) - top).exp();
            let z = (t - mu) / s;
            sum += value;
            first += value * z;
            second += value * z * z;
            if value < 1e-16 || k > 4000.0 {
                break;
            }
            k += 1.0;
        }
    }
    let log_value = top + (sum * step / s).ln() - HALF_LN_TWO_PI;
    Direct { log_value, first: first / sum, second: second / sum }
}

/// Peak of a log-concave function: brackets from `mu` in steps of s, then golden section.
fn find_peak(f: &impl Fn(f64) -> f64, mu: f64, s: f64) -> f64 {
    let direction = if f(mu + 1e-3 * s) >= f(mu - 1e-3 * s) { 1.0 } else { -1.0 };
    let (mut low, mut mid, mut step) = (mu - direction * 1e-3 * s, mu, s);
    let mut high = mu + direction * step;
    for _ in 0..200 {
        if f(high) < f(mid) {
            break;
        }
        low = mid;
        mid = high;
        step *= 1.6;
        high = mid + direction * step;
    }
    golden_section(f, low.min(high), low.max(high))
}

/// Maximum of a unimodal function between two points, to about 1e-9 of their distance.
fn golden_section(f: &impl Fn(f64) -> f64, mut a: f64, mut b: f64) -> f64 {
    const RATIO: f64 = 0.618_033_988_749_894_9;
    let (mut c, mut d) = (b - RATIO * (b - a), a + RATIO * (b - a));
    let (mut fc, mut fd) = (f(c), f(d));
    for _ in 0..44 {
        if fc >= fd {
            (b, d, fd) = (d, c, fc);
            c = b - RATIO * (b - a);
            fc = f(c);
        } else {
            (a, c, fc) = (c, d, fd);
            d = a + RATIO * (b - a);
            fd = f(d);
        }
    }
    0.5 * (a + b)
}

/// Distance from the peak at which the log value has dropped by 2, on the steeper side.
fn half_width(f: &impl Fn(f64) -> f64, peak: f64, top: f64, s: f64) -> f64 {
    let side = |direction: f64| {
        let (mut low, mut high) = (0.0, 2.0 * s);
        for _ in 0..40 {
            let mid = 0.5 * (low + high);
            if f(peak + direction * mid) < top - 2.0 { high = mid } else { low = mid }
            if high - low < 1e-3 * high {
                break;
            }
        }
        high
    };
    side(1.0).min(side(-1.0))
}
