//! Inside one trial: do pots or plates of one treatment differ more than chance?

use statrs::function::beta::ln_beta;

use crate::Count;
use crate::binomial::ln_choose;
use crate::chi_squared::chi_squared_above;
use crate::glm::logistic_regression;
use crate::logit::{logistic, logit};
use crate::optimise::minimise;

/// Pearson's test of equal rates over replicates.
#[derive(Clone, Copy, Debug)]
pub struct Dispersion {
    /// Replicates.
    pub replicates: usize,
    /// Rate of all pieces together.
    pub pooled: f64,
    /// Pearson's X².
    pub pearson: f64,
    /// Replicates less one.
    pub df: f64,
    /// X² / df: 1 without overdispersion.
    pub phi: f64,
    /// P(chi² at least as large).
    pub p: f64,
    /// Deviance.
    pub deviance: f64,
    /// Intraclass correlation by analysis of variance.
    pub icc: f64,
}

/// Overdispersion over replicates; `None` when nothing or everything succeeded or there is one replicate only.
///
/// ```
/// use propagule_analysis::{Count, overdispersion};
///
/// let pot = |succeeded| Count { started: 10, succeeded };
/// // Expected 5 in each: X² = 4 × (3² / 5 + 3² / 5) = 14.4 on 3 degrees of freedom.
/// let found = overdispersion::dispersion(&[pot(8), pot(2), pot(8), pot(2)]).expect("some succeeded, some did not");
/// assert!((found.pearson - 14.4).abs() < 1e-9 && (found.phi - 4.8).abs() < 1e-9);
/// ```
pub fn dispersion(replicates: &[Count]) -> Option<Dispersion> {
    let parts: Vec<(f64, f64)> =
        replicates.iter().map(|c| (f64::from(c.succeeded), f64::from(c.started))).collect();
    let (r, n) = parts.iter().fold((0.0, 0.0), |(r, n), (x, m)| (r + x, n + m));
    let (pooled, df) = (r / n, parts.len() as f64 - 1.0);
    if !(pooled > 0.0 && pooled < 1.0) || df < 1.0 {
        return None;
    }
    let pearson = parts.iter().map(|(x, m)| (x - m * pooled).powi(2) / (m * pooled * (1.0 - pooled))).sum();
    let term = |x: f64, expected: f64| if x == 0.0 { 0.0 } else { x * (x / expected).ln() };
    let deviance =
        2.0 * parts.iter().map(|(x, m)| term(*x, m * pooled) + term(m - x, m * (1.0 - pooled))).sum::<f64>();
    Some(Dispersion {
        replicates: parts.len(),
        pooled,
        pearson,
        df,
        phi: pearson / df,
        p: chi_squared_above(pearson, df),
        deviance,
        icc: intraclass_correlation(&parts, pooled, n),
    })
}

/// Analysis-of-variance estimator (Ridout, Demétrio & Firth 1999, Biometrics 55:137).
fn intraclass_correlation(parts: &[(f64, f64)], pooled: f64, n: f64) -> f64 {
    let k = parts.len() as f64;
    let between = parts.iter().map(|(x, m)| m * (x / m - pooled).powi(2)).sum::<f64>() / (k - 1.0);
    let within = parts.iter().map(|(x, m)| x * (1.0 - x / m)).sum::<f64>() / (n - k);
    let size = (n - parts.iter().map(|(_, m)| m * m).sum::<f64>() / n) / (k - 1.0);
    (between - within) / (between + (size - 1.0) * within)
}

/// Beta-binomial law fitted to replicates.
#[derive(Clone, Copy, Debug)]
pub struct BetaBinomial {
    /// Mean rate.
    pub mu: f64,
    /// Correlation of two pieces of one replicate.
    pub rho: f64,
    /// Log likelihood.
    pub log_likelihood: f64,
    /// Log likelihood of the plain binomial.
    pub log_likelihood_binomial: f64,
}

