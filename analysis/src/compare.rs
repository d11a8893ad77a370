//! One grower's result against growers in a similar climate.
//!
//! Each peer's marginal likelihood is raised to a weight that falls with climatic distance (a power prior: Ibrahim &
//! Chen 2000, Stat Sci 15:46); the grower's own trials are left out. The predictive law of the grower's own number of
//! pieces then says where the own count lies.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::rate::{self, RateFit};
use crate::{Count, CountError, FitError, Grower};

/// The fit of the weighted peers, and where the own count lies in their predictive law.
#[derive(Clone, Debug)]
pub struct Comparison {
    /// Fit of the peers with their weights.
    pub fit: RateFit,
    /// Kish's effective number of growers, (sum w)² / sum w²; 0 without peers.
    pub effective_sites_kish: f64,
    /// Sum of the weights.
    pub weight_total: f64,
    /// P(Y = 0..=n) for the own number of propagules.
    pub predictive: Vec<f64>,
    /// P(Y <= own).
    pub prob_at_most_own: f64,
    /// P(Y >= own).
    pub prob_at_least_own: f64,
    /// P(Y < own) + P(Y = own) / 2.
    pub mid_p_percentile: f64,
}

/// Compares `own` with `peers`, whose weights say how close they are (0..=1). The caller leaves all own trials out.
///
/// # Errors
/// [`FitError`] as for [`rate::fit`]; an impossible own count is reported at the position after the last peer.
///
/// ```
/// use propagule_analysis::{Count, Grower, compare, rate};
///
/// let peers = vec![Grower::new(vec![Count::new(30, 12)?], 1.0), Grower::new(vec![Count::new(25, 9)?], 0.6)];
/// let seen = compare::against(&peers, Count::new(20, 0)?, &rate::Options::default())?;
/// assert!(seen.mid_p_percentile < 0.1);
/// assert!((seen.effective_sites_kish - 1.6f64.powi(2) / 1.36).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
pub fn against(peers: &[Grower], own: Count, options: &rate::Options) -> Result<Comparison, FitError> {
    if !own.is_possible() {
        let source = CountError { started: own.started, succeeded: own.succeeded };
        return Err(FitError::Count { grower: peers.len(), source });
    }
    let fit = rate::fit(peers, options)?;
    let predictive = fit.predictive(own.started);
    let place = own.succeeded as usize;
    let below: f64 = predictive[..place].iter().sum();
    let weights = || peers.iter().map(|peer| peer.weight);
    Ok(Comparison {
        effective_sites_kish: kish(weights()),
        weight_total: weights().sum(),
        prob_at_most_own: below + predictive[place],
        prob_at_least_own: predictive[place..].iter().sum(),
        mid_p_percentile: below + 0.5 * predictive[place],
        predictive,
        fit,
    })
}

/// Kish's effective number, (sum w)² / sum w²; 0 when all weights are 0 (Kish 1965, Survey Sampling).
pub fn kish(weights: impl Iterator<Item = f64>) -> f64 {
    let (sum, squares) = weights.fold((0.0, 0.0), |(sum, squares), w| (sum + w, squares + w * w));
    if squares > 0.0 { sum * sum / squares } else { 0.0 }
}

/// Bandwidths of the climate kernel, fixed in advance.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KernelScales {
    /// Degrees Celsius of mean yearly temperature that count as one unit.
    pub temperature: f64,
    /// Difference in ln(yearly rain) that counts as one unit.
    pub log_rain: f64,
}

impl Default for KernelScales {
    /// 2 °C, and 0.3 in the logarithm of rain (a factor of 1.35).
    fn default() -> Self {
        Self { temperature: 2.0, log_rain: 0.3 }
    }
}

/// Weight of a site by temperature (°C) and yearly rain (mm): exp(-D²/2) with the *sum* of squared scaled differences.
pub fn site_weight(temp_a: f64, rain_a: f64, temp_b: f64, rain_b: f64, scales: KernelScales) -> f64 {
    let temperature = (temp_a - temp_b) / scales.temperature;
    let rain = (rain_a.max(1.0).ln() - rain_b.max(1.0).ln()) / scales.log_rain;
    (-0.5 * (temperature * temperature + rain * rain)).exp()
}

/// How alike two places are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(rename_all = "snake_case")]
pub enum Band {
    /// Distance below 0.75.
    Close,
    /// Below 1.5.
    Similar,
    /// Below 2.5.
    Loose,
    /// 2.5 and more, or nothing to compare by.
    Different,
}

/// Distance of two places, the weight that follows, and its name.
#[derive(Clone, Copy, Debug, PartialEq, Serialize)]
pub struct Closeness {
    /// Root of the *mean* of the squared scaled differences; infinite when no dimension is shared.
    pub distance: f64,
    /// exp(-distance²/2).
    pub weight: f64,
    /// Name of the distance.
    pub band: Band,
}

/// Closeness from differences already divided by their scales; dimensions that one side lacks are left out by the
/// caller.
///
/// ```
/// use propagule_analysis::compare::{Band, closeness};
///
/// let near = closeness(&[0.6, -0.8]);
/// assert!((near.distance - 0.5f64.sqrt()).abs() < 1e-12);
/// assert_eq!((near.band, closeness(&[]).band), (Band::Close, Band::Different));
/// ```
pub fn closeness(differences: &[f64]) -> Closeness {
    if differences.is_empty() {
        return Closeness { distance: f64::INFINITY, weight: 0.0, band: Band::Different };
    }
    let squares: f64 = differences.iter().map(|d| d * d).sum();
    let distance = (squares / differences.len() as f64).sqrt();
    Closeness { distance, weight: (-0.5 * distance * distance).exp(), band: band(distance) }
}

fn band(distance: f64) -> Band {
    match distance {
        d if d < 0.75 => Band::Close,
        d if d < 1.5 => Band::Similar,
        d if d < 2.5 => Band::Loose,
        _ => Band::Different,
    }
}
