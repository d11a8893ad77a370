//! Distribution functions from lattice weights, and their inverses.

use super::Column;
use crate::normal;
use crate::sine_integral::sinc_cdf;

/// Weight of a column below `x`.
pub(crate) fn lattice_cdf(column: &Column, x: f64) -> f64 {
    column.nodes().map(|(mu, w)| w * sinc_cdf((x - mu) / column.step)).sum()
}

/// The x at which a distribution function reaches `p`, by the secant method inside a bracket, on the scale on which a
/// normal law is a straight line. `guess` and `sd` are what a normal law would say.
pub(crate) fn cdf_inverse(cdf: impl Fn(f64) -> f64, p: f64, guess: f64, sd: f64) -> f64 {
    const FAINT: f64 = 1e-12;
    let want = normal::quantile(p);
    let at = |x: f64| normal::quantile(cdf(x).clamp(FAINT, 1.0 - FAINT)) - want;
    let (mut a, mut fa) = (guess, at(guess));
    // A little further than where a normal law ends, so that the root is bracketed.
    let far = (1.1 * fa.abs()).max(1e-7) * sd;
    let mut step = if fa < 0.0 { far } else { -far };
    let (mut b, mut fb) = (a + step, at(a + step));
    for _ in 0..200 {
        if (fa < 0.0) != (fb < 0.0) {
            break;
        }
        (a, fa) = (b, fb);
        step *= 1.7;
        b = a + step;
        fb = at(b);
    }
    for _ in 0..100 {
        if (b - a).abs() < 1e-10 * (1.0 + b.abs()) || fb.abs() < 1e-10 {
            break;
        }
        let c = b - fb * (b - a) / (fb - fa);
        let fc = at(c);
        if (fc < 0.0) == (fb < 0.0) {
            fa *= 0.5;
        } else {
            (a, fa) = (b, fb);
        }
        (b, fb) = (c, fc);
    }
    b
}
