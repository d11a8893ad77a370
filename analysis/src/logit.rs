//! The logistic function and its logarithms, without overflow at either end.

/// The rate whose log odds are `x`: 1 / (1 + e^-x).
pub(crate) fn logistic(x: f64) -> f64 {
    if x >= 0.0 {
        1.0 / (1.0 + (-x).exp())
    } else {
        let e = x.exp();
        e / (1.0 + e)
    }
}

/// Log odds of a rate; infinite at 0 and 1.
pub(crate) fn logit(p: f64) -> f64 {
    (p / (1.0 - p)).ln()
}

/// The pair (ln p, ln(1 - p)) of the rate whose log odds are `x`.
pub(crate) fn log_logistic_pair(x: f64) -> (f64, f64) {
    let tail = (-x.abs()).exp().ln_1p();
    (x.min(0.0) - tail, -x.max(0.0) - tail)
}

/// Log density of the standard logistic distribution at `x`.
pub(crate) fn log_logistic_density(x: f64) -> f64 {
    let (p, q) = log_logistic_pair(x);
    p + q
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn extremes_stay_finite_in_logs() {
        for x in [-800.0, -40.0, 0.0, 40.0, 800.0] {
            let (p, q) = log_logistic_pair(x);
            assert!(p.is_finite() && q.is_finite());
            assert!((logistic(x) - p.exp()).abs() < 1e-15);
        }
        assert!((logit(logistic(1.25)) - 1.25).abs() < 1e-14);
    }
}
