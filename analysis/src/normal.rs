//! The standard normal distribution.

use statrs::function::erf;

/// Half of ln(2 pi).
pub(crate) const HALF_LN_TWO_PI: f64 = 0.918_938_533_204_672_8;

/// P(Z <= x).
pub(crate) fn cdf(x: f64) -> f64 {
    0.5 * erf::erfc(-x * std::f64::consts::FRAC_1_SQRT_2)
}

/// Density at `x`.
pub(crate) fn density(x: f64) -> f64 {
    (-0.5 * x * x - HALF_LN_TWO_PI).exp()
}

/// The x with P(Z <= x) = `p`: the library's inverse, then one Newton step to full precision.
pub(crate) fn quantile(p: f64) -> f64 {
    let x = -std::f64::consts::SQRT_2 * erf::erfc_inv(2.0 * p);
    if x.is_finite() && density(x) > 1e-290 { x - (cdf(x) - p) / density(x) } else { x }
}
