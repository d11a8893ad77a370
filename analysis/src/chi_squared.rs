//! The chi-squared distribution.

use statrs::distribution::{ChiSquared, ContinuousCDF};

/// P(chi² > x); 1 without degrees of freedom.
pub(crate) fn chi_squared_above(x: f64, df: f64) -> f64 {
    ChiSquared::new(df).map_or(1.0, |chi| chi.sf(x.max(0.0)))
}
