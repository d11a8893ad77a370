//! Exponential, logarithm and logistic from the four operations alone, so that every machine draws the same
//! counts: the functions of a system's mathematical library may differ in the last bit.

/// ln 2 in two parts: the first has so few bits that its multiples are exact.
const LN_2_HIGH: f64 = 0.693_147_180_369_123_8;
const LN_2_LOW: f64 = 1.908_214_929_270_587_7e-10;

/// e to the power of `x`, for |x| below 700.
pub(super) fn exp(x: f64) -> f64 {
    let halvings = (x / core::f64::consts::LN_2).round();
    let rest = (x - halvings * LN_2_HIGH) - halvings * LN_2_LOW;
    let series = (1..=16).rev().fold(1.0, |sum, n| 1.0 + rest / f64::from(n) * sum);
    series * power_of_two(halvings as i64)
}

fn power_of_two(exponent: i64) -> f64 {
    f64::from_bits(((exponent + 1023) as u64) << 52)
}

/// Natural logarithm of a normal positive number.
pub(super) fn ln(x: f64) -> f64 {
    let bits = x.to_bits();
    let mut exponent = ((bits >> 52) as i64) - 1023;
    let mut mantissa = f64::from_bits((bits & ((1 << 52) - 1)) | (1023 << 52));
    if mantissa > core::f64::consts::SQRT_2 {
        mantissa /= 2.0;
        exponent += 1;
    }
    let ratio = (mantissa - 1.0) / (mantissa + 1.0);
    let square = ratio * ratio;
    let series = (0..=20).rev().fold(0.0, |sum, n| 1.0 / f64::from(2 * n + 1) + square * sum);
    2.0 * ratio * series + exponent as f64 * LN_2_LOW + exponent as f64 * LN_2_HIGH
}

/// 1 / (1 + e^-x).
pub(super) fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + exp(-x))
}

/// Share of pieces past an event by `days`, for a Weibull law.
pub(super) fn weibull_share(days: f64, shape: f64, scale: f64) -> f64 {
    1.0 - exp(-exp(shape * ln(days / scale)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn they_agree_with_the_system_to_the_last_digits() {
        for step in -300..=300 {
            let x = f64::from(step) * 0.1;
            assert!((exp(x) / x.exp() - 1.0).abs() < 1e-14, "{x}");
            assert!((ln(exp(x)) - x).abs() < 1e-14 * x.abs().max(1.0), "{x}");
        }
        assert!((ln(0.3) - 0.3_f64.ln()).abs() < 1e-15);
        assert!((logistic(0.2) - 0.549_833_997_312_478).abs() < 1e-15);
        // Weibull: at the scale itself the share is 1 - 1/e, whatever the shape.
        assert!((weibull_share(49.0, 2.2, 49.0) - 0.632_120_558_828_557_7).abs() < 1e-14);
    }
}
