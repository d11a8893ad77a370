//! What to try next, by what a trial is worth.
//!
//! A trial beside the method in use is worth what it is expected to raise the rate by, when whichever does better is used afterwards:
//! much for what is likely better, or nearly as good and little known; nothing for what is known to be worse. Rates are those that other plants teach.
//! Where nothing is learnt methods are taken as drawn from one population of methods, since the best of several looks better than it is:
//! logit p = mu + u(method) + v(grower), the three-level model with methods in the place of growers and growers in the
//! place of trials. A method's law given its own counts and all others' is pulled towards the others' mean, the more the
//! fewer counts it has; the best by that rate is expected to keep it.

use std::collections::BTreeSet;

use propagule_analysis::rate::{Levels, Options};
use propagule_analysis::{Count, FitError, Grower, rate};

use super::beside::{Known, side_by_side};
use super::method::Planned;
use super::separable::ArmOf;
use super::{Try, in_parallel};
use crate::AnswerError;
use crate::learnt::NeverTried;
use crate::question::{Asked, PlanQuestion};
use crate::said::{AnswerSaid, Family, TryFacts, TryRole, Wording};
use propagule_evidence::{EvidenceRow, Lost, MethodGroup, clusters};

/// Most methods that are ranked: those with the most pieces.
const MOST_METHODS: usize = 12;
/// Pieces of an arm unless told otherwise: what a grower can usually spare.
const PIECES: u32 = 24;
/// By how much methods' differences vary from grower to grower: the contrast engine's prior, half-Normal(0.4).
const VARIES_SD: f64 = 0.4;
/// A trial worth less than this changes nothing that a grower would notice: half of one in 100.
const LEAST_WORTH: f64 = 0.005;

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

/// A method that may be tried.
struct Candidate {
    label: String,
    known: Known,
    counts: (u32, u32),
    /// The reader's own pieces, where some of them succeeded.
    own: u32,
    alone: f64,
    range: [f64; 2],
    never_tried: Option<[usize; 2]>,
}

