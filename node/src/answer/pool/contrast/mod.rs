//! Facets that differ alone between arms of one trial, and what those trials say together.
//!
//! Two arms are compared when exactly one facet differs and both words are known. A facet that neither arm states
//! is taken as the same, since both stood in one trial; one that only one of them states is not. Arms moved apart,
//! started in different months or set apart by an unlisted difference are never compared, nor are lots (no question
//! was asked) or arms whose stock plants were split unevenly.

#[cfg(test)]
mod tests;

use std::collections::{BTreeMap, BTreeSet};

use propagule_analysis::Count;
use propagule_analysis::contrast::{ContrastFit, Options, Pair, conditional_weighted};

use crate::answer::AnswerError;
use crate::answer::pool::{ContrastAnswer, PoolRequest};
use crate::answer::words::ContrastFacts;
use crate::evidence::{EvidenceRow, GROWER_CAP, MethodGroup};

/// Which words of which facet: the first word sorts before the second.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
struct Sides {
    facet: String,
    first: String,
    second: String,
}

/// Arms on the two sides in one trial, by their position among the trial's arms.
#[derive(Clone, Debug, Default)]
struct TrialSides {
    first: BTreeSet<usize>,
    second: BTreeSet<usize>,
}

/// Contrasts of all facets, sorted by facet and words.
pub(in crate::answer::pool) fn contrasts(
    groups: &[MethodGroup<'_>],
    request: &PoolRequest,
) -> Result<Vec<ContrastAnswer>, AnswerError> {
    if !request.question.ranks_methods() {
        return Ok(Vec::new());
    }
    let trials = arms_by_trial(groups, request.replicated_only);
    let mut found: BTreeMap<Sides, BTreeMap<&str, TrialSides>> = BTreeMap::new();
    for (trial, arms) in &trials {
        for (sides, first, second) in pairs(arms) {
            let entry = found.entry(sides).or_default().entry(trial).or_default();
            entry.first.insert(first);
            entry.second.insert(second);
        }
    }
    if request.replicated_only {
        for by_trial in found.values_mut() {
            by_trial.retain(|trial, arms| !is_single(arms, &trials[trial]));
        }
        found.retain(|_, by_trial| !by_trial.is_empty());
    }
    let capped = request.source.is_capped();
    found.iter().map(|(sides, by_trial)| contrast(sides, by_trial, &trials, capped)).collect()
}

fn arms_by_trial<'a>(
    groups: &[MethodGroup<'a>],
    replicated_only: bool,
) -> BTreeMap<&'a str, Vec<&'a EvidenceRow>> {
    let mut trials: BTreeMap<&str, Vec<&EvidenceRow>> = BTreeMap::new();
    let rows = groups.iter().flat_map(|group| &group.rows);
    for row in rows.filter(|row| !(replicated_only && row.flags.single_replicate)) {
        trials.entry(&row.trial).or_default().push(row);
    }
    trials
}

fn pairs(arms: &[&EvidenceRow]) -> Vec<(Sides, usize, usize)> {
    let mut pairs = Vec::new();
    for (a, one) in arms.iter().enumerate() {
        for (b, other) in arms.iter().enumerate().skip(a + 1) {
            if let Some((facet, word, other_word)) = sole_difference(one, other) {
                let facet = facet.to_owned();
                pairs.push(if word < other_word {
                    (Sides { facet, first: word.to_owned(), second: other_word.to_owned() }, a, b)
                } else {
                    (Sides { facet, first: other_word.to_owned(), second: word.to_owned() }, b, a)
                });
            }
        }
    }
    pairs
}

/// Facet and words when exactly one facet differs between two comparable arms.
fn sole_difference<'a>(one: &'a EvidenceRow, other: &'a EvidenceRow) -> Option<(&'a str, &'a str, &'a str)> {
    if !comparable(one, other) {
        return None;
    }
    let names: BTreeSet<&String> = one.facets.keys().chain(other.facets.keys()).collect();
    let mut different = names.into_iter().filter(|name| one.facets.get(*name) != other.facets.get(*name));
    let facet = different.next()?;
    if different.next().is_some() {
        return None;
    }
    Some((facet, one.facets.get(facet)?, other.facets.get(facet)?))
}

