//! Root finders whose ways show in the reference's numbers: R's `uniroot` stops at a loose default tolerance, and that
//! of `scipy` (`brentq`) may or may not step on a point where its function is undefined.

/// R's default `tol`.
pub(crate) const R_TOLERANCE: f64 = 1.220_703_125e-4;

/// Brent's method as in R's zeroin.c (Brent 1973, chapter 4); `a` and `b` bracket the root.
pub(crate) fn zeroin(f: impl Fn(f64) -> f64, mut a: f64, mut b: f64, tol: f64) -> f64 {
    let (mut fa, mut fb) = (f(a), f(b));
    let (mut c, mut fc) = (a, fa);
    for _ in 0..1000 {
        let previous = b - a;
        if fc.abs() < fb.abs() {
            (a, b, c) = (b, c, b);
            (fa, fb, fc) = (fb, fc, fb);
        }
        let allowed = 2.0 * f64::EPSILON * b.abs() + tol / 2.0;
        let mut step = (c - b) / 2.0;
        if step.abs() <= allowed || fb == 0.0 {
            return b;
        }
        if previous.abs() >= allowed && fa.abs() > fb.abs() {
            let cb = c - b;
            let (mut p, mut q);
            if a.total_cmp(&c).is_eq() {
                let t = fb / fa;
                p = cb * t;
                q = 1.0 - t;
            } else {
                let (t0, t1, t2) = (fa / fc, fb / fc, fb / fa);
                p = t2 * (cb * t0 * (t0 - t1) - (b - a) * (t1 - 1.0));
                q = (t0 - 1.0) * (t1 - 1.0) * (t2 - 1.0);
            }
            if p > 0.0 {
                q = -q;
            } else {
                p = -p;
            }
            if p < 0.75 * cb * q - (allowed * q).abs() / 2.0 && p < (previous * q / 2.0).abs() {
                step = p / q;
            }
        }
        if step.abs() < allowed {
            step = allowed.copysign(step);
        }
        (a, fa) = (b, fb);
        b += step;
        fb = f(b);
        if (fb > 0.0) == (fc > 0.0) {
            (c, fc) = (a, fa);
        }
    }
    b
}

/// Brent's method as in scipy's `brentq.c`, with its default tolerances; nothing where the function is undefined or does
/// not change sign.
pub(crate) fn brentq(f: impl Fn(f64) -> Option<f64>, a: f64, b: f64) -> Option<f64> {
    let (mut before, mut now) = ((a, f(a)?), (b, f(b)?));
    let (mut block, mut last, mut step) = ((0.0, 0.0), 0.0, 0.0);
    if before.1 * now.1 > 0.0 {
        return None;
    }
    for _ in 0..100 {
        if (before.1 < 0.0) != (now.1 < 0.0) {
            block = before;
            step = now.0 - before.0;
            last = step;
        }
        if block.1.abs() < now.1.abs() {
            (before, now, block) = (now, block, now);
        }
        let delta = f64::midpoint(2e-12, 4.0 * f64::EPSILON * now.0.abs());
        let half = (block.0 - now.0) / 2.0;
        if half.abs() < delta {
            return Some(now.0);
        }
        let tried =
            (last.abs() > delta && now.1.abs() < before.1.abs()).then(|| interpolated(before, now, block));
        let accepted = tried.filter(|t| 2.0 * t.abs() < last.abs().min(3.0 * half.abs() - delta));
        (last, step) = accepted.map_or((half, half), |tried| (step, tried));
        before = now;
        now.0 += if step.abs() > delta { step } else { delta.copysign(half) };
        now.1 = f(now.0)?;
    }
    Some(now.0)
}

/// Secant step, or one of inverse quadratic form when three points are known.
fn interpolated(before: (f64, f64), now: (f64, f64), block: (f64, f64)) -> f64 {
    if before.0.total_cmp(&block.0).is_eq() {
        return -now.1 * (now.0 - before.0) / (now.1 - before.1);
    }
    let slope = |other: (f64, f64)| (other.1 - now.1) / (other.0 - now.0);
    let (first, second) = (slope(before), slope(block));
    -now.1 * (block.1 * second - before.1 * first) / (second * first * (block.1 - before.1))
}
