//! Figures by the rule that the reference's own program follows where that rule is coarser than its tolerance.
//!
//! `bn_summary()` takes mu from -20 to 12 in steps of 0.05 and cumulates by the trapezoid rule, which is off by
//! step²/12 times the slope of the density and cuts the tail beyond 12; its quantiles of the spread are shifted by one
//! cell of a table of 20,000. Our own figures carry none of this; the checks ask for the program's, so they are made
//! here from our posterior densities. All other figures are compared as the crate reports them.

use propagule_analysis::rate::RateFit;
use serde_json::json;

use super::{Got, numbers, rate};

const LEVELS: [f64; 3] = [0.025, 0.5, 0.975];
const MU_STEP: f64 = 0.05;
/// Largest of 60 Gauss-Legendre nodes on (0, 6.5), per unit of the prior's scale.
const LAST_SPREAD: f64 = 6.5 * (1.0 + 0.999_210_122_9) / 2.0;

/// The crate's summary, with the four figures of the program's own rule.
pub(crate) fn summary(fit: &RateFit, prior_scale: f64) -> Result<Got, String> {
    let mut values = rate::summary(fit)?;
    let mus: Vec<f64> = (0..=640).map(|k| -20.0 + f64::from(k) * MU_STEP).collect();
    let density: Vec<f64> = mus.iter().map(|mu| fit.centre_density(*mu)).collect();
    let total: f64 = density.iter().sum();
    let masses: Vec<f64> = density.iter().map(|d| d / total).collect();
    let mean: f64 = mus.iter().zip(&masses).map(|(mu, m)| mu * m).sum();
    let square: f64 = mus.iter().zip(&masses).map(|(mu, m)| mu * mu * m).sum();
    values.insert("mu_mean".to_owned(), json!(mean));
    values.insert("mu_sd".to_owned(), json!((square - mean * mean).sqrt()));
    values.insert("mu_q".to_owned(), numbers(LEVELS.map(|p| centre_quantile(&mus, &masses, p))));
    values.insert("tau_q".to_owned(), numbers(spread_quantiles(fit, prior_scale)));
    Ok(values)
}

/// Inverse of the cumulated trapezoid rule, by cubic Hermite interpolation between lattice points.
fn centre_quantile(mus: &[f64], masses: &[f64], p: f64) -> f64 {
    let mut sum = 0.0;
    let cumulated: Vec<f64> = masses
        .iter()
        .map(|m| {
            sum += m;
            sum - m / 2.0
        })
        .collect();
    let cell = cumulated.partition_point(|c| *c < p).clamp(2, mus.len() - 2) - 1;
    let slope = |k: usize| (cumulated[k + 1] - cumulated[k - 1]) / 2.0;
    let value = |t: f64| {
        let (a, b, u) = (cumulated[cell], cumulated[cell + 1], 1.0 - t);
        a * (1.0 + 2.0 * t) * u * u + b * (3.0 - 2.0 * t) * t * t + slope(cell) * t * u * u
            - slope(cell + 1) * t * t * u
    };
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..60 {
        let middle = 0.5 * (low + high);
        if value(middle) < p { low = middle } else { high = middle }
    }
    mus[cell] + low * MU_STEP
}

/// Quantiles from a table of 20,001 points whose first cell is counted although it lies below zero.
fn spread_quantiles(fit: &RateFit, prior_scale: f64) -> [f64; 3] {
    let width = LAST_SPREAD * prior_scale / 20_000.0;
    let density: Vec<f64> =
        (0..=20_000).map(|k| fit.grower_spread_density(f64::from(k) * width).max(0.0)).collect();
    let (mut sum, mut before) = (0.0, density[0]);
    let cumulated: Vec<f64> = density
        .iter()
        .map(|d| {
            sum += (d + before) / 2.0;
            before = *d;
            sum
        })
        .collect();
    LEVELS.map(|p| {
        let above = cumulated.partition_point(|c| *c < p * sum).max(1);
        let (a, b) = (cumulated[above - 1], cumulated[above]);
        (above as f64 - (b - p * sum) / (b - a)) * width
    })
}
