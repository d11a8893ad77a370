//! Distribution functions from lattice weights, and their inverses.

use super::Column;
use crate::sine_integral::sinc_cdf;

/// Weight of a column below `x`.
pub(crate) fn lattice_cdf(column: &Column, x: f64) -> f64 {
    column.nodes().map(|(mu, w)| w * sinc_cdf((x - mu) / column.step)).sum()
}

/// The x at which a rising function reaches `target`: bracket from `guess` in steps of `scale`, then Illinois.
pub(crate) fn increasing_root(f: impl Fn(f64) -> f64, target: f64, guess: f64, scale: f64) -> f64 {
    let at = |x: f64| f(x) - target;
    let (mut a, mut fa) = (guess, at(guess));
    if fa == 0.0 {
        return a;
    }
    let mut step = if fa < 0.0 { scale } else { -scale };
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
        if (b - a).abs() < 1e-10 * (1.0 + b.abs()) || fb == 0.0 {
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