fn comparable(one: &EvidenceRow, other: &EvidenceRow) -> bool {
    let set_apart = |row: &EvidenceRow| (row.flags.unlisted_difference, row.flags.start_offset);
    let unfit = |row: &EvidenceRow| row.flags.lot || row.flags.stock_plants_uneven;
    one.phases == other.phases && set_apart(one) == set_apart(other) && !unfit(one) && !unfit(other)
}

fn contrast(
    sides: &Sides,
    by_trial: &BTreeMap<&str, TrialSides>,
    trials: &BTreeMap<&str, Vec<&EvidenceRow>>,
    capped: bool,
) -> Result<ContrastAnswer, AnswerError> {
    let pairs: Vec<(Pair, &EvidenceRow)> = by_trial
        .iter()
        .map(|(trial, arms)| {
            let (first, second) =
                (added_up(&arms.first, &trials[trial]), added_up(&arms.second, &trials[trial]));
            (Pair { first, second }, trials[trial][0])
        })
        .collect();
    let pairs = weighted(&pairs, capped);
    let single_replicate = by_trial.iter().filter(|(trial, arms)| is_single(arms, &trials[*trial])).count();
    let fit = conditional_weighted(&pairs, &Options::default()).map_err(|source| AnswerError::Fit {
        method: format!("{}: {} and {}", sides.facet, sides.first, sides.second),
        source,
    })?;
    Ok(answer(sides, by_trial.len(), single_replicate, fit))
}

/// Each pair with its grower's weight and, where `capped`, with min(1, 60 / pieces) of all that the grower brings to
/// this contrast.
fn weighted(pairs: &[(Pair, &EvidenceRow)], capped: bool) -> Vec<(Pair, f64)> {
    let pieces_of = |pair: &Pair| f64::from(pair.first.started) + f64::from(pair.second.started);
    let mut pieces: BTreeMap<&str, f64> = BTreeMap::new();
    for (pair, row) in pairs {
        *pieces.entry(&row.grower).or_default() += pieces_of(pair);
    }
    let cap = |row: &EvidenceRow| {
        if capped { (GROWER_CAP / pieces[row.grower.as_str()].max(1.0)).min(1.0) } else { 1.0 }
    };
    pairs.iter().map(|(pair, row)| (*pair, row.weight * cap(row))).collect()
}

/// Arms of one side of a trial as one count.
fn added_up(arms: &BTreeSet<usize>, trial: &[&EvidenceRow]) -> Count {
    arms.iter().fold(Count { started: 0, succeeded: 0 }, |sum, arm| Count {
        started: sum.started.saturating_add(trial[*arm].started),
        succeeded: sum.succeeded.saturating_add(trial[*arm].succeeded),
    })
}

/// Whether some arm of the comparison stood in one pot, tray or row.
fn is_single(arms: &TrialSides, trial: &[&EvidenceRow]) -> bool {
    arms.first.iter().chain(&arms.second).any(|arm| trial[*arm].flags.single_replicate)
}

fn answer(sides: &Sides, trials: usize, single_replicate: usize, fit: ContrastFit) -> ContrastAnswer {
    let words = ContrastFacts {
        facet: &sides.facet.replace('_', " "),
        first: &sides.first,
        second: &sides.second,
        trials,
        informative: fit.k_informative,
        single_replicate,
        prob_first_better: fit.prob_first_better,
    };
    ContrastAnswer {
        facet: sides.facet.clone(),
        first: sides.first.clone(),
        second: sides.second.clone(),
        trials,
        single_replicate,
        verdict: words.verdict().word(),
        sentence: words.sentence(),
        fit,
    }
}
