//! Estimators of the variance between units in a normal model with a design matrix.

use super::Effect;
use super::fit::MetaError;
use crate::matrix::Matrix;

/// Estimator of tau², the variance between units (Veroniki et al. 2016, Res Synth Methods 7:55).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum TauMethod {
    /// Common effect: tau² = 0.
    Common,
    /// `DerSimonian` & Laird 1986.
    DerSimonianLaird,
    /// Hedges & Olkin 1985: unweighted moments.
    Hedges,
    /// Hunter & Schmidt 1990.
    HunterSchmidt,
    /// Sidik & Jonkman 2005.
    SidikJonkman,
    /// Maximum likelihood.
    MaximumLikelihood,
    /// Restricted maximum likelihood.
    Restricted,
    /// Empirical Bayes (Morris 1983).
    EmpiricalBayes,
    /// Paule & Mandel 1982.
    PauleMandel,
}

/// Estimates, design and weighted projections.
pub(super) struct Problem<'a> {
    pub(super) effects: &'a [Effect],
    pub(super) design: &'a Matrix,
}

/// Weighted least squares at one tau².
pub(super) struct Weighted {
    pub(super) weights: Vec<f64>,
    pub(super) beta: Vec<f64>,
    /// (X'WX)^-1.
    pub(super) covariance: Matrix,
    pub(super) residuals: Vec<f64>,
}

impl Weighted {
    /// y'Py: the weighted sum of squared residuals.
    pub(super) fn sum_of_squares(&self) -> f64 {
        self.weights.iter().zip(&self.residuals).map(|(w, e)| w * e * e).sum()
    }
}

