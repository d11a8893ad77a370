//! Student's t distribution.

use statrs::function::beta::beta_reg;

/// P(|T| >= |t|) with `df` degrees of freedom, by the incomplete beta function (Abramowitz & Stegun 1964, 26.7.1).
pub(crate) fn two_sided(t: f64, df: f64) -> f64 {
    beta_reg(df / 2.0, 0.5, df / (df + t * t))
}

/// The t that |T| exceeds with probability `p`, by bisection.
pub(crate) fn critical(p: f64, df: f64) -> f64 {
    let (mut low, mut high) = (0.0, 1.0);
    while two_sided(high, df) > p && high < 1e12 {
        high *= 2.0;
    }
    for _ in 0..100 {
        let middle = f64::midpoint(low, high);
        if two_sided(middle, df) > p { low = middle } else { high = middle }
    }
    f64::midpoint(low, high)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn values_of_printed_tables() {
        // Two-sided 5 % points of t as printed in tables: 12.706 at 1, 2.179 at 12, 2.060 at 25 degrees of freedom.
        for (df, t) in [(1.0, 12.706), (12.0, 2.179), (25.0, 2.060)] {
            assert!((critical(0.05, df) - t).abs() < 5e-4, "{df}: {}", critical(0.05, df));
            assert!((two_sided(t, df) - 0.05).abs() < 1e-4);
        }
        assert!((two_sided(0.0, 4.0) - 1.0).abs() < 1e-12);
    }
}