/// Maximum likelihood; `None` when nothing or everything succeeded, where no maximum exists.
///
/// ```
/// use propagule_analysis::{Count, overdispersion};
///
/// let pot = |succeeded| Count { started: 10, succeeded };
/// let fit = overdispersion::beta_binomial(&[pot(8), pot(2), pot(9), pot(1)]).expect("a maximum");
/// assert!((fit.mu - 0.5).abs() < 1e-3 && fit.rho > 0.1 && fit.log_likelihood > fit.log_likelihood_binomial);
/// ```
pub fn beta_binomial(replicates: &[Count]) -> Option<BetaBinomial> {
    let parts: Vec<(f64, f64)> =
        replicates.iter().map(|c| (f64::from(c.succeeded), f64::from(c.started))).collect();
    let (r, n) = parts.iter().fold((0.0, 0.0), |(r, n), (x, m)| (r + x, n + m));
    if r <= 0.0 || r >= n {
        return None;
    }
    let choose: f64 = parts.iter().map(|(x, m)| ln_choose(*m, *x)).sum();
    let mut deviance = |at: &[f64]| {
        let (mu, rho) = (logistic(at[0]), logistic(at[1]));
        let size = 1.0 / rho - 1.0;
        let (a, b) = (mu * size, (1.0 - mu) * size);
        -choose - parts.iter().map(|(x, m)| ln_beta(x + a, m - x + b) - ln_beta(a, b)).sum::<f64>()
    };
    let starts = [-4.0, -2.0, 0.0].map(|rho| minimise(&mut deviance, &[logit(r / n), rho]));
    let best = starts.into_iter().min_by(|a, b| a.value.total_cmp(&b.value)).expect("three starts");
    let p = r / n;
    Some(BetaBinomial {
        mu: logistic(best.point[0]),
        rho: logistic(best.point[1]),
        log_likelihood: -best.value,
        log_likelihood_binomial: choose + r * p.ln() + (n - r) * (1.0 - p).ln(),
    })
}

/// A logistic regression with standard errors scaled by the dispersion (`McCullagh` & Nelder 1989, section 4.5).
#[derive(Clone, Debug)]
pub struct QuasiBinomial {
    /// Coefficients on the logit scale.
    pub beta: Vec<f64>,
    /// Standard errors as if pieces were independent.
    pub se_binomial: Vec<f64>,
    /// Standard errors times the root of `phi`.
    pub se_quasi: Vec<f64>,
    /// Pearson's X² of the residuals.
    pub pearson: f64,
    /// Rows less coefficients.
    pub df: f64,
    /// X² / df.
    pub phi: f64,
}

/// Fits counts on `columns` (one row a count, the intercept included); `None` when the columns depend on each other.
pub fn quasi_binomial(counts: &[Count], columns: &[Vec<f64>]) -> Option<QuasiBinomial> {
    let rows: Vec<(f64, f64, Vec<f64>)> = counts
        .iter()
        .zip(columns)
        .map(|(c, x)| (f64::from(c.succeeded), f64::from(c.started), x.clone()))
        .collect();
    let fit = logistic_regression(&rows)?;
    let residual = |(r, n, x): &(f64, f64, Vec<f64>)| {
        let p = logistic(x.iter().zip(&fit.beta).map(|(a, b)| a * b).sum());
        (r - n * p).powi(2) / (n * p * (1.0 - p))
    };
    let pearson: f64 = rows.iter().map(residual).sum();
    let df = rows.len() as f64 - fit.beta.len() as f64;
    let phi = pearson / df;
    let se_binomial: Vec<f64> = (0..fit.beta.len()).map(|k| fit.covariance[(k, k)].sqrt()).collect();
    let se_quasi = se_binomial.iter().map(|se| se * phi.sqrt()).collect();
    Some(QuasiBinomial { beta: fit.beta, se_binomial, se_quasi, pearson, df, phi })
}
