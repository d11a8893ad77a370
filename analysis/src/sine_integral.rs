//! The sine integral, by which a density known on a regular lattice is integrated up to any point.
//!
//! A density without frequencies above half the lattice's is the sum of sinc functions at its nodes, so its
//! distribution function is a sum of 1/2 + Si(pi x)/pi. That keeps quantiles as exact as the integrals.

use std::f64::consts::{FRAC_PI_2, PI};
use std::sync::LazyLock;

/// Si(x) = integral of sin(t)/t from 0 to `x`; absolute error below 1e-12.
pub(crate) fn sine_integral(x: f64) -> f64 {
    let t = x.abs();
    let value = if t <= 5.0 { series(t) } else { FRAC_PI_2 - tail(t) };
    value.copysign(x)
}

/// sin(pi x) / (pi x).
pub(crate) fn sinc(x: f64) -> f64 {
    if x.abs() < 1e-9 { 1.0 } else { (PI * x).sin() / (PI * x) }
}

/// Share of a sinc kernel of unit width lying below `x` widths from its centre; absolute error below 1e-8.
pub(crate) fn sinc_cdf(x: f64) -> f64 {
    let t = x.abs();
    let upper = if t < TABLE_END { tabulated(t) } else { far(t) };
    if x < 0.0 { 1.0 - upper } else { upper }
}

const TABLE_END: f64 = 40.0;
const CELLS_A_UNIT: f64 = 64.0;

/// Values and slopes of the distribution function at the ends of all cells.
static TABLE: LazyLock<Vec<(f64, f64)>> = LazyLock::new(|| {
    let cells = (TABLE_END * CELLS_A_UNIT) as usize;
    let entry = |k: usize| {
        let x = k as f64 / CELLS_A_UNIT;
        (0.5 + sine_integral(PI * x) / PI, sinc(x) / CELLS_A_UNIT)
    };
    (0..=cells + 1).map(entry).collect()
});

/// Cubic Hermite interpolation in the table.
fn tabulated(t: f64) -> f64 {
    let place = t * CELLS_A_UNIT;
    let cell = place as usize;
    let u = place - cell as f64;
    let ((a, da), (b, db)) = (TABLE[cell], TABLE[cell + 1]);
    let v = 1.0 - u;
    (a * (1.0 + 2.0 * u) + da * u) * v * v + (b * (3.0 - 2.0 * u) - db * v) * u * u
}

/// Asymptotic series (Abramowitz & Stegun 5.2.34 and 5.2.35).
fn far(t: f64) -> f64 {
    let z = PI * t;
    let square = z * z;
    let (sin, cos) = z.sin_cos();
    1.0 - (cos / z * (1.0 - 2.0 / square) + sin / square * (1.0 - 6.0 / square)) / PI
}

/// Power series (Abramowitz & Stegun 5.2.14).
fn series(t: f64) -> f64 {
    let square = t * t;
    let (mut term, mut sum, mut k) = (t, t, 1.0);
    while term.abs() > 1e-17 * sum.abs().max(1e-300) {
        term *= -square / ((k + 1.0) * (k + 2.0));
        k += 2.0;
        sum += term / k;
    }
    sum
}

/// pi/2 - Si(t) for large t: imaginary part of the continued fraction of E1(it) (Lentz's method).
fn tail(t: f64) -> f64 {
    let (mut br, bi) = (1.0, t);
    let (mut cr, mut ci) = (1e300, 0.0);
    let norm = br * br + bi * bi;
    let (mut dr, mut di) = (br / norm, -bi / norm);
    let (mut hr, mut hi) = (dr, di);
    for step in 1..200 {
        let a = -f64::from(step * step);
        br += 2.0;
        let (er, ei) = (a * dr + br, a * di + bi);
        let n = er * er + ei * ei;
        (dr, di) = (er / n, -ei / n);
        let n = cr * cr + ci * ci;
        let (fr, fi) = if n > 1e200 { (0.0, 0.0) } else { (cr / n, -ci / n) };
        (cr, ci) = (br + a * fr, bi + a * fi);
        let (gr, gi) = (cr * dr - ci * di, cr * di + ci * dr);
        (hr, hi) = (hr * gr - hi * gi, hr * gi + hi * gr);
        if (gr - 1.0).abs() + gi.abs() < 1e-15 {
            break;
        }
    }
    // E1(it) = e^{-it} h, and Si(t) = pi/2 + Im E1(it).
    let (sin, cos) = t.sin_cos();
    -(cos * hi - sin * hr)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn agrees_with_published_values() {
        // Abramowitz & Stegun, table 5.1.
        for (x, want) in [(0.5, 0.493_107_418_0), (1.0, 0.946_083_070_4), (10.0, 1.658_347_594_2)] {
            assert!((sine_integral(x) - want).abs() < 1e-10, "{x}: {}", sine_integral(x));
            assert!((sine_integral(-x) + want).abs() < 1e-10);
        }
    }

    #[test]
    fn the_two_branches_meet() {
        let (a, b) = (series(5.0), FRAC_PI_2 - tail(5.0));
        assert!((a - b).abs() < 1e-12, "{a} {b}");
        assert!((sinc_cdf(1e6) - 1.0).abs() < 1e-6);
    }

    #[test]
    fn the_table_is_as_good_as_the_series() {
        for k in -500..500 {
            let x = f64::from(k) * 0.0973;
            let want = 0.5 + sine_integral(PI * x) / PI;
            assert!((sinc_cdf(x) - want).abs() < 1e-8, "{x}: {} {want}", sinc_cdf(x));
        }
    }
}
