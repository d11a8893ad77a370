//! Pooled estimate or regression in the normal model.

use statrs::distribution::{ChiSquared, ContinuousCDF, FisherSnedecor, StudentsT};

use super::Effect;
use super::tau::{Problem, TauMethod};
use crate::chi_squared::chi_squared_above;
use crate::matrix::Matrix;
use crate::normal;

/// Why a normal model cannot be fitted.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum MetaError {
    /// Fewer estimates than coefficients, or columns that depend on each other.
    #[error("the design cannot be estimated from these units")]
    Singular,
    /// An estimate or variance that is not finite, or a variance that is not above zero.
    #[error("unit {0}: the estimate is not finite or has no variance")]
    Effect(usize),
    /// The scoring iteration did not settle.
    #[error("the variance between units did not converge")]
    NotConverged,
}

/// Standard errors rescaled by the observed spread, with t quantiles (Knapp & Hartung 2003, Stat Med 22:2693).
#[derive(Clone, Debug)]
pub struct KnappHartung {
    /// Standard errors of the coefficients.
    pub se: Vec<f64>,
    /// 95 % interval of the first coefficient.
    pub interval: (f64, f64),
    /// F statistic of all coefficients but the first, and its p value.
    pub f: f64,
    /// p value of `f`.
    pub p: f64,
}

/// A fitted normal model.
#[derive(Clone, Debug)]
pub struct Fit {
    /// Number of units.
    pub units: usize,
    /// Coefficients; the first is the pooled estimate when there is no moderator.
    pub beta: Vec<f64>,
    /// Their standard errors.
    pub se: Vec<f64>,
    /// Variance between units.
    pub tau2: f64,
    /// Residual heterogeneity statistic at tau² = 0.
    pub q: f64,
    /// Its degrees of freedom.
    pub q_df: f64,
    /// Its p value.
    pub q_p: f64,
    /// Share of the variance that is between units, per cent (Higgins & Thompson 2002, Stat Med 21:1539).
    pub i2: f64,
    /// Total over sampling variance.
    pub h2: f64,
    /// Wald statistic of all coefficients but the first.
    pub moderator_q: f64,
    /// Its p value.
    pub moderator_p: f64,
    typical_variance: f64,
    residual_scale: f64,
    covariance: Matrix,
    effects: Vec<Effect>,
    design: Matrix,
}

/// Pools estimates without moderators.
///
/// # Errors
/// [`MetaError`] for no units, estimates that are not finite, or an iteration that does not settle.
///
/// ```
/// use propagule_analysis::meta::{self, Effect, TauMethod};
///
/// let effects = [(0.0, 1.0), (1.0, 1.0), (2.0, 1.0)].map(|(estimate, variance)| Effect { estimate, variance });
/// let fit = meta::fit(&effects, TauMethod::DerSimonianLaird)?;
/// // Q = 2 on 2 degrees of freedom: no spread beyond chance, and the standard error of a mean of three.
/// assert!((fit.q - 2.0).abs() < 1e-12 && fit.tau2 == 0.0);
/// assert!((fit.estimate() - 1.0).abs() < 1e-12 && (fit.se[0] - (1.0f64 / 3.0).sqrt()).abs() < 1e-12);
/// # Ok::<(), meta::MetaError>(())
/// ```
pub fn fit(effects: &[Effect], method: TauMethod) -> Result<Fit, MetaError> {
    regress(effects, &vec![Vec::new(); effects.len()], method)
}

/// As [`fit`], with an iteration that stops once tau² changes by less than `threshold`; some programs stop early.
///
/// # Errors
/// [`MetaError`] as for [`fit`].
pub fn fit_until(effects: &[Effect], method: TauMethod, threshold: f64) -> Result<Fit, MetaError> {
    let design = Matrix::from_fn(effects.len(), 1, |_, _| 1.0);
    Fit::new(effects.to_vec(), design, method, threshold)
}

/// Smallest change of tau² that the scoring iteration goes on for.
const SETTLED: f64 = 1e-12;

