//! The root finder of R's `uniroot`, whose loose default tolerance shows in the reference's limits of tau².

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
