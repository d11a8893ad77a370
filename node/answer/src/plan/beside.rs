//! Two methods as they would stand beside each other in one trial.

use propagule_analysis::joint::JointOptions;
use propagule_analysis::rate::RateSummary;
use propagule_analysis::{KnownRate, SharedTrial, SideBySide};

use super::method::Planned;
use crate::question::{Asked, PlanQuestion};
use propagule_evidence::{FacetWords, Family};

/// A method by what is known of its rate.
#[derive(Clone, Debug)]
pub(super) struct Known {
    pub(super) family: Family,
    pub(super) facets: FacetWords,
    pub(super) rate: KnownRate,
    /// By how much growers differ.
    spread: f64,
    /// Whether it rests on what other plants teach.
    is_taught: bool,
}

impl Known {
    /// A method that was tried.
    pub(super) fn of(planned: &Planned, asked: &Asked<'_, PlanQuestion>) -> Self {
        let own_lead = |taught: &crate::learnt::Taught| taught.own_counts_lead(asked.given.has_strangers());
        let is_taught = planned.taught.as_ref().is_some_and(|taught| !own_lead(taught));
        let plan = &planned.plan;
        Self::new((planned.family, plan.facets.clone()), &plan.fit, is_taught)
    }

    pub(super) fn new((family, facets): (Family, FacetWords), fit: &RateSummary, is_taught: bool) -> Self {
        let rate = KnownRate {
            log_odds_mean: fit.mu_mean,
            log_odds_sd: fit.mu_sd,
            rate: fit.average_grower_rate_mean,
        };
        Self { family, facets, rate, spread: fit.tau_mean, is_taught }
    }
}

/// The trial that holds both.
pub(super) fn side_by_side(methods: [&Known; 2], asked: &Asked<'_, PlanQuestion>) -> SideBySide {
    let learnt = asked.given.learning.learnt().filter(|_| methods.iter().all(|method| method.is_taught));
    let named = methods.map(|method| (method.family, &method.facets));
    let trial = learnt.and_then(|(learnt, species)| learnt.beside(species, named));
    SideBySide {
        methods: methods.map(|method| method.rate),
        trial: trial.unwrap_or_else(|| by_default(methods)),
    }
}

/// Where nothing is learnt of both together: methods of one species differ by as much as the joint model starts from, and so do arms of
/// one trial; the rest of what growers differ by is the trial's.
fn by_default([first, second]: [&Known; 2]) -> SharedTrial {
    let start = JointOptions::default();
    let [a, b] = [first, second].map(|method| method.rate.log_odds_sd);
    let by_counts = a * a + b * b;
    // Of each method: its own, with its genus, and with its species.
    let by_prior = 2.0 * 3.0 * start.structure_sd.powi(2);
    let difference = (by_counts.recip() + by_prior.recip()).recip();
    let spread = 0.5 * (first.spread + second.spread);
    let arm_sd = start.arm_sd.min(spread);
    SharedTrial {
        correlation: ((by_counts - difference) / (2.0 * a * b)).min(1.0),
        shared_sd: (spread * spread - arm_sd * arm_sd).sqrt(),
        arm_sd,
    }
}