/// Regression on moderators: one row of values a unit, an intercept is put in front.
///
/// # Errors
/// As [`fit`], and [`MetaError::Singular`] for moderators that depend on each other.
pub fn regress(effects: &[Effect], moderators: &[Vec<f64>], method: TauMethod) -> Result<Fit, MetaError> {
    let good = |e: &Effect| e.estimate.is_finite() && e.variance.is_finite() && e.variance > 0.0;
    if let Some(bad) = effects.iter().position(|e| !good(e)) {
        return Err(MetaError::Effect(bad));
    }
    let columns = 1 + moderators.first().map_or(0, Vec::len);
    if effects.len() < columns || moderators.iter().any(|row| row.len() + 1 != columns) {
        return Err(MetaError::Singular);
    }
    let design =
        Matrix::from_fn(effects.len(), columns, |i, j| if j == 0 { 1.0 } else { moderators[i][j - 1] });
    Fit::new(effects.to_vec(), design, method, SETTLED)
}

impl Fit {
    fn new(
        effects: Vec<Effect>,
        design: Matrix,
        method: TauMethod,
        threshold: f64,
    ) -> Result<Self, MetaError> {
        let problem = Problem { effects: &effects, design: &design };
        let tau2 = problem.tau2(method, threshold)?;
        let (common, weighted) = (problem.at(0.0)?, problem.at(tau2)?);
        let (q, q_df) = (common.sum_of_squares(), problem.freedom());
        let typical_variance = q_df / problem.trace_of_projection(&common);
        let (i2, h2) = match method {
            TauMethod::Common => ((100.0 * (q - q_df) / q).max(0.0), q / q_df),
            _ => (100.0 * tau2 / (typical_variance + tau2), tau2 / typical_variance + 1.0),
        };
        let moderator_q = wald(&weighted.beta, &weighted.covariance);
        let moderators = design.columns as f64 - 1.0;
        Ok(Self {
            units: effects.len(),
            se: (0..design.columns).map(|j| weighted.covariance[(j, j)].sqrt()).collect(),
            residual_scale: weighted.sum_of_squares() / q_df,
            beta: weighted.beta,
            tau2,
            q,
            q_df,
            q_p: chi_squared_above(q, q_df),
            i2,
            h2,
            moderator_q,
            moderator_p: chi_squared_above(moderator_q, moderators),
            typical_variance,
            covariance: weighted.covariance,
            effects,
            design,
        })
    }

    /// The pooled estimate, or the intercept.
    pub fn estimate(&self) -> f64 {
        self.beta[0]
    }

    /// 95 % Wald interval of the first coefficient.
    pub fn wald(&self) -> (f64, f64) {
        around(self.beta[0], normal::quantile(0.975) * self.se[0])
    }

    /// Knapp–Hartung standard errors; with `never_narrower` they are at least the Wald ones (Röver et al. 2015, BMC
    /// Med Res Methodol 15:99).
    pub fn knapp_hartung(&self, never_narrower: bool) -> KnappHartung {
        let scale = if never_narrower { self.residual_scale.max(1.0) } else { self.residual_scale };
        let se: Vec<f64> = self.se.iter().map(|se| se * scale.sqrt()).collect();
        let moderators = self.beta.len() as f64 - 1.0;
        let f = self.moderator_q / scale / moderators.max(1.0);
        KnappHartung {
            interval: around(self.beta[0], t_quantile(self.q_df) * se[0]),
            p: f_above(f, moderators, self.q_df),
            f,
            se,
        }
    }

    /// 95 % range of a new unit with the normal quantile.
    pub fn prediction_z(&self) -> (f64, f64) {
        around(self.beta[0], normal::quantile(0.975) * self.se[0].hypot(self.tau2.sqrt()))
    }

    /// 95 % range of a new unit with Knapp–Hartung's standard error and t with k - 1 degrees of freedom.
    pub fn prediction_knapp_hartung(&self) -> (f64, f64) {
        let se = self.knapp_hartung(false).se[0];
        around(self.beta[0], t_quantile(self.q_df) * se.hypot(self.tau2.sqrt()))
    }

