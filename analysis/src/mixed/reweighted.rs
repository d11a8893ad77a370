//! Laplace's method as lme4's glmer carries it out, for holding figures against that program's.
//!
//! Its conditional modes come from iteratively reweighted least squares that stop once the penalised deviance changes by
//! less than one part in ten million, and the determinant it uses is that of the last step but one. That shows in the
//! third digit of standard errors, and in estimates when the likelihood is flat. [`super::fit_mixed`] goes on to the mode.

mod least_squares;

use super::{Group, MixedError, MixedFit, Observation, initial_fixed, no_maximum};
use crate::binomial::ln_choose;
use crate::logit::log_logistic_pair;
use crate::matrix::Matrix;
use crate::optimise::simplex;
use least_squares::{Part, fixed_effects};

/// Relative change of the penalised deviance at which the program stops, and its most iterations.
const TOLERANCE: f64 = 1e-7;
const MOST_STEPS: usize = 100;
/// Step of its second differences.
const DIFFERENCE: f64 = 1e-4;

/// Fits by the path of lme4's glmer (Bates et al. 2015, J Stat Softw 67:1): spreads alone first, then everything.
///
/// # Errors
/// [`MixedError`] when there is nothing to fit or no estimate exists.
pub fn fit_reweighted(groups: &[Group], spreads: usize) -> Result<MixedFit, MixedError> {
    no_maximum(groups)?;
    let columns = groups[0].observations[0].fixed.len();
    let mut model = Reweighted::new(groups, &initial_fixed(groups, columns));
    let first =
        simplex(&mut |sds: &[f64]| model.iterate(sds, None, columns).deviance, &vec![1.0; spreads], 0.3);
    let state = model.iterate(&first.point, None, columns);
    model.start = state.eta;
    let mut point = first.point;
    point.extend(state.beta);
    for size in [0.2, 0.02] {
        point = simplex(&mut |x: &[f64]| model.deviance(x, spreads), &point, size).point;
    }
    let se = standard_errors(&model, &point, spreads);
    let log_likelihood = -0.5 * model.deviance(&point, spreads);
    let (sds, beta) = point.split_at(spreads);
    Ok(MixedFit { beta: beta.to_vec(), se, spreads: sds.iter().map(|s| s.abs()).collect(), log_likelihood })
}

/// Log odds without random effects.
fn fixed_part(o: &Observation, beta: &[f64]) -> f64 {
    o.offset + o.fixed.iter().zip(beta).map(|(x, b)| x * b).sum::<f64>()
}

/// Data, and the log odds that every evaluation starts from.
struct Reweighted<'a> {
    groups: &'a [Group],
    start: Vec<Vec<f64>>,
    log_coefficient: f64,
    /// Log likelihood when every rate equals what was seen: deviances are measured from it.
    saturated: f64,
}

/// Where the iteration ended.
struct Ended {
    deviance: f64,
    beta: Vec<f64>,
    eta: Vec<Vec<f64>>,
}

/// One least squares solution.
struct Step {
    eta: Vec<Vec<f64>>,
    /// Standardised random effects.
    random: Vec<Vec<f64>>,
    log_determinant: f64,
    beta: Vec<f64>,
    /// Deviance and squared random effects together.
    penalised: f64,
}

impl<'a> Reweighted<'a> {
    fn new(groups: &'a [Group], beta: &[f64]) -> Self {
        let observations = || groups.iter().flat_map(|g| &g.observations);
        let log_coefficient: f64 = observations().map(|o| ln_choose(o.started, o.succeeded)).sum();
        let part = |k: f64, p: f64| if k > 0.0 { k * p.ln() } else { 0.0 };
        let best = observations().map(|o| {
            let p = o.succeeded / o.started;
            part(o.succeeded, p) + part(o.started - o.succeeded, 1.0 - p)
        });
        let start = groups.iter().map(|g| g.observations.iter().map(|o| fixed_part(o, beta)).collect());
        Self {
            groups,
            start: start.collect(),
            log_coefficient,
            saturated: log_coefficient + best.sum::<f64>(),
        }
    }

    fn log_likelihood(&self, eta: &[Vec<f64>]) -> f64 {
        let cells = self.groups.iter().zip(eta).flat_map(|(g, e)| g.observations.iter().zip(e));
        let terms = cells.map(|(o, eta)| {
            let (p, q) = log_logistic_pair(*eta);
            o.succeeded * p + (o.started - o.succeeded) * q
        });
        self.log_coefficient + terms.sum::<f64>()
    }

