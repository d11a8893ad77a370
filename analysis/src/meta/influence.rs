//! What each unit does to a pooled estimate.

use super::{Effect, Fit, MetaError, TauMethod, fit};

/// Case diagnostics of one unit in a pooled estimate (Viechtbauer & Cheung 2010, Res Synth Methods 1:112).
#[derive(Clone, Copy, Debug)]
pub struct Influence {
    /// Externally studentised residual.
    pub studentised_residual: f64,
    /// Standardised change of the fitted value.
    pub dffits: f64,
    /// Cook's distance.
    pub cook: f64,
    /// Variance of the estimate without the unit over that with it.
    pub covariance_ratio: f64,
    /// Leverage.
    pub hat: f64,
    /// Weight, per cent.
    pub weight_percent: f64,
    /// Standardised change of the estimate.
    pub dfbeta: f64,
}

/// The fits without each unit in turn, in the order of `effects`.
///
/// # Errors
/// [`MetaError`] as for [`fit`].
pub fn leave_one_out(effects: &[Effect], method: TauMethod) -> Result<Vec<Fit>, MetaError> {
    (0..effects.len())
        .map(|left_out| {
            let mut rest = effects.to_vec();
            rest.remove(left_out);
            fit(&rest, method)
        })
        .collect()
}

/// Case diagnostics of all units, in their order (Viechtbauer & Cheung 2010, Res Synth Methods 1:112).
///
/// # Errors
/// [`MetaError`] as for [`fit`].
pub fn influence(effects: &[Effect], method: TauMethod) -> Result<Vec<Influence>, MetaError> {
    let all = fit(effects, method)?;
    let weights: Vec<f64> = effects.iter().map(|e| 1.0 / (e.variance + all.tau2)).collect();
    let total: f64 = weights.iter().sum();
    let without = leave_one_out(effects, method)?;
    Ok(effects
        .iter()
        .zip(&weights)
        .zip(&without)
        .map(|((effect, weight), rest)| {
            let change = all.estimate() - rest.estimate();
            // Spread of the estimate with all units at the tau² found without this one.
            let se_at =
                |tau2: f64| effects.iter().map(|e| 1.0 / (e.variance + tau2)).sum::<f64>().recip().sqrt();
            let own = effect.variance + rest.tau2;
            let hat = weight / total;
            Influence {
                studentised_residual: (effect.estimate - rest.estimate()) / own.sqrt().hypot(rest.se[0]),
                dffits: change / (hat * own).sqrt(),
                cook: (change / all.se[0]).powi(2),
                covariance_ratio: (rest.se[0] / all.se[0]).powi(2),
                hat,
                weight_percent: 100.0 * hat,
                dfbeta: change / se_at(rest.tau2),
            }
        })
        .collect())
}
