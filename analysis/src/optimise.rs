//! Minimising smooth functions of several variables without derivatives given.

use crate::matrix::Matrix;

/// Minimum found, and the value there.
#[derive(Clone, Debug)]
pub(crate) struct Minimum {
    pub(crate) point: Vec<f64>,
    pub(crate) value: f64,
}

/// Gradient by central differences.
fn gradient(f: &mut impl FnMut(&[f64]) -> f64, x: &[f64]) -> Vec<f64> {
    let mut probe = x.to_vec();
    (0..x.len())
        .map(|k| {
            let step = 1e-5 * (1.0 + x[k].abs());
            probe[k] = x[k] + step;
            let high = f(&probe);
            probe[k] = x[k] - step;
            let low = f(&probe);
            probe[k] = x[k];
            (high - low) / (2.0 * step)
        })
        .collect()
}

/// Matrix of second derivatives by central differences.
pub(crate) fn hessian(f: &mut impl FnMut(&[f64]) -> f64, x: &[f64]) -> Matrix {
    let n = x.len();
    let step: Vec<f64> = x.iter().map(|v| 1e-3 * (1.0 + v.abs())).collect();
    let mut at = |moves: &[(usize, f64)]| {
        let mut probe = x.to_vec();
        for (k, sign) in moves {
            probe[*k] += sign * step[*k];
        }
        f(&probe)
    };
    let middle = at(&[]);
    let mut out = Matrix::zeros(n, n);
    for i in 0..n {
        out[(i, i)] = (at(&[(i, 1.0)]) - 2.0 * middle + at(&[(i, -1.0)])) / (step[i] * step[i]);
        for j in 0..i {
            let same = at(&[(i, 1.0), (j, 1.0)]) + at(&[(i, -1.0), (j, -1.0)]);
            let opposite = at(&[(i, 1.0), (j, -1.0)]) + at(&[(i, -1.0), (j, 1.0)]);
            let value = (same - opposite) / (4.0 * step[i] * step[j]);
            (out[(i, j)], out[(j, i)]) = (value, value);
        }
    }
    out
}

/// Quasi-Newton method of Broyden, Fletcher, Goldfarb & Shanno with a backtracking line search (Nocedal & Wright 2006,
/// chapter 6).
pub(crate) fn minimise(f: &mut impl FnMut(&[f64]) -> f64, start: &[f64]) -> Minimum {
    let n = start.len();
    let identity = || Matrix::from_fn(n, n, |i, j| f64::from(u8::from(i == j)));
    let (mut x, mut value) = (start.to_vec(), f(start));
    let mut slope = gradient(f, &x);
    let (mut inverse, mut fresh) = (identity(), true);
    for _ in 0..500 {
        let mut direction: Vec<f64> = inverse.times_vector(&slope).iter().map(|d| -d).collect();
        if dot(&direction, &slope) >= 0.0 {
            inverse = identity();
            fresh = true;
            direction = slope.iter().map(|g| -g).collect();
        }
        let Some((next, next_value)) = line_search(f, &x, value, &direction, dot(&direction, &slope)) else {
            if fresh {
                break;
            }
            inverse = identity();
            fresh = true;
            continue;
        };
        let next_slope = gradient(f, &next);
        let moved: Vec<f64> = next.iter().zip(&x).map(|(a, b)| a - b).collect();
        let bent: Vec<f64> = next_slope.iter().zip(&slope).map(|(a, b)| a - b).collect();
        let settled = (value - next_value).abs() < 1e-12 * (1.0 + value.abs());
        update(&mut inverse, &moved, &bent);
        (x, value, slope, fresh) = (next, next_value, next_slope, false);
        if settled {
            break;
        }
    }
    Minimum { point: x, value }
}

fn dot(a: &[f64], b: &[f64]) -> f64 {
    a.iter().zip(b).map(|(x, y)| x * y).sum()
}

