//! The default and the pairwise model computed a second time, by dense sums written differently.
//!
//! Here every integral is a plain sum on a fine fixed grid: no tables, no adaptive lattice, no interpolation.

use propagule_analysis::rate::{self, Levels, Options};
use propagule_analysis::{Count, Grower};
use propagule_analysis::{Pair, contrast};

fn logistic(x: f64) -> f64 {
    1.0 / (1.0 + (-x).exp())
}

/// Nodes and weights of a standard normal on a fine grid.
fn normal_grid() -> Vec<(f64, f64)> {
    let nodes: Vec<f64> = (-130..=130).map(|k| f64::from(k) * 0.06).collect();
    let total: f64 = nodes.iter().map(|z| (-0.5 * z * z).exp()).sum();
    nodes.into_iter().map(|z| (z, (-0.5 * z * z).exp() / total)).collect()
}

/// Means over (mu, s) of the posterior given by a log likelihood and a log prior of mu, with s ~ half-Normal(scale).
fn dense(
    mus: std::ops::RangeInclusive<i32>,
    scale: f64,
    log_posterior: impl Fn(f64, f64) -> f64,
    figures: &[&dyn Fn(f64, f64) -> f64],
) -> Vec<f64> {
    const STEP: f64 = 0.1;
    const SPREADS: i32 = 180;
    let mut cells = Vec::new();
    for j in 0..SPREADS {
        let s = (f64::from(j) + 0.5) * 6.0 * scale / f64::from(SPREADS);
        for k in mus.clone() {
            let mu = f64::from(k) * STEP;
            cells.push((mu, s, log_posterior(mu, s) - 0.5 * (s / scale).powi(2)));
        }
    }
    let top = cells.iter().map(|c| c.2).fold(f64::NEG_INFINITY, f64::max);
    let total: f64 = cells.iter().map(|c| (c.2 - top).exp()).sum();
    let heavy: Vec<(f64, f64, f64)> = cells
        .into_iter()
        .map(|(mu, s, l)| (mu, s, (l - top).exp() / total))
        .filter(|c| c.2 > 1e-13)
        .collect();
    figures.iter().map(|f| heavy.iter().map(|(mu, s, w)| w * f(*mu, *s)).sum()).collect()
}

#[test]
fn the_default_model() {
    let counts = [(20u32, 2u32), (15, 1), (30, 9), (12, 3)];
    let grid: Vec<(f64, f64)> = normal_grid();
    let log_likelihood = |mu: f64, s: f64| -> f64 {
        let one = |&(n, r): &(u32, u32)| {
            let value = |z: f64| {
                let p = logistic(mu + s * z);
                p.powi(r as i32) * (1.0 - p).powi((n - r) as i32)
            };
            grid.iter().map(|(z, w)| w * value(*z)).sum::<f64>().ln()
        };
        let p = logistic(mu);
        counts.iter().map(one).sum::<f64>() + (p * (1.0 - p)).ln()
    };
    let average = |mu: f64, s: f64| grid.iter().map(|(z, w)| w * logistic(mu + s * z)).sum::<f64>();
    let none_of_ten =
        |mu: f64, s: f64| grid.iter().map(|(z, w)| w * (1.0 - logistic(mu + s * z)).powi(10)).sum::<f64>();
    let want =
        dense(-120..=80, 1.0, log_likelihood, &[&|mu, _| mu, &|mu, _| mu * mu, &average, &none_of_ten]);

    let growers: Vec<Grower> =
        counts.iter().map(|&(n, r)| Grower::new(vec![Count { started: n, succeeded: r }], 1.0)).collect();
    let options = Options { levels: Levels::Two, ..Options::default() };
    let fit = rate::fit(&growers, &options).expect("the counts are possible");
    let s = fit.summary();
    let got =
        [s.mu_mean, s.mu_mean.powi(2) + s.mu_sd.powi(2), s.average_grower_rate_mean, fit.predictive(10)[0]];
    for (k, (got, want)) in got.iter().zip(&want).enumerate() {
        assert!((got - want).abs() < 1e-6 * (1.0 + want.abs()), "figure {k}: {got} against {want}");
    }
}

/// ln n! by summing.
fn ln_factorial(n: u32) -> f64 {
    (2..=n).map(|k| f64::from(k).ln()).sum()
}

fn ln_choose(n: u32, r: u32) -> f64 {
    ln_factorial(n) - ln_factorial(r) - ln_factorial(n - r)
}

/// A table's successes in the first arm, and the log weights of all possible numbers of them.
struct Margins {
    seen: usize,
    log_weights: Vec<f64>,
}

impl Margins {
    fn of(&(a, n1, c, n2): &(u32, u32, u32, u32)) -> Self {
        let total = a + c;
        let least = total.saturating_sub(n2);
        let weight = |x: u32| ln_choose(n1, x) + ln_choose(n2, total - x);
        Self { seen: (a - least) as usize, log_weights: (least..=total.min(n1)).map(weight).collect() }
    }

    /// Chance of what was seen given both margins, at log odds ratio `psi`.
    fn chance(&self, psi: f64) -> f64 {
        let weights: Vec<f64> =
            self.log_weights.iter().enumerate().map(|(k, w)| (w + k as f64 * psi).exp()).collect();
        weights[self.seen] / weights.iter().sum::<f64>()
    }
}

#[test]
fn the_pairwise_model() {
    let tables = [(3u32, 20u32, 0u32, 20u32), (5, 20, 2, 20), (8, 25, 3, 25)];
    let margins: Vec<Margins> = tables.iter().map(Margins::of).collect();
    let grid: Vec<(f64, f64)> = normal_grid().into_iter().step_by(2).collect();
    let total: f64 = grid.iter().map(|g| g.1).sum();
    let log_posterior = |d: f64, tau: f64| -> f64 {
        let one = |table: &Margins| {
            let mean: f64 = grid.iter().map(|(z, w)| w * table.chance(d + tau * z)).sum();
            (mean / total).ln()
        };
        margins.iter().map(one).sum::<f64>() - 0.5 * (d / 2.82).powi(2)
    };
    let want = dense(-60..=90, 0.5, log_posterior, &[&|d, _| d, &|d, _| d * d]);

    let count = |n, r| Count { started: n, succeeded: r };
    let pair = |&(a, n1, c, n2): &(u32, u32, u32, u32)| Pair { first: count(n1, a), second: count(n2, c) };
    let pairs: Vec<Pair> = tables.iter().map(pair).collect();
    let fit = contrast::conditional(&pairs, &contrast::Options::default()).expect("the counts are possible");
    let got = [fit.log_or_mean, fit.log_or_mean.powi(2) + fit.log_or_sd.powi(2)];
    for (k, (got, want)) in got.iter().zip(&want).enumerate() {
        assert!((got - want).abs() < 1e-6 * (1.0 + want.abs()), "figure {k}: {got} against {want}");
    }
}
