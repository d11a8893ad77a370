//! What to try next: methods by rates that are partially pooled with each other.
//!
//! The best of several looks better than it is. Methods are therefore taken as drawn from one population of methods:
//! logit p = mu + u(method) + v(grower), the three-level model with methods in the place of growers and growers in the
//! place of trials. A method's law given its own counts and all others' is pulled towards the others' mean, the more the
//! fewer counts it has; the best by that rate is expected to keep it.

use std::collections::BTreeSet;

use propagule_analysis::rate::{Levels, Options};
use propagule_analysis::{Count, FitError, Grower, rate};

use super::method::Planned;
use super::separable::ArmOf;
use super::{Try, in_parallel};
use crate::AnswerError;
use crate::question::{Asked, PlanQuestion};
use crate::said::{AnswerSaid, Family, TryFacts, Wording};
use propagule_evidence::{EvidenceRow, Lost, MethodGroup, clusters};

/// Most methods that are ranked: those with the most pieces.
const MOST_METHODS: usize = 12;

/// Counts of one method, one a grower.
#[derive(Clone, Debug, PartialEq)]
pub struct MethodCounts {
    /// One count a grower.
    pub growers: Vec<Count>,
}

/// A method's partially pooled rate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pooled {
    /// Mean over new growers.
    pub mean: f64,
    /// A new grower's rate at 2.5 and 97.5 %.
    pub range: [f64; 2],
}

/// A method's rate partially pooled with the other methods.
///
/// # Errors
/// [`FitError`] for impossible counts.
pub fn partially_pooled(methods: &[MethodCounts], index: usize) -> Result<Pooled, FitError> {
    let others: Vec<Grower> = methods
        .iter()
        .enumerate()
        .filter(|(other, _)| *other != index)
        .map(|(_, method)| Grower::new(method.growers.clone(), 1.0))
        .collect();
    let options = Options { levels: Levels::Three, grower_sd: 1.0, trial_sd: 1.0 };
    let law = rate::fit(&others, &options)?.next_trial_law(&methods[index].growers)?;
    Ok(Pooled { mean: law.mean(), range: [law.quantile(0.025), law.quantile(0.975)] })
}

/// Methods of the evidence, the best first, without the arms `left_out`; empty with fewer than two, or where nothing
/// succeeded.
pub(super) fn next_tries(
    groups: &[MethodGroup<'_>],
    left_out: &BTreeSet<ArmOf<'_>>,
    planned: &[Planned],
    asked: &Asked<'_, PlanQuestion>,
) -> Result<Vec<Try>, AnswerError> {
    if !asked.question.count.ranks_methods() || planned.iter().all(|planned| planned.plan.rooted == 0) {
        return Ok(Vec::new());
    }
    let mut ranked: Vec<(&Planned, MethodCounts)> = groups
        .iter()
        .zip(planned)
        .filter_map(|(group, planned)| {
            Some((planned, counts(group, left_out, asked.given.source.is_capped())?))
        })
        .collect();
    ranked
        .sort_by(|a, b| b.0.plan.started.cmp(&a.0.plan.started).then(a.0.plan.method.cmp(&b.0.plan.method)));
    ranked.truncate(MOST_METHODS);
    if ranked.len() < 2 {
        return Ok(Vec::new());
    }
    let methods: Vec<MethodCounts> = ranked.iter().map(|(_, counts)| counts.clone()).collect();
    let indices: Vec<usize> = (0..methods.len()).collect();
    let pooled = in_parallel(&indices, |index| {
        let refused = |source| AnswerError::Fit { method: ranked[*index].0.plan.method.clone(), source };
        partially_pooled(&methods, *index).map_err(refused)
    })?;
    let mut tries: Vec<Try> =
        ranked.iter().zip(pooled).map(|((planned, _), pooled)| one(planned, pooled)).collect();
    tries.sort_by(|a, b| b.rate_pooled.total_cmp(&a.rate_pooled).then_with(|| a.method.cmp(&b.method)));
    let among = tries.len();
    let wording = Wording::new(Family::Mixed, asked.question.count.outcome);
    for (place, line) in tries.iter_mut().enumerate() {
        let facts = TryFacts {
            place,
            among,
            wording,
            started: line.started,
            succeeded: line.rooted,
            alone: line.rate_alone,
            pooled: line.rate_pooled,
            range: line.new_grower_range,
        };
        line.sentence = AnswerSaid::Try { method: line.method.clone(), facts };
    }
    Ok(tries)
}

fn one(planned: &Planned, pooled: Pooled) -> Try {
    let rate_alone = planned.plan.fit.average_grower_rate_mean;
    Try {
        method: planned.plan.method.clone(),
        rate_alone,
        started: planned.plan.started,
        rooted: planned.plan.rooted,
        rate_pooled: pooled.mean,
        new_grower_range: pooled.range,
        may_take_off: (rate_alone - pooled.mean).max(0.0),
        sentence: AnswerSaid::Nothing,
    }
}

/// One count a grower, shrunk to its weight and cap; rows that may have been chosen for their success are left out as well.
fn counts(group: &MethodGroup<'_>, left_out: &BTreeSet<ArmOf<'_>>, capped: bool) -> Option<MethodCounts> {
    let counts_here = |row: &&EvidenceRow| {
        !row.flags.perhaps_chosen && !left_out.contains(&(row.trial.as_str(), row.arm.as_str()))
    };
    let rows: Vec<&EvidenceRow> = group.rows.iter().copied().filter(counts_here).collect();
    let growers: Vec<Count> =
        clusters(&rows, Lost::AsFailures, capped).iter().map(|cluster| shrunk(&cluster.grower)).collect();
    (!growers.is_empty()).then_some(MethodCounts { growers })
}

/// All trials of a grower as one count of as many pieces as its weight leaves.
fn shrunk(grower: &Grower) -> Count {
    let sum = |of: fn(&Count) -> u32| grower.trials.iter().map(|count| f64::from(of(count))).sum::<f64>();
    let part = |pieces: f64| (pieces * grower.weight).round() as u32;
    let started = part(sum(|count| count.started));
    Count { started, succeeded: part(sum(|count| count.succeeded)).min(started) }
}