/// Halves the step until the value falls enough (Armijo's rule); no single step moves a variable by more than 2.
fn line_search(
    f: &mut impl FnMut(&[f64]) -> f64,
    x: &[f64],
    value: f64,
    direction: &[f64],
    descent: f64,
) -> Option<(Vec<f64>, f64)> {
    let largest = direction.iter().fold(0.0f64, |m, d| m.max(d.abs()));
    let mut length = if largest > 2.0 { 2.0 / largest } else { 1.0 };
    for _ in 0..50 {
        let next: Vec<f64> = x.iter().zip(direction).map(|(a, d)| a + length * d).collect();
        let next_value = f(&next);
        if next_value.is_finite() && next_value <= value + 1e-4 * length * descent {
            return (next_value < value).then_some((next, next_value));
        }
        length *= 0.5;
    }
    None
}

/// Update of the inverse second derivatives.
fn update(inverse: &mut Matrix, moved: &[f64], bent: &[f64]) {
    let curvature = dot(moved, bent);
    if curvature <= 1e-14 {
        return;
    }
    let hy = inverse.times_vector(bent);
    let factor = (1.0 + dot(bent, &hy) / curvature) / curvature;
    for i in 0..moved.len() {
        for j in 0..moved.len() {
            inverse[(i, j)] +=
                factor * moved[i] * moved[j] - (hy[i] * moved[j] + moved[i] * hy[j]) / curvature;
        }
    }
}

/// Simplex search of Nelder & Mead (1965, Comput J 7:308), for functions with small steps in them.
pub(crate) fn simplex(f: &mut impl FnMut(&[f64]) -> f64, start: &[f64], size: f64) -> Minimum {
    let n = start.len();
    let mut corners: Vec<(f64, Vec<f64>)> = Vec::with_capacity(n + 1);
    for k in 0..=n {
        let mut corner = start.to_vec();
        if k > 0 {
            corner[k - 1] += size * (1.0 + corner[k - 1].abs());
        }
        corners.push((f(&corner), corner));
    }
    for _ in 0..600 * n {
        corners.sort_by(|a, b| a.0.total_cmp(&b.0));
        if corners[n].0 - corners[0].0 < 1e-12 * (1.0 + corners[0].0.abs()) {
            break;
        }
        let better = moved_corner(f, &corners);
        if better.0 < corners[n].0 {
            corners[n] = better;
        } else {
            let best = corners[0].1.clone();
            for corner in &mut corners[1..] {
                corner.1.iter_mut().zip(&best).for_each(|(x, b)| *x = 0.5 * (*x + b));
                corner.0 = f(&corner.1);
            }
        }
    }
    corners.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (value, point) = corners.swap_remove(0);
    Minimum { point, value }
}

/// The worst of sorted corners reflected, expanded or contracted through the middle of the others.
fn moved_corner(f: &mut impl FnMut(&[f64]) -> f64, corners: &[(f64, Vec<f64>)]) -> (f64, Vec<f64>) {
    let n = corners.len() - 1;
    let worst = &corners[n].1;
    let middle = |k: usize| corners[..n].iter().map(|c| c.1[k]).sum::<f64>() / n as f64;
    let centre: Vec<f64> = (0..n).map(middle).collect();
    let mut tried = |t: f64| {
        let point: Vec<f64> = centre.iter().zip(worst).map(|(c, w)| c + t * (c - w)).collect();
        (f(&point), point)
    };
    let reflected = tried(1.0);
    if reflected.0 < corners[0].0 {
        let expanded = tried(2.0);
        if expanded.0 < reflected.0 { expanded } else { reflected }
    } else if reflected.0 < corners[n - 1].0 {
        reflected
    } else {
        tried(if reflected.0 < corners[n].0 { 0.5 } else { -0.5 })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn finds_the_bottom_of_a_bent_valley() {
        // Rosenbrock 1960: minimum at (1, 1).
        let mut valley = |x: &[f64]| 100.0 * (x[1] - x[0] * x[0]).powi(2) + (1.0 - x[0]).powi(2);
        let found = minimise(&mut valley, &[-1.2, 1.0]);
        assert!(found.point.iter().all(|v| (v - 1.0).abs() < 1e-4), "{found:?}");
        let curvature = hessian(&mut valley, &[1.0, 1.0]);
        assert!((curvature[(0, 0)] - 802.0).abs() < 0.01 && (curvature[(0, 1)] + 400.0).abs() < 0.01);
    }
}