impl Problem<'_> {
    pub(super) fn units(&self) -> f64 {
        self.effects.len() as f64
    }

    /// Units less columns.
    pub(super) fn freedom(&self) -> f64 {
        self.units() - self.design.columns as f64
    }

    pub(super) fn at(&self, tau2: f64) -> Result<Weighted, MetaError> {
        self.weighted(self.effects.iter().map(|e| 1.0 / (e.variance + tau2)).collect())
    }

    pub(super) fn weighted(&self, weights: Vec<f64>) -> Result<Weighted, MetaError> {
        let p = self.design.columns;
        let cross = |i: usize, j: usize| -> f64 {
            weights.iter().enumerate().map(|(k, w)| w * self.design[(k, i)] * self.design[(k, j)]).sum()
        };
        let covariance = Matrix::from_fn(p, p, cross).inverse().ok_or(MetaError::Singular)?;
        let right: Vec<f64> = (0..p)
            .map(|i| {
                let terms = weights.iter().zip(self.effects).enumerate();
                terms.map(|(k, (w, e))| w * self.design[(k, i)] * e.estimate).sum()
            })
            .collect();
        let beta = covariance.times_vector(&right);
        let fitted = self.design.times_vector(&beta);
        let residuals = self.effects.iter().zip(fitted).map(|(e, f)| e.estimate - f).collect();
        Ok(Weighted { weights, beta, covariance, residuals })
    }

    /// Trace of P = W - WX(X'WX)^-1 X'W, and of PP.
    fn traces(&self, fit: &Weighted) -> (f64, f64) {
        let p = self.design.columns;
        let moment = |power: i32| {
            Matrix::from_fn(p, p, |i, j| {
                let terms = fit.weights.iter().enumerate();
                terms.map(|(k, w)| w.powi(power) * self.design[(k, i)] * self.design[(k, j)]).sum()
            })
        };
        let (second, third) = (fit.covariance.times(&moment(2)), fit.covariance.times(&moment(3)));
        let sum = |power: i32| fit.weights.iter().map(|w| w.powi(power)).sum::<f64>();
        let trace = sum(1) - second.trace();
        (trace, sum(2) - 2.0 * third.trace() + second.times(&second).trace())
    }

    pub(super) fn trace_of_projection(&self, fit: &Weighted) -> f64 {
        self.traces(fit).0
    }

    /// The estimate of tau² by `method`; iterations stop at steps below `threshold`.
    pub(super) fn tau2(&self, method: TauMethod, threshold: f64) -> Result<f64, MetaError> {
        let value = match method {
            TauMethod::Common => 0.0,
            TauMethod::DerSimonianLaird => {
                let fit = self.at(0.0)?;
                (fit.sum_of_squares() - self.freedom()) / self.trace_of_projection(&fit)
            }
            TauMethod::Hedges => self.hedges()?,
            TauMethod::HunterSchmidt => {
                let fit = self.at(0.0)?;
                (fit.sum_of_squares() - self.units()) / fit.weights.iter().sum::<f64>()
            }
            TauMethod::SidikJonkman => {
                let start = self.crude_variance();
                start * self.at(start)?.sum_of_squares() / self.freedom()
            }
            TauMethod::PauleMandel => self.profile_root(self.freedom())?,
            TauMethod::MaximumLikelihood | TauMethod::Restricted | TauMethod::EmpiricalBayes => {
                self.scoring(method, threshold)?
            }
        };
        Ok(value.max(0.0))
    }

    /// Variance of the estimates, with divisor k.
    fn crude_variance(&self) -> f64 {
        let mean = self.effects.iter().map(|e| e.estimate).sum::<f64>() / self.units();
        self.effects.iter().map(|e| (e.estimate - mean).powi(2)).sum::<f64>() / self.units()
    }

    fn hedges(&self) -> Result<f64, MetaError> {
        let fit = self.weighted(vec![1.0; self.effects.len()])?;
        let trace: f64 = self
            .effects
            .iter()
            .enumerate()
            .map(|(k, e)| {
                let row = self.design.row(k);
                let half = fit.covariance.times_vector(row);
                let leverage: f64 = row.iter().zip(half).map(|(a, b)| a * b).sum();
                e.variance * (1.0 - leverage)
            })
            .sum();
        Ok((fit.sum_of_squares() - trace) / self.freedom())
    }

    /// The tau² at which the generalised Q equals `target`; 0 when it lies below already at 0.
    pub(super) fn profile_root(&self, target: f64) -> Result<f64, MetaError> {
        if self.at(0.0)?.sum_of_squares() <= target {
            return Ok(0.0);
        }
        let (mut low, mut high) = (0.0, self.crude_variance().max(1e-8));
        while self.at(high)?.sum_of_squares() > target && high < 1e12 {
            low = high;
            high *= 2.0;
        }
        for _ in 0..200 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if self.at(middle)?.sum_of_squares() > target { low = middle } else { high = middle }
        }
        Ok(0.5 * (low + high))
    }

    /// Fisher scoring from Hedges' estimate; steps below zero are halved.
    fn scoring(&self, method: TauMethod, threshold: f64) -> Result<f64, MetaError> {
        let mut tau2 = self.hedges()?.max(0.0);
        for _ in 0..5_000 {
            let mut step = self.score_step(method, tau2)?;
            while tau2 + step < 0.0 && step.abs() > 1e-14 {
                step *= 0.5;
            }
            tau2 = (tau2 + step).max(0.0);
            if step.abs() < threshold {
                return Ok(if tau2 < 1e-10 { 0.0 } else { tau2 });
            }
        }
        Err(MetaError::NotConverged)
    }

    fn score_step(&self, method: TauMethod, tau2: f64) -> Result<f64, MetaError> {
        let fit = self.at(tau2)?;
        let sum = |power: i32| fit.weights.iter().map(|w| w.powi(power)).sum::<f64>();
        // y'PPy, since Py holds the weighted residuals.
        let squares: f64 = fit.weights.iter().zip(&fit.residuals).map(|(w, e)| (w * e).powi(2)).sum();
        Ok(match method {
            TauMethod::MaximumLikelihood => (squares - sum(1)) / sum(2),
            TauMethod::Restricted => {
                let (trace, trace_of_square) = self.traces(&fit);
                (squares - trace) / trace_of_square
            }
            _ => (fit.sum_of_squares() * self.units() / self.freedom() - self.units()) / sum(1),
        })
    }
}