    /// Deviance with all parameters given.
    fn deviance(&self, parameters: &[f64], spreads: usize) -> f64 {
        let (sds, beta) = parameters.split_at(spreads);
        self.iterate(sds, Some(beta), beta.len()).deviance
    }

    /// Iterates from the start; fixed effects that are not given are found along with the random ones.
    fn iterate(&self, sds: &[f64], given: Option<&[f64]>, columns: usize) -> Ended {
        let mut state = self.step(&self.start, sds, given, columns);
        for _ in 0..MOST_STEPS {
            let mut next = self.step(&state.eta, sds, given, columns);
            let settled = ((state.penalised - next.penalised) / next.penalised).abs() < TOLERANCE;
            if !settled {
                self.halve(&state, &mut next);
            }
            state = next;
            if settled || state.penalised.is_nan() {
                break;
            }
        }
        let deviance = state.log_determinant + state.penalty() - 2.0 * self.log_likelihood(&state.eta);
        let deviance = if deviance.is_nan() { f64::INFINITY } else { deviance };
        Ended { deviance, beta: state.beta, eta: state.eta }
    }

    /// Halves a step that raised the penalised deviance, ten times at most.
    fn halve(&self, from: &Step, to: &mut Step) {
        for _ in 0..10 {
            if to.penalised <= from.penalised {
                return;
            }
            let halfway =
                |a: &[f64], b: &mut [f64]| b.iter_mut().zip(a).for_each(|(y, x)| *y = 0.5 * (*y + x));
            halfway(&from.beta, &mut to.beta);
            for (old, new) in from.random.iter().zip(&mut to.random) {
                halfway(old, new);
            }
            for (old, new) in from.eta.iter().zip(&mut to.eta) {
                halfway(old, new);
            }
            to.penalised = self.deviance_from_saturated(&to.eta) + to.penalty();
        }
    }

    fn deviance_from_saturated(&self, eta: &[Vec<f64>]) -> f64 {
        2.0 * (self.saturated - self.log_likelihood(eta))
    }

    /// One weighted least squares solution at the working values of `eta`.
    fn step(&self, eta: &[Vec<f64>], sds: &[f64], given: Option<&[f64]>, columns: usize) -> Step {
        let parts: Vec<Part> = self.groups.iter().zip(eta).map(|(g, e)| Part::new(g, e, sds)).collect();
        let beta = given.map_or_else(|| fixed_effects(&parts, self.groups, columns), <[f64]>::to_vec);
        let both = || parts.iter().zip(self.groups);
        let random: Vec<Vec<f64>> = both().map(|(part, group)| part.random(group, &beta)).collect();
        let eta = both().zip(&random).map(|((part, group), u)| part.log_odds(group, &beta, u)).collect();
        let log_determinant = parts.iter().map(Part::log_determinant).sum();
        let mut step = Step { eta, random, log_determinant, beta, penalised: 0.0 };
        step.penalised = self.deviance_from_saturated(&step.eta) + step.penalty();
        step
    }
}

impl Step {
    fn penalty(&self) -> f64 {
        self.random.iter().flatten().map(|u| u * u).sum()
    }
}

/// From second differences in all parameters at once.
fn standard_errors(model: &Reweighted<'_>, point: &[f64], spreads: usize) -> Vec<f64> {
    let n = point.len();
    let at = |moves: &[(usize, f64)]| {
        let mut probe = point.to_vec();
        for (k, sign) in moves {
            probe[*k] += sign * DIFFERENCE;
        }
        model.deviance(&probe, spreads)
    };
    let middle = at(&[]);
    let second = Matrix::from_fn(n, n, |i, j| {
        let sum = if i == j {
            at(&[(i, 1.0)]) - 2.0 * middle + at(&[(i, -1.0)])
        } else {
            let same = at(&[(i, 1.0), (j, 1.0)]) + at(&[(i, -1.0), (j, -1.0)]);
            (same - at(&[(i, 1.0), (j, -1.0)]) - at(&[(i, -1.0), (j, 1.0)])) / 4.0
        };
        sum / (2.0 * DIFFERENCE * DIFFERENCE)
    });
    let covariance = second.inverse();
    (spreads..n).map(|k| covariance.as_ref().map_or(f64::NAN, |c| c[(k, k)].sqrt())).collect()
}
