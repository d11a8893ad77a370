//! The network model computed a second time by dense sums, without Laplace's method, where that is possible: two methods.
//!
//! Given the spreads, a trial's likelihood of (m, d) is an integral over its level of a product over its arms, each an
//! integral over the arm's own deviation: plain sums on fine grids, and so are the four integrals around them. What this
//! measures is the error of the nested Laplace approximation itself; that its parts are what they claim to be is tested
//! beside the code, to 1e-6.

use propagule_analysis::Count;
use propagule_analysis::network::{self, NetworkOptions, NetworkTrial, TrialArm};

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// Nodes and weights of a standard normal on a grid.
fn normal_grid(step: f64) -> Vec<(f64, f64)> {
    let reach = (6.5 / step) as i32;
    let nodes: Vec<f64> = (-reach..=reach).map(|k| f64::from(k) * step).collect();
    let total: f64 = nodes.iter().map(|z| (-0.5 * z * z).exp()).sum();
    nodes.into_iter().map(|z| (z, (-0.5 * z * z).exp() / total)).collect()
}

/// An arm's likelihood with its own deviation integrated out, on a fine lattice of log odds.
struct Table {
    values: Vec<f64>,
}

const FIRST: f64 = -34.0;
const STEP: f64 = 0.02;
const NODES: usize = 3_001;

impl Table {
    fn new((n, r): (u32, u32), deviation: f64, grid: &[(f64, f64)]) -> Self {
        let at = |x: f64| {
            let p = |z: f64| logistic(x + deviation * z);
            let one = |z: f64| p(z).powi(r as i32) * (1.0 - p(z)).powi((n - r) as i32);
            grid.iter().map(|(z, w)| w * one(*z)).sum::<f64>()
        };
        Self { values: (0..NODES).map(|k| at(FIRST + STEP * k as f64)).collect() }
    }

    /// Cubic interpolation.
    fn at(&self, x: f64) -> f64 {
        let place = (x - FIRST) / STEP;
        let k = (place as usize).clamp(1, NODES - 3);
        let t = place - k as f64;
        let [a, b, c, d] = [0, 1, 2, 3].map(|i| self.values[k + i - 1]);
        let (below, above) = (t + 1.0, t - 1.0);
        let far = t - 2.0;
        -a * t * above * far / 6.0 + b * below * above * far / 2.0 - c * below * t * far / 2.0
            + d * below * t * above / 6.0
    }
}

/// Weight, and weighted sums of d, d², m, s and tau.
#[derive(Default)]
struct Sums {
    total: f64,
    values: [f64; 5],
}

/// Midpoints of `parts` equal parts of 0..end.
fn midpoints(end: f64, parts: i32) -> impl Iterator<Item = f64> {
    (0..parts).map(move |k| (f64::from(k) + 0.5) * end / f64::from(parts))
}

/// A regular lattice.
fn lattice(step: f64, indices: std::ops::RangeInclusive<i32>) -> impl Iterator<Item = f64> {
    indices.map(move |k| step * f64::from(k))
}

impl Sums {
    /// Adds all (m, d) at one pair of spreads.
    fn add(&mut self, tables: &[[Table; 2]], s: f64, tau: f64, grid: &[(f64, f64)]) {
        let of_spreads = (-0.5 * s * s - 2.0 * tau * tau).exp();
        for m in lattice(0.4, -28..=12) {
            let p = logistic(m);
            for d in lattice(0.4, -14..=36) {
                let level = |[a, b]: &[Table; 2]| {
                    let one = |(z, w): &(f64, f64)| w * a.at(m + s * z) * b.at(m + s * z + d);
                    grid.iter().map(one).sum::<f64>()
                };
                let likelihood: f64 = tables.iter().map(level).product();
                let weight = of_spreads * p * (1.0 - p) * (-0.5 * (d / 2.82).powi(2)).exp() * likelihood;
                self.total += weight;
                for (sum, value) in self.values.iter_mut().zip([d, d * d, m, s, tau]) {
                    *sum += weight * value;
                }
            }
        }
    }
}

/// Posterior mean and standard deviation of d, means of m, s and tau; trials as (pieces, successes) of both arms.
fn dense(trials: &[[(u32, u32); 2]]) -> [f64; 5] {
    let grid = normal_grid(0.25);
    let mut sums = Sums::default();
    for tau in midpoints(2.4, 12) {
        let table = |count| Table::new(count, tau * std::f64::consts::FRAC_1_SQRT_2, &grid);
        let tables: Vec<[Table; 2]> = trials.iter().map(|arms| arms.map(table)).collect();
        for s in midpoints(4.4, 14) {
            sums.add(&tables, s, tau, &grid);
        }
    }
    let [d, square, m, s, tau] = sums.values.map(|sum| sum / sums.total);
    [d, (square - d * d).sqrt(), m, s, tau]
}

fn approximate(trials: &[[(u32, u32); 2]]) -> [f64; 5] {
    let arm = |method: usize, (started, succeeded): (u32, u32)| TrialArm {
        method,
        count: Count { started, succeeded },
    };
    let trial = |[a, b]: &[(u32, u32); 2]| NetworkTrial { arms: vec![arm(0, *a), arm(1, *b)] };
    let trials: Vec<NetworkTrial> = trials.iter().map(trial).collect();
    let fit = network::bayes(2, &trials, &NetworkOptions::default()).expect("the counts are possible");
    [fit.d_mean[1], fit.d_sd[1], fit.m_mean, fit.s_mean, fit.tau_mean]
}

/// Trials of both methods, and how far Laplace's method may be off in the mean of d, its standard deviation, m, s and tau.
type Case = (&'static [[(u32, u32); 2]], [f64; 5]);

#[test]
fn nested_laplace_is_near_the_integrals() {
    let cases: [Case; 3] = [
        (
            &[[(20, 4), (20, 9)], [(30, 10), (25, 15)], [(16, 3), (18, 6)], [(24, 9), (24, 15)]],
            [0.002, 0.002, 0.004, 0.01, 0.01],
        ),
        (&[[(20, 2), (20, 6)], [(15, 1), (15, 4)], [(12, 0), (12, 3)]], [0.002, 0.003, 0.02, 0.02, 0.01]),
        // Nothing succeeded by the first method: d is skew.
        (&[[(20, 0), (20, 5)], [(15, 0), (15, 3)], [(12, 0), (12, 1)]], [0.006, 0.004, 0.05, 0.02, 0.01]),
    ];
    for (trials, tolerance) in cases {
        let (want, got) = (dense(trials), approximate(trials));
        for k in 0..5 {
            let off = (got[k] - want[k]).abs();
            assert!(off < tolerance[k], "figure {k} of {trials:?}: {} against {}", got[k], want[k]);
        }
    }
}
