//! All laws of a species and method together, in the figures of the default model.

use super::borrowed::{JointLaw, LAWS, Laws};
use crate::logit::logistic;
use crate::mixture::Mixture;
use crate::rate::{RateFit, RateSummary};

const LEVELS: [f64; 3] = [0.025, 0.5, 0.975];

/// Values with their shares.
type Points = Vec<(f64, f64)>;

impl Laws<'_> {
    /// Figures of the mixture; those of the average rate are given. Means and quantiles of mu are of a typical grower's log odds.
    pub(super) fn summary(
        &self,
        weights: [f64; LAWS],
        log_evidence: f64,
        (average, average_q): (f64, [f64; 3]),
        new_grower: &Mixture,
    ) -> RateSummary {
        let quadratures = [&self.location, self.today];
        let joint_centre = match &self.joint {
            JointLaw::Points(law) => law.log_odds(),
            JointLaw::Quadrature(fit) => fit.centre_points(),
        };
        let joint_spread = match &self.joint {
            JointLaw::Points(law) => law.spreads(),
            JointLaw::Quadrature(fit) => fit.spread_points(),
        };
        let centre = mixed(weights, joint_centre, quadratures.map(RateFit::centre_points));
        let spread = mixed(weights, joint_spread, quadratures.map(RateFit::spread_points));
        let mean = |points: &Points, of: fn(f64) -> f64| -> f64 {
            points.iter().map(|(x, share)| share * of(*x)).sum()
        };
        let mu = mean(&centre, |x| x);
        let variance: f64 = centre.iter().map(|(x, share)| share * (x - mu).powi(2)).sum();
        let mu_q = LEVELS.map(|p| quantile(&centre, p));
        RateSummary {
            model: self.today.model(),
            mu_mean: mu,
            mu_sd: variance.sqrt(),
            mu_q,
            tau_mean: mean(&spread, |x| x),
            tau_q: LEVELS.map(|p| quantile(&spread, p)),
            sd_grower_mean: None,
            sd_trial_mean: None,
            typical_grower_rate_mean: mean(&centre, logistic),
            typical_grower_rate_q: mu_q.map(logistic),
            average_grower_rate_mean: average,
            average_grower_rate_q: average_q,
            new_grower_rate_mean: average,
            new_grower_rate_sd: new_grower.rate_moments().1,
            new_grower_rate_q: LEVELS.map(|p| logistic(new_grower.quantile(p))),
            prob_new_grower_above_10pct: new_grower.prob_rate_above(0.1),
            prob_new_grower_above_50pct: new_grower.prob_rate_above(0.5),
            log_evidence,
        }
    }
}

/// Log of the evidence of all laws under their weights before the own counts.
pub(super) fn log_evidence(prior: [f64; LAWS], logs: [f64; LAWS]) -> f64 {
    let top = logs.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    top + prior.iter().zip(logs).map(|(weight, log)| weight * (log - top).exp()).sum::<f64>().ln()
}

fn mixed(weights: [f64; LAWS], joint: Points, others: [Points; LAWS - 1]) -> Points {
    let mut out = Vec::new();
    for (points, weight) in std::iter::once(joint).chain(others).zip(weights) {
        let total: f64 = points.iter().map(|point| point.1).sum();
        out.extend(points.into_iter().map(|(x, share)| (x, weight * share / total)));
    }
    out.sort_by(|a, b| a.0.total_cmp(&b.0));
    out
}

/// The value below which a share `p` lies.
fn quantile(points: &Points, p: f64) -> f64 {
    let mut below = 0.0;
    let place = points.iter().find(|(_, share)| {
        below += share;
        below >= p
    });
    place.or(points.last()).map_or(f64::NAN, |point| point.0)
}