/// What other methods are compared with, and those worth a trial beside it, the trial worth most first; without the arms `left_out`.
/// Nothing where fewer than two can be ranked.
pub(super) fn next_tries(
    groups: &[MethodGroup<'_>],
    left_out: &BTreeSet<ArmOf<'_>>,
    planned: &[Planned],
    asked: &Asked<'_, PlanQuestion>,
) -> Result<(Option<Try>, Vec<Try>), AnswerError> {
    if !asked.question.count.ranks_methods() {
        return Ok((None, Vec::new()));
    }
    let mut candidates = tried(groups, left_out, planned, asked)?;
    let Some(against) = in_use(&candidates) else { return Ok((None, Vec::new())) };
    let against = candidates.swap_remove(against);
    let among = candidates.len() + 1;
    candidates.extend(never_tried(planned, asked));
    if candidates.is_empty() {
        return Ok((None, Vec::new()));
    }
    let per_arm = asked.question.aim.pieces.map_or(PIECES, |pieces| (pieces / 2).max(1));
    let worth = |candidate: &Candidate| {
        side_by_side([&against.known, &candidate.known], asked).worth(per_arm, VARIES_SD)
    };
    let mut tries: Vec<Try> = candidates
        .iter()
        .map(|candidate| (worth(candidate), candidate))
        .filter(|(worth, _)| *worth >= LEAST_WORTH)
        .map(|(worth, candidate)| line(candidate, TryRole::Worth(worth), asked))
        .collect();
    tries.sort_by(|a, b| b.worth.total_cmp(&a.worth).then_with(|| a.method.cmp(&b.method)));
    let best_of = (against.own == 0).then_some(among);
    let role = TryRole::Against { best_of, pays: !tries.is_empty() };
    Ok((Some(line(&against, role, asked)), tries))
}

/// Methods that somebody has tried. Where nothing succeeded and nothing is learnt from other plants there is nothing to rank.
fn tried(
    groups: &[MethodGroup<'_>],
    left_out: &BTreeSet<ArmOf<'_>>,
    planned: &[Planned],
    asked: &Asked<'_, PlanQuestion>,
) -> Result<Vec<Candidate>, AnswerError> {
    if planned.iter().all(|planned| planned.plan.rooted == 0 && planned.taught.is_none()) {
        return Ok(Vec::new());
    }
    let counted = groups.iter().zip(planned).filter_map(|(group, planned)| {
        Some((planned, counts(group, left_out, asked.given.source.is_capped())?))
    });
    let mut ranked: Vec<(&Planned, MethodCounts)> = counted.collect();
    ranked
        .sort_by(|a, b| b.0.plan.started.cmp(&a.0.plan.started).then(a.0.plan.method.cmp(&b.0.plan.method)));
    ranked.truncate(MOST_METHODS);
    let methods: Vec<MethodCounts> = ranked.iter().map(|(_, counts)| counts.clone()).collect();
    let indices: Vec<usize> = (0..methods.len()).collect();
    in_parallel(&indices, |index| {
        let planned = ranked[*index].0;
        let refused = |source| AnswerError::Fit { method: planned.plan.method.clone(), source };
        let mut candidate = one(planned, asked);
        if planned.taught.is_none() && methods.len() > 1 {
            let Pooled { mean, range } = partially_pooled(&methods, *index).map_err(refused)?;
            candidate.known.rate.rate = mean;
            candidate.range = range;
        }
        Ok(candidate)
    })
}

fn one(planned: &Planned, asked: &Asked<'_, PlanQuestion>) -> Candidate {
    let plan = &planned.plan;
    let [low, _, high] = plan.fit.new_grower_rate_q;
    let alone = planned.taught.as_ref().map_or(&plan.fit, |taught| &taught.expected.without);
    Candidate {
        label: plan.method.clone(),
        known: Known::of(planned, asked),
        counts: (plan.rooted, plan.started),
        own: plan.own.filter(|own| own.rooted > 0).map_or(0, |own| own.started),
        alone: alone.average_grower_rate_mean,
        range: [low, high],
        never_tried: None,
    }
}

/// Methods that nobody has tried with the species; nothing where that did not settle, which the answer says.
fn never_tried(planned: &[Planned], asked: &Asked<'_, PlanQuestion>) -> Vec<Candidate> {
    let Some((learnt, species)) = asked.given.learning.learnt() else { return Vec::new() };
    let lines = learnt.never_tried(species, &learnt.kinds_of(species)).unwrap_or_default();
    let is_tried = |line: &NeverTried| planned.iter().any(|planned| planned.plan.method == line.label);
    let candidate = |line: NeverTried| {
        let fit = &line.taught.expected.summary;
        let [low, _, high] = fit.new_grower_rate_q;
        Candidate {
            known: Known::new((line.family, line.facets), fit, true),
            counts: (0, 0),
            own: 0,
            alone: fit.average_grower_rate_mean,
            range: [low, high],
            never_tried: Some([line.taught.trials_of_genus, line.taught.trials_of_method]),
            label: line.label,
        }
    };
    lines.into_iter().filter(|line| !is_tried(line)).map(candidate).collect()
}

/// The place of the method that the reader uses most, else of that from which most is expected.
fn in_use(candidates: &[Candidate]) -> Option<usize> {
    let order = |a: &Candidate, b: &Candidate| {
        let rates = a.known.rate.rate.total_cmp(&b.known.rate.rate);
        a.own.cmp(&b.own).then(rates).then_with(|| b.label.cmp(&a.label))
    };
    (0..candidates.len()).max_by(|a, b| order(&candidates[*a], &candidates[*b]))
}

fn line(candidate: &Candidate, role: TryRole, asked: &Asked<'_, PlanQuestion>) -> Try {
    let (Candidate { alone, range, never_tried, .. }, expected) = (candidate, candidate.known.rate.rate);
    let (rooted, started) = candidate.counts;
    let facts = TryFacts {
        wording: Wording::new(Family::Mixed, asked.question.count.outcome),
        started,
        succeeded: rooted,
        alone: *alone,
        pooled: expected,
        range: *range,
        never_tried: *never_tried,
    };
    Try {
        method: candidate.label.clone(),
        facets: candidate.known.facets.clone(),
        never_tried: never_tried.is_some(),
        rate_alone: *alone,
        started,
        rooted,
        rate_pooled: expected,
        new_grower_range: *range,
        may_take_off: (alone - expected).max(0.0),
        worth: if let TryRole::Worth(worth) = role { worth } else { 0.0 },
        sentence: AnswerSaid::Try { method: candidate.label.clone(), facts, role },
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