    /// 95 % range of a new unit with t on k - 2 degrees of freedom (Higgins, Thompson & Spiegelhalter 2009, JRSS A 172:137);
    /// `None` below three units.
    pub fn prediction_higgins(&self) -> Option<(f64, f64)> {
        let half = || t_quantile(self.q_df - 1.0) * self.se[0].hypot(self.tau2.sqrt());
        (self.units > 2).then(|| around(self.beta[0], half()))
    }

    /// 95 % limits of tau² by the Q profile (Viechtbauer 2007, Stat Med 26:37), searched up to `most`.
    ///
    /// # Errors
    /// [`MetaError`] when a weighted fit is singular.
    pub fn tau2_q_profile(&self, most: f64) -> Result<(f64, f64), MetaError> {
        let problem = Problem { effects: &self.effects, design: &self.design };
        let chi = ChiSquared::new(self.q_df).map_err(|_| MetaError::Singular)?;
        let low = problem.profile_root(chi.inverse_cdf(0.975))?;
        let high = problem.profile_root(chi.inverse_cdf(0.025))?;
        Ok((low.min(most), high.min(most)))
    }

    /// Weighted sum of squared residuals at a given tau²; at the Paule–Mandel estimate it equals `q_df`.
    ///
    /// # Errors
    /// [`MetaError`] when the weighted fit is singular.
    pub fn generalised_q(&self, tau2: f64) -> Result<f64, MetaError> {
        let problem = Problem { effects: &self.effects, design: &self.design };
        Ok(problem.at(tau2)?.sum_of_squares())
    }

    /// I² that belongs to a tau², per cent.
    pub fn i2_at(&self, tau2: f64) -> f64 {
        100.0 * tau2 / (self.typical_variance + tau2)
    }

    /// Share of the variance between units that moderators take away, per cent; `None` when there is none to take.
    pub fn r2(&self, without_moderators: &Self) -> Option<f64> {
        let all = without_moderators.tau2;
        (all > 0.0).then(|| (100.0 * (all - self.tau2) / all).max(0.0))
    }

    /// Covariance of two coefficients.
    pub fn covariance(&self, i: usize, j: usize) -> f64 {
        self.covariance[(i, j)]
    }

    /// The estimates it was fitted to.
    pub fn effects(&self) -> &[Effect] {
        &self.effects
    }
}

fn around(centre: f64, half: f64) -> (f64, f64) {
    (centre - half, centre + half)
}

fn wald(beta: &[f64], covariance: &Matrix) -> f64 {
    let m = beta.len() - 1;
    let block = Matrix::from_fn(m, m, |i, j| covariance[(i + 1, j + 1)]);
    block.cholesky().map_or(0.0, |factor| {
        factor.solve_factored(&beta[1..]).iter().zip(&beta[1..]).map(|(a, b)| a * b).sum()
    })
}

/// Wald's statistic that all coefficients are zero, and its p value; `None` when their covariance is singular.
pub fn wald_statistic(beta: &[f64], covariance: &[Vec<f64>]) -> Option<(f64, f64)> {
    let n = beta.len();
    let factor = Matrix::from_fn(n, n, |i, j| covariance[i][j]).cholesky()?;
    let statistic = factor.solve_factored(beta).iter().zip(beta).map(|(a, b)| a * b).sum();
    Some((statistic, chi_squared_above(statistic, n as f64)))
}

/// Two-sided p value of a t statistic.
pub(crate) fn t_two_sided(t: f64, df: f64) -> f64 {
    StudentsT::new(0.0, 1.0, df).map_or(1.0, |law| 2.0 * law.sf(t.abs()))
}

/// Two-sided p value of a z statistic.
pub fn normal_p(z: f64) -> f64 {
    2.0 * normal::cdf(-z.abs())
}

fn t_quantile(df: f64) -> f64 {
    StudentsT::new(0.0, 1.0, df).map_or(f64::INFINITY, |t| t.inverse_cdf(0.975))
}

fn f_above(f: f64, df1: f64, df2: f64) -> f64 {
    FisherSnedecor::new(df1, df2).map_or(1.0, |law| law.sf(f.max(0.0)))
}
